// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"math"
	"testing"
)

// A tapered oval journal, exact readings: derived by hand from
// d = D + (o/2)·cos 2(θ−30°), front 52.004, rear 52.000, o = 0.006 and 0.004.
func TestFitFormOfATaperedOval(t *testing.T) {
	var places []Place
	for i, plane := range []string{"front", "rear"} {
		for _, θ := range []float64{0, 45, 90, 135} {
			d := 52.004 - 0.004*float64(i) + (0.003-0.001*float64(i))*math.Cos(2*(θ-30)*math.Pi/180)
			places = append(places, Place{Plane: plane, At: 15 * float64(i), Angle: &θ, Reading: d})
		}
	}
	s, err := FitForm(places, Repeatability{StdDev: 0.001})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "diameter", s.Diameter.Value, 52.002, 1e-9)
	near(t, "its spread", s.Diameter.U, 0.001/math.Sqrt(8), 1e-12) // eight readings of 1 µm
	near(t, "ovality", s.Oval.Roundness.Ovality.Value, 0.006, 1e-9)
	near(t, "direction", s.Oval.Roundness.Direction, 30, 1e-6)
	near(t, "taper", s.Taper.Difference.Value, 0.004, 1e-9)
	if s.Oval.Plane != "front" || s.Outlier == nil || !s.OfResiduals {
		t.Errorf("plane %q, outlier %v", s.Oval.Plane, s.Outlier)
	}
}

// Readings that share a gauge's calibration lose it in their difference, and
// keep what is their own: √(2·1² ) µm against √(2·1² + 2·2²) µm, by hand.
func TestSumBudgetSharesWhatIsShared(t *testing.T) {
	steel := Thermal{Alpha: 11.5e-6, Temperature: 20}
	length := func(name string, sign, value float64, gauge string) Length {
		return Length{Name: name, Sign: sign, Read: Direct(value, 0.001), Part: steel, Scale: steel, Shared: []Shared{{gauge, 0.002}}}
	}
	for _, c := range []struct {
		other string
		u     float64
	}{{"MM-1", math.Sqrt2 * 0.001}, {"BG-1", math.Sqrt(10) * 0.001}} {
		b, err := SumBudget([]Length{length("bore", 1, 52.05, "MM-1"), length("journal", -1, 52, c.other)}, nil)
		if err != nil {
			t.Fatal(err)
		}
		r, err := b.Evaluate()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "clearance", r.Value, 0.05, 1e-9)
		near(t, "its spread with "+c.other, r.U, c.u, 1e-8)
	}
}

// A warm journal is larger than at 20 °C: 52 mm, 30 °C, 11.5 µm/(m·K) and a
// gauge at 20 °C give 52/(1 + 115·10⁻⁶) = 51.994021 mm, by hand.
func TestSumBudgetAtReference(t *testing.T) {
	b, err := SumBudget([]Length{{Name: "journal", Sign: 1, Read: Direct(52, 0.001),
		Part: Thermal{Alpha: 11.5e-6, UAlpha: 1e-6, Temperature: 30, UTemperature: 0.5}, Scale: Thermal{Alpha: 11.5e-6, Temperature: 20}}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := b.Evaluate()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "at 20 °C", r.Value, 51.9940207, 1e-7)
	// u² = 1² + (52·10·1e-6)² + (52·11.5e-6·0.5)² mm, in µm: 1² + 0.52² + 0.299².
	near(t, "spread", 1000*r.U, math.Sqrt(1+0.52*0.52+0.299*0.299), 1e-3)
}
