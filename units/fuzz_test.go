// SPDX-License-Identifier: Apache-2.0

package units

import (
	"encoding/json"
	"errors"
	"math"
	"testing"
)

// FuzzParse: no text makes Parse panic; whatever it takes is finite, prints
// as text that reads back the same, and survives JSON.
func FuzzParse(f *testing.F) {
	for _, s := range []string{
		"0.042", "0.050 mm", "42 µm", "42 μm", "42um", "1.65 thou", "0.00165 in", `2.1"`,
		"20 Nm", "20 N·m", "15 lbf·ft", "15 ft-lb", "130°", "20deg", "8 bar", "80 MPa", "8 kN",
		"3000 rpm", "3000 1/min", "8 mPa·s", "90 °C", "194 °F", "0.3 h", "1h30", "0,042", "1,000",
		"1.000,5", "1,000.5", "1\u00a0000", "−5 mm", "4.2e-2 mm", "1e308 m", "1e-323", "-0", ".5", "5.",
		"NaN", "0x1p-2", "1/2 in", "8 US qt", "120000 km", "7 lb 3 oz", "\xff", "²", "e5",
	} {
		for i := range Kinds() {
			f.Add(s, uint8(i), i%2 == 0)
		}
	}
	f.Fuzz(func(t *testing.T, text string, k uint8, assume bool) {
		kind := Kinds()[int(k)%len(Kinds())]
		assumed := Unit{}
		if assume {
			assumed = kind.Canonical()
		}
		r, err := Parse(kind, text, assumed)
		if err != nil {
			var p *ParseError
			if !errors.As(err, &p) || p.Reason == "" {
				t.Fatalf("%q: %v is no full *ParseError", text, err)
			}
			return
		}
		if math.IsNaN(r.Value) || math.IsInf(r.Value, 0) || !(r.Resolution > 0) {
			t.Fatalf("%q: value %v, resolution %v", text, r.Value, r.Resolution)
		}
		checkReadsBack(t, r)
	})
}

func checkReadsBack(t *testing.T, r Read) {
	t.Helper()
	again, err := Parse(r.Kind, r.String(), Unit{})
	if err != nil {
		t.Fatalf("%q printed as %q: %v", r.Text, r.String(), err)
	}
	again.Text = r.Text
	if again != r {
		t.Fatalf("%q printed as %q reads back %+v, was %+v", r.Text, r.String(), again, r)
	}
	plain, err := Parse(r.Kind, Format(r.Value, r.Kind, Unit{}, -1), Unit{})
	if err != nil || plain.Value != r.Value {
		t.Fatalf("%q: value %v reads back %v, %v", r.Text, r.Value, plain.Value, err)
	}
	b, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var back Read
	if err := json.Unmarshal(b, &back); err != nil || back != r {
		t.Fatalf("%s reads back %+v, %v; was %+v", b, back, err, r)
	}
}
