// SPDX-License-Identifier: Apache-2.0

package mesh

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g ± %.2g", what, got, want, tol)
	}
}

func TestRelations(t *testing.T) {
	// Recomputed independently: m_n 2, z 20/40, α_n 20°, centres apart by 0.05
	// mm. j_t linear, j_bn, and α_t by helix angle.
	for _, c := range []struct{ beta, alphaT, jt, jbn float64 }{
		{0, 20, 0.0363970, 0.0342020},
		{15, 20.646896, 0.0376810, 0.0342020},
		{25, 21.880233, 0.0401597, 0.0342020},
	} {
		name := fmt.Sprintf("β %g°", c.beta)
		near(t, name+" α_t", TransversePressureAngle(20, c.beta), c.alphaT, 5e-7)
		near(t, name+" Δa", CentreChange(c.jt, 20, c.beta), 0.05, 1e-7)
		near(t, name+" j_bn", NormalBacklash(c.jt, 20, c.beta), c.jbn, 5e-8)
	}
	// Published: a gear maker's handbook, Δa = 1.933 j at 14.5°, 1.374 j at 20°.
	near(t, "14.5°", CentreChange(1, 14.5, 0), 1.933, 0.0005)
	near(t, "20°", CentreChange(1, 20, 0), 1.374, 0.0005)
}

// TestLinearAgainstExact holds the linear relation against the involute one
// within its stated half percent.
func TestLinearAgainstExact(t *testing.T) {
	const a, alpha, da = 60.0, 20 * math.Pi / 180, 0.05
	inv := func(x float64) float64 { return math.Tan(x) - x }
	operating := math.Acos(a * math.Cos(alpha) / (a + da))
	exact := 2 * (a + da) * (inv(operating) - inv(alpha))
	near(t, "exact", exact, 0.0365416, 5e-8) // recomputed independently
	near(t, "linear over exact", 0.0363970/exact, 1, 0.005)
}

func TestFromReading(t *testing.T) {
	// Recomputed independently: r 20, R 50, j_t 0.0363970 reads 0.0909926.
	s := Setup{ReadRadius: 50, PitchRadius: 20, PressureAngle: 20}
	j, err := FromReading(s, 0.0909926)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "transverse", j, 0.0363970, 5e-8)
	s = Setup{Measured: Normal, PressureAngle: 20, Helix: 15}
	j, _ = FromReading(s, 0.0342020)
	near(t, "normal", j, 0.0376810, 5e-8)
	s.Measured = Axial
	j, _ = FromReading(s, 0.1)
	near(t, "axial", j, 0.0267949, 5e-8)
}

// TestMiddle: common practice, no source: 0.07 mm sits in the middle of 0.06 to
// 0.08 mm.
func TestMiddle(t *testing.T) {
	s := Setup{ReadRadius: 50, PitchRadius: 50, PressureAngle: 20}
	r, err := Measure(s, []Reading{{0, 0.07}, {120, 0.07}, {240, 0.07}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "centre change", r.ToMiddle(s, 0.06, 0.08), 0, 1e-12)
	near(t, "run-out", r.RunoutAmplitude, 0, 1e-12)
	near(t, "too tight by 0.02", r.ToMiddle(s, 0.08, 0.10), 0.02*1.373739, 1e-7)
}

func TestRunout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		amplitude := rapid.Float64Range(0.001, 0.05).Draw(t, "amplitude")
		at := rapid.Float64Range(0, 359.9).Draw(t, "at")
		turn := rapid.Float64Range(-720, 720).Draw(t, "turn")
		n := rapid.IntRange(3, 40).Draw(t, "n")
		s := Setup{ReadRadius: 30, PitchRadius: 45, PressureAngle: 20}
		var list []Reading
		for i := range n {
			a := turn + 360*float64(i)/float64(n)
			list = append(list, Reading{a, (0.1 + amplitude*math.Cos(radians(a-at))) / 1.5})
		}
		r, err := Measure(s, list)
		if err != nil {
			t.Fatal(err)
		}
		off := math.Abs(r.RunoutAngle - at)
		if math.Abs(r.RunoutAmplitude-amplitude) > 1e-9 || math.Min(off, 360-off) > 1e-5 || math.Abs(r.Mean-0.1) > 1e-9 {
			t.Fatalf("put in 0.1 and %g at %g°, got %+v", amplitude, at, r)
		}
		if !(r.Min <= r.Mean && r.Mean <= r.Max && r.RunoutAngle >= 0 && r.RunoutAngle < 360) || r.Scale != 1.5 {
			t.Fatalf("out of order: %+v", r)
		}
	})
}

func TestFewAngles(t *testing.T) {
	s := Setup{Measured: Normal, PressureAngle: 20}
	for _, list := range [][]Reading{{{0, 0.07}}, {{0, 0.07}, {90, 0.07}}, {{0, 0.07}, {360, 0.07}, {90, 0.07}, {450, 0.08}}} {
		r, err := Measure(s, list)
		if err != nil {
			t.Fatal(err)
		}
		if !math.IsNaN(r.RunoutAmplitude) || !math.IsNaN(r.RunoutAngle) {
			t.Errorf("%v: run-out %g at %g°", list, r.RunoutAmplitude, r.RunoutAngle)
		}
	}
}

func TestRefuses(t *testing.T) {
	good := Setup{ReadRadius: 50, PitchRadius: 20, PressureAngle: 20}
	for want, c := range map[string]struct {
		change func(*Setup)
		list   []Reading
	}{
		"pressure angle":   {func(s *Setup) { s.PressureAngle = 0 }, []Reading{{0, 0.1}}},
		"helix angle: 80°": {func(s *Setup) { s.Helix = 80 }, []Reading{{0, 0.1}}},
		"both are needed":  {func(s *Setup) { s.ReadRadius = 0 }, []Reading{{0, 0.1}}},
		"ten times":        {func(s *Setup) { s.ReadRadius = 500 }, []Reading{{0, 0.1}}},
		"straight tooth":   {func(s *Setup) { s.Measured = Axial }, []Reading{{0, 0.1}}},
		"no direction":     {func(s *Setup) { s.Measured = "across" }, []Reading{{0, 0.1}}},
		"no readings":      {func(*Setup) {}, nil},
		"reading 2":        {func(*Setup) {}, []Reading{{0, 0.1}, {1, -0.1}}},
		"reading 1":        {func(*Setup) {}, []Reading{{math.NaN(), 0.1}}},
	} {
		s := good
		c.change(&s)
		if _, err := Measure(s, c.list); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
	for _, word := range []string{"", "transverse", "normal", "axial"} {
		if _, err := ParseDirection(word); err != nil {
			t.Errorf("%q: %v", word, err)
		}
	}
}

func TestReadReadings(t *testing.T) {
	for name, file := range map[string]string{
		"as documented":  "angle_deg,reading_mm\n0,0.07\n90,0.08\n",
		"decimal commas": "\ufeffangle_deg;reading_mm\r\n0;0,07\r\n90;0,08\r\n",
		"tabs":           "note\treading_mm\tangle_deg\nx\t0.07\t0\n\t0,08\t90\n",
		"mojibake":       "Angle (Â°),Reading (mm)\n\n0,\"0,07\"\n90, 0.08\n",
	} {
		list, err := ReadReadings(strings.NewReader(file))
		if err != nil || len(list) != 2 || list[0] != (Reading{0, 0.07}) || list[1] != (Reading{90, 0.08}) {
			t.Errorf("%s: %v, %v", name, list, err)
		}
	}
	for want, file := range map[string]string{
		"no line that names":                    "",
		"the columns are a, b":                  "a,b\n1,2\n",
		"no readings under":                     "angle_deg,reading_mm\n",
		`line 3: "x" is no number`:              "angle_deg,reading_mm\n0,1\n1,x\n",
		`line 2: "NaN" is no number`:            "angle_deg,reading_mm\n0,NaN\n",
		"line 2: 4 cells, the header has 2; de": "angle_deg,reading_mm\n0,0,0,07\n",
		"not plain text":                        "\xff\xfea\x00n\x00\n",
		"more than 100000 readings":             "angle_deg,reading_mm\n" + strings.Repeat("0,0.1\n", maxReadings+1),
	} {
		if _, err := ReadReadings(strings.NewReader(file)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}

func FuzzReadReadings(f *testing.F) {
	f.Add("angle_deg,reading_mm\n0,0.07\n90,0.08\n180,0.07\n")
	f.Add("angle_deg;reading_mm\n0;0,07\n")
	f.Add("reading\tangle\n\"0\t1\n")
	f.Fuzz(func(t *testing.T, s string) {
		list, err := ReadReadings(strings.NewReader(s))
		if err != nil {
			return
		}
		r, err := Measure(Setup{Measured: Normal, PressureAngle: 20}, list)
		if err == nil && !(r.Min <= r.Max && r.Mean >= r.Min*(1-1e-9) && r.Mean <= r.Max*(1+1e-9)) {
			t.Fatalf("%+v of %q", r, s)
		}
	})
}

func Example() {
	s := Setup{ReadRadius: 50, PitchRadius: 20, PressureAngle: 20}
	r, err := Measure(s, []Reading{{0, 0.180}, {90, 0.175}, {180, 0.170}, {270, 0.175}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f mm, once a turn ±%.3f mm, greatest at %.0f°\n", r.Mean, r.RunoutAmplitude, r.RunoutAngle)
	// Output: 0.070 mm, once a turn ±0.002 mm, greatest at 0°
}
