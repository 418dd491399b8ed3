// SPDX-License-Identifier: Apache-2.0

package units

import (
	"encoding/json"
	"testing"
)

// A number has no unit to write, keeps its digits, and comes back from the wire
// as it was read.
func TestNumber(t *testing.T) {
	for _, text := range []string{"7", "0.50", "-1.250", "0,5"} {
		r, err := Parse(KindNumber, text, Unit{})
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		wire, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		var back Read
		if err := json.Unmarshal(wire, &back); err != nil || back != r {
			t.Errorf("%q came back from %s as %+v: %v", text, wire, back, err)
		}
		if again, err := Parse(KindNumber, r.String(), Unit{}); err != nil || again.Value != r.Value || again.Decimals != r.Decimals {
			t.Errorf("%q is printed as %q and read as %+v: %v", text, r.String(), again, err)
		}
	}
	if _, err := Parse(KindNumber, "7 mm", Unit{}); err == nil {
		t.Error("7 mm was taken as a number")
	}
	if _, err := Parse(KindLength, "7", UnitOne); err == nil {
		t.Error("a bare number was taken as a length")
	}
}
