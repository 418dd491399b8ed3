// SPDX-License-Identifier: Apache-2.0

package sheets

import "testing"

func TestAllLoad(t *testing.T) {
	all, err := All()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range all {
		t.Log(s.Family, s.Hash, len(s.Values()), s.AccessOrder(), s.Throws())
		for _, w := range s.Warnings() {
			t.Log(w)
		}
	}
}
