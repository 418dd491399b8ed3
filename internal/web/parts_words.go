// SPDX-License-Identifier: Apache-2.0

package web

import "strconv"

// secondOf is another key for the one-tap form of a step that has a form with
// fields beside it.
func secondOf(k formKey, step string) formKey {
	if step == "right" {
		return k
	}
	return secondKey(k)
}

// isWhole reports whether a quantity can be fitted by one tap.
func isWhole(quantity string) bool {
	n, err := strconv.Atoi(quantity)
	return err == nil && n > 0
}
