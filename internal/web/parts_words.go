// SPDX-License-Identifier: Apache-2.0

package web

// secondOf is another key for the one-tap form of a step that has a form with
// fields beside it.
func secondOf(k formKey, step string) formKey {
	if step == "right" {
		return k
	}
	return secondKey(k)
}
