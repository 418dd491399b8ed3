// SPDX-License-Identifier: Apache-2.0

package record

import (
	"testing"

	"github.com/oklog/ulid/v2"
	"pgregory.net/rapid"
)

// What is taken for a ULID is what the library reads and writes back the same.
func TestULIDIsTheLibrarys(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := []byte(rapid.StringMatching(`[0-9A-HJKMNP-TV-Z]{26}`).Draw(t, "id"))
		if rapid.Bool().Draw(t, "first low") {
			s[0] = '0' + s[0]%8
		}
		if rapid.Bool().Draw(t, "changed") {
			s[rapid.IntRange(0, 25).Draw(t, "at")] = rapid.Byte().Draw(t, "to")
		}
		id, err := ulid.ParseStrict(string(s))
		if want := err == nil && id.String() == string(s); isULID(string(s)) != want {
			t.Fatalf("%q: taken for a ULID %v, the library says %v", s, !want, want)
		}
	})
	for _, s := range []string{"", "01ARZ3NDEKTSV4RRFFQ69G5FA", "01ARZ3NDEKTSV4RRFFQ69G5FAVV"} {
		if isULID(s) {
			t.Errorf("%q is of another length", s)
		}
	}
}
