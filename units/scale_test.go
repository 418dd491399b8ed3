// SPDX-License-Identifier: Apache-2.0

package units

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Short numbers are scaled in float64; the exact rational, rounded once, is what
// they are held against, bit for bit.
func TestShortNumbersScaleExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom(table).Draw(t, "unit").unit
		text := rapid.StringMatching(`-?[0-9]{1,14}(\.[0-9]{1,10})?(e-?[0-9]{1,2})?`).Draw(t, "number")
		n, rest, no := scanNumeral(text)
		if rest != "" || no.reason != "" {
			t.Fatal(text, rest, no)
		}
		value, step, ok := n.scaledShort(unit)
		if !ok {
			return
		}
		exact, exactStep, _ := n.scaledExactly(unit)
		if math.Float64bits(value) != math.Float64bits(exact) || step != exactStep {
			t.Errorf("%s %s: %v step %v, exactly %v step %v", text, unit, value, step, exact, exactStep)
		}
	})
}

// What a workshop reads is short.
func TestShortNumbersAreCommon(t *testing.T) {
	for text, unit := range map[string]Unit{"0.042": UnitMillimetre, "53.984": UnitMillimetre, "0.0017": UnitInch, "1.65": UnitThou, "20.5": UnitCelsius,
		"-40": UnitFahrenheit, "293.15": UnitKelvin, "130": UnitDegree, "55": UnitNewtonMetre, "4.5": UnitBar, "84213": UnitKilometre} {
		n, _, _ := scanNumeral(text)
		if _, _, ok := n.scaledShort(unit); !ok {
			t.Errorf("%s %s is not short", text, unit)
		}
	}
}

// A reading as it is written is taken apart without a decoder of JSON: whatever
// it takes, encoding/json reads the same from it.
func FuzzPlainRead(f *testing.F) {
	for _, s := range []string{`0.042 mm","unit":"mm","kind":"length"}`, `0.0017\"","unit":"in","kind":"length"}`, `1","unit":"mm","kind":"length","kind":"x"}`,
		`<1>","unit":"µm","kind":"length"}`, "\xff\",\"unit\":\"mm\",\"kind\":\"length\"}", "\t\",\"unit\":\"mm\",\"kind\":\"length\"}", `","unit":"mm","kind":"length"} `} {
		f.Add(`{"text":"` + s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, ok := plainRead([]byte(s))
		if !ok {
			return
		}
		var want readJSON
		if err := json.Unmarshal([]byte(s), &want); err != nil || got != want {
			t.Errorf("%q: %+v, encoding/json reads %+v, %v", s, got, want, err)
		}
	})
}

func TestPlainReadTakesWhatIsWritten(t *testing.T) {
	for _, text := range []string{"0.042 mm", "42 µm", "0,042"} {
		r, err := Parse(KindLength, text, UnitMillimetre)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		if w, ok := plainRead(raw); !ok || fmt.Sprint(w) != fmt.Sprint(readJSON{text, r.Unit.Symbol, KindLength}) {
			t.Errorf("%s: %+v, %v", raw, w, ok)
		}
	}
}
