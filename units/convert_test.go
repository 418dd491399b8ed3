// SPDX-License-Identifier: Apache-2.0

package units

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// decimal draws the digits of a number with up to five decimals.
func decimal(t *rapid.T) string {
	n := rapid.Int64Range(-10_000_000, 10_000_000).Draw(t, "n")
	d := rapid.IntRange(0, 5).Draw(t, "decimals")
	return new(big.Rat).SetFrac64(n, pow10(d)).FloatString(d)
}

func pow10(d int) int64 {
	p := int64(1)
	for range d {
		p *= 10
	}
	return p
}

// unitOfAny draws a unit and another one of its kind.
func unitOfAny(t *rapid.T) (u, other Unit) {
	kind := rapid.SampledFrom(Kinds()).Draw(t, "kind")
	u = rapid.SampledFrom(kind.Units()).Draw(t, "unit")
	return u, rapid.SampledFrom(kind.Units()).Draw(t, "other")
}

// TestInchIsExactly25p4 reads the same length in inch and in mm and gets the
// same float64.
func TestInchIsExactly25p4(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := decimal(t)
		x, _ := new(big.Rat).SetString(s)
		mm := x.Mul(x, big.NewRat(254, 10)).FloatString(6) // five decimals and one from 25.4: exact
		in, err := ParseLength(s+" in", Unit{})
		if err != nil {
			t.Fatal(err)
		}
		same, err := ParseLength(mm, UnitMillimetre)
		if err != nil || in != same {
			t.Fatalf("%s in = %v mm, %s mm = %v mm, %v", s, in.MM(), mm, same.MM(), err)
		}
	})
}

// TestThereAndBack: a value turned into another unit and back is the same to
// a few units in the last place of the largest number on the way. Where that
// way leads below 2⁻¹⁰²², float64 itself has fewer digits, and they are lost.
func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, other := unitOfAny(t)
		v := rapid.Float64Range(-1e6, 1e6).Draw(t, "v")
		x := other.FromCanonical(v)
		scale := math.Max(math.Abs(v), math.Abs(other.Offset*other.Factor))
		if got := other.ToCanonical(x); math.Abs(got-v) > 1e-14*scale+1e-300 {
			t.Fatalf("%v through %s is %v", v, other, got)
		}
	})
}

// TestInLosesNothing: a reading printed in another unit, turned back and
// rounded to the decimals read, is what was read.
func TestInLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit, other := unitOfAny(t)
		s := decimal(t)
		r, err := Parse(unit.Kind, s, unit)
		if err != nil {
			return // below absolute zero
		}
		if DecimalsFor(r.Resolution, other) == 12 {
			return // more decimals than are ever printed
		}
		printed, err := Parse(unit.Kind, r.In(other), Unit{})
		if err != nil {
			return // the last digit rounded below absolute zero
		}
		back := fixed(unit.FromCanonical(printed.Value), r.Decimals)
		if back != r.Digits {
			t.Fatalf("%s in %s is %s, back %s", r, other, r.In(other), back)
		}
	})
}

// TestExactAgreesWithFloat: what Parse scales exactly and what ToCanonical
// scales in float64 are the same to rounding.
func TestExactAgreesWithFloat(t *testing.T) {
	for _, k := range Kinds() {
		for _, u := range k.Units() {
			exact, _ := u.exact(big.NewRat(377, 1)).Float64()
			if got := u.ToCanonical(377); math.Abs(got-exact) > 1e-13*math.Abs(exact) {
				t.Errorf("377 %s: %v, exact %v", u, got, exact)
			}
			if f := (377 + u.Offset) * u.Factor; math.Abs(f-exact) > 1e-13*math.Abs(exact) {
				t.Errorf("377 %s by Factor and Offset: %v, exact %v", u, f, exact)
			}
		}
	}
	if f, _ := pi.Float64(); f != math.Pi {
		t.Errorf("pi = %v", f)
	}
}

// TestFactorsHangTogether holds the written factors against the definitions
// they come from, worked out by hand in exact arithmetic.
func TestFactorsHangTogether(t *testing.T) {
	rat := func(s string) *big.Rat { r, _ := new(big.Rat).SetString(s); return r }
	mul := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
	lb, g, inch := rat("0.45359237"), rat("9.80665"), rat("0.0254")
	lbf := mul(lb, g)
	for _, c := range []struct {
		unit Unit
		want *big.Rat
	}{
		{UnitInch, mul(inch, rat("1000"))},
		{UnitThou, inch},
		{UnitPoundForce, lbf},
		{UnitKilogramForce, g},
		{UnitPoundForceInch, mul(lbf, inch)},
		{UnitPoundForceFoot, mul(mul(lbf, inch), rat("12"))},
		{UnitKilogramForceMetre, g},
		{UnitKilogramForceCentimetre, mul(g, rat("1/100"))},
		{UnitPoundPerSquareInch, mul(lbf, new(big.Rat).Inv(mul(inch, inch)))},
		{UnitKilogramForcePerSquareCentimetre, mul(g, rat("10000"))},
		{UnitPound, lb},
		{UnitOunce, mul(lb, rat("1/16"))},
		// US gallon 231 in³, imperial gallon 4.546 09 L; in³ in L.
		{UnitUSGallon, mul(rat("231"), mul(mul(inch, inch), mul(inch, rat("1000"))))},
		{UnitUSQuart, mul(rat("231/4"), mul(mul(inch, inch), mul(inch, rat("1000"))))},
		{UnitImperialQuart, mul(rat("4.54609"), rat("1/4"))},
		// 1 mi = 5280 ft.
		{UnitMile, mul(rat("5280/1000"), mul(inch, rat("12")))},
	} {
		if got := c.unit.exactFactor(); got.Cmp(c.want) != 0 {
			t.Errorf("%s: factor %s, by definition %s", c.unit, got.FloatString(20), c.want.FloatString(20))
		}
	}
}

// TestSpellingsAreOneToOne: no spelling stands for two units of a kind, none
// is both taken and refused, and every symbol reads back as its unit.
func TestSpellingsAreOneToOne(t *testing.T) {
	exact, folded := map[spelling]Unit{}, map[spelling]Unit{}
	claim := func(m map[spelling]Unit, key spelling, u Unit) {
		if old, ok := m[key]; ok && old != u {
			t.Errorf("%v stands for %s and for %s", key, old, u)
		}
		if _, ok := refusedSpellings[key]; ok {
			t.Errorf("%v is taken for %s and refused", key, u)
		}
		m[key] = u
	}
	for _, e := range table {
		for _, s := range append([]string{e.unit.Symbol}, e.exact...) {
			claim(exact, spelling{e.unit.Kind, normalise(s)}, e.unit)
		}
		for _, s := range e.folded {
			claim(folded, spelling{e.unit.Kind, fold(s)}, e.unit)
		}
		if u, err := LookupUnit(e.unit.Kind, e.unit.Symbol); err != nil || u != e.unit {
			t.Errorf("LookupUnit(%s, %s) = %v, %v", e.unit.Kind, e.unit.Symbol, u, err)
		}
	}
	for key, u := range folded {
		if other, ok := exact[key]; ok && other != u {
			t.Errorf("%v: %s in this case, %s in any", key, other, u)
		}
	}
}

// TestEveryKindHasUnits: a canonical unit of factor one, and one for either
// preference.
func TestEveryKindHasUnits(t *testing.T) {
	for _, k := range Kinds() {
		if c := k.Canonical(); c.Kind != k || c.Factor != 1 || c.Offset != 0 {
			t.Errorf("%s: canonical unit %+v", k, c)
		}
		if Metric.Unit(k).Kind != k || Inch.Unit(k).Kind != k {
			t.Errorf("%s: preferred units %v, %v", k, Metric.Unit(k), Inch.Unit(k))
		}
	}
}

func ExampleRead_In() {
	for _, s := range []string{"0.042 mm", "0.050 mm", "1.65 thou", "0.0017 in"} {
		r, _ := Parse(KindLength, s, Unit{})
		fmt.Printf("%s: %s, %s, %s\n", r, r.In(UnitMillimetre), r.In(UnitMicrometre), r.In(UnitInch))
	}
	// Output:
	// 0.042 mm: 0.042 mm, 42 µm, 0.00165 in
	// 0.050 mm: 0.050 mm, 50 µm, 0.00197 in
	// 1.65 thou: 0.0419 mm, 41.9 µm, 0.00165 in
	// 0.0017 in: 0.043 mm, 43 µm, 0.0017 in
}

// TestFormat rounds to nearest and never prints a negative zero.
func TestFormat(t *testing.T) {
	for _, c := range []struct {
		value    float64
		unit     Unit
		decimals int
		want     string
	}{
		{0.042, UnitMillimetre, 3, "0.042 mm"},
		{0.05, UnitMillimetre, 3, "0.050 mm"},
		{0.042, UnitMicrometre, 0, "42 µm"},
		{0.042, UnitInch, 5, "0.00165 in"},
		{-0.0001, UnitMillimetre, 3, "0.000 mm"},
		{0.042, UnitMillimetre, -1, "0.042 mm"},
		{0.042, Unit{}, 3, "0.042 mm"},
		{0.042, UnitNewton, 3, "0.042 mm"},
		{1e-12, UnitMillimetre, -1, "1e-12 mm"},
		{math.NaN(), UnitMillimetre, 3, "not known"},
		{math.Inf(1), UnitMillimetre, 3, "not known"},
	} {
		if got := Format(c.value, KindLength, c.unit, c.decimals); got != c.want {
			t.Errorf("Format(%v, %s, %d) = %q, want %q", c.value, c.unit, c.decimals, got, c.want)
		}
	}
	if got := Format(130, KindAngle, UnitDegree, 0); got != "130°" {
		t.Errorf("angle: %q", got)
	}
	if got := Number(0.042, UnitMicrometre, 1); got != strconv.Itoa(42)+".0" {
		t.Errorf("Number: %q", got)
	}
}

func TestPreferences(t *testing.T) {
	mixed := Metric.With(KindLength, true).With(KindTorque, true)
	for _, c := range []struct {
		p    Preferences
		text string
	}{{Metric, "metric"}, {Inch, "inch"}, {mixed, "inch for length, torque"}} {
		b, err := c.p.MarshalText()
		if err != nil || string(b) != c.text {
			t.Errorf("%q, %v, want %q", b, err, c.text)
		}
		var back Preferences
		if err := back.UnmarshalText(b); err != nil || back != c.p {
			t.Errorf("%q reads back %v, %v", b, back, err)
		}
	}
	if mixed.Unit(KindLength) != UnitInch || mixed.Unit(KindPressure) != UnitBar || mixed.With(KindLength, false).Unit(KindLength) != UnitMillimetre {
		t.Error("mixed preferences give the wrong units")
	}
	if got := mixed.Format(0.042, KindLength, 0.001); got != "0.00165 in" {
		t.Errorf("preferred print: %q", got)
	}
	for _, s := range []string{"", "imperial", "inch for", "inch for luck", "inch for length,,"} {
		p := mixed
		if err := p.UnmarshalText([]byte(s)); err == nil || p != mixed || !strings.Contains(err.Error(), "preference") {
			t.Errorf("%q: %v, %v", s, p, err)
		}
	}
}

// TestInOtherZero: where the units begin at different zeros, a half of the last
// digit would not come back; one digit more does.
func TestInOtherZero(t *testing.T) {
	for _, c := range []struct {
		typed, want string
		in          Unit
	}{{"0.0 °C", "273.15 K", UnitKelvin}, {"21 °C", "294 K", UnitKelvin}, {"21.5 °C", "294.65 K", UnitKelvin}, {"90 °C", "194 °F", UnitFahrenheit}} {
		r, err := Parse(KindTemperature, c.typed, Unit{})
		if err != nil {
			t.Fatal(err)
		}
		if got := r.In(c.in); got != c.want {
			t.Errorf("%s is %s, want %s", c.typed, got, c.want)
		}
	}
}
