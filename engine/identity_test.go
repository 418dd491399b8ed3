// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"strings"
	"testing"
)

func TestIdentityCheckDigit(t *testing.T) {
	for _, c := range []struct{ number, want, source string }{
		{"1M8GDM9AXKP042788", "X", "widely printed worked example of 49 CFR 565; sum 351"},
		{"11111111111111111", "1", "sum 89, by hand"},
		{"1G4AH59H_5G118341", "4", "49 CFR 565.15(c), the regulation's own sample; sum 411"},
		{"1J9RP1A36A1644345", "6", "sample in an agency leaflet; sum 314"},
	} {
		got, err := IdentityCheckDigit(c.number)
		if err != nil || got != c.want {
			t.Errorf("%s: digit %q, %v; %s says %q", c.number, got, err, c.source, c.want)
		}
	}
}

// A change of any one character changes the digit, unless the two have the
// same value or the same remainder.
func TestIdentitySeesOneWrongCharacter(t *testing.T) {
	const right = "1M8GDM9AXKP042788"
	for i := range right {
		if i == 8 {
			continue
		}
		for _, c := range "0123456789" {
			if right[i] < '0' || right[i] > '9' || byte(c) == right[i] {
				continue
			}
			wrong := right[:i] + string(c) + right[i+1:]
			if IdentityWarning(wrong) == "" {
				t.Errorf("%s passes, although one digit of %s was changed", wrong, right)
			}
		}
	}
}

func TestIdentityWarning(t *testing.T) {
	for number, want := range map[string]string{
		"":                  "",
		"1m8gdm9axkp042788": "",
		"1M8GDM9A2KP042788": "ninth character",
		"1M8GDM9AXKP04278":  "17 letters and digits",
		"1M8GDM9AXKPO42788": "without I, O and Q",
	} {
		got := IdentityWarning(number)
		if want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("%s: %q, want something with %q", number, got, want)
		}
	}
}
