// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func steelSeat() Seat {
	return Seat{Bore: 57, Outer: 72, Wall: 1.5, Width: 20, Housing: Steel, Shell: Steel}
}

// TestExpansionChange: recomputed by hand: 60 mm light-alloy bore (23) on steel
// (11.5), warmed by 80 K: 60·11.5e-6·80 = 55.2 µm.
func TestExpansionChange(t *testing.T) {
	got, err := ExpansionChange(60, 23e-6, 11.5e-6, 100)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "change, µm", 1000*got, 55.2, 1e-9)
	if _, err := ExpansionChange(0, 23e-6, 11.5e-6, 100); err == nil {
		t.Error("no diameter is taken")
	}
}

// TestCrushInterference: by hand: halves longer by 0.055 mm each make a
// circumference longer by 0.11 mm.
func TestCrushInterference(t *testing.T) {
	got, err := CrushInterference(0.055)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "interference", got, 0.11/math.Pi, 1e-15)
}

// TestStiffHousing: in a housing that does not give, the shells take all of it.
func TestStiffHousing(t *testing.T) {
	s := steelSeat()
	s.Housing.Modulus = 1e15
	c, err := CrushFit(0.03, s)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "growth", c.HousingGrowth, 0, 1e-9)
	if c.BoreChange >= 0 {
		t.Errorf("the walls thicken inwards, got %g", c.BoreChange)
	}
	// Thin ring: strain δ/D, stress E·δ/D.
	near(t, "hoop stress", c.HoopStress, Steel.Modulus*0.03/57, 0.05*c.HoopStress)
}

func TestCrushProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := steelSeat()
		s.Outer = rapid.Float64Range(60, 120).Draw(t, "outer")
		s.Wall = rapid.Float64Range(1, 4).Draw(t, "wall")
		d := rapid.Float64Range(0.001, 0.1).Draw(t, "interference")
		c, err := CrushFit(d, s)
		if err != nil {
			t.Fatal(err)
		}
		if !(c.HousingGrowth > 0 && c.HousingGrowth < d && c.BoreChange < c.HousingGrowth && c.Pressure > 0) {
			t.Fatalf("%+v", c)
		}
		more, err := CrushFit(2*d, s)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(more.FaceLoad/c.FaceLoad-2) > 1e-9 {
			t.Fatalf("twice the interference: %g and %g N", c.FaceLoad, more.FaceLoad)
		}
		s.Outer += 10
		stiffer, err := CrushFit(d, s)
		if err != nil {
			t.Fatal(err)
		}
		if stiffer.HousingGrowth >= c.HousingGrowth || stiffer.FaceLoad <= c.FaceLoad {
			t.Fatalf("a stiffer housing grows less and presses harder: %+v, %+v", c, stiffer)
		}
	})
}

// The growth that an interference makes leads back to it.
func TestCrushFromGrowth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := steelSeat()
		s.Outer = rapid.Float64Range(60, 120).Draw(t, "outer")
		c, err := CrushFit(rapid.Float64Range(0, 0.1).Draw(t, "interference"), s)
		if err != nil {
			t.Fatal(err)
		}
		back, err := CrushFromGrowth(max(0, c.BoreChange), s)
		if err != nil || math.Abs(back.Interference-c.Interference) > 1e-12 || math.Abs(back.FaceLoad-c.FaceLoad) > 1e-6 {
			t.Fatalf("%+v from %+v, %v", back, c, err)
		}
	})
	for _, growth := range []float64{-0.001, math.NaN(), math.Inf(1), 5} {
		if _, err := CrushFromGrowth(growth, steelSeat()); err == nil {
			t.Errorf("a growth of %g mm is taken", growth)
		}
	}
}

// TestSpread: by hand, steel half shell of 57 mm bore, 1.5 mm wall, 20 mm wide,
// 1 mm spread: I = 20·3.375/12 = 5.625 mm⁴, R = 27.75 mm,
// P = 2·206000·5.625·1/(π·21369.2…) = 34.52 N, p = P/(20·27.75) = 0.0622 MPa.
func TestSpread(t *testing.T) {
	s := steelSeat()
	d, err := SpreadInterference(1, s)
	if err != nil {
		t.Fatal(err)
	}
	c, err := CrushFit(d, s)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "pressure", c.Pressure, 0.0622, 0.00005)
	if crush, _ := CrushInterference(0.05); d > crush/20 {
		t.Errorf("spread presses far less than crush: %g beside %g mm", d, crush)
	}
}

// TestHotClearance: with one material and one temperature everything grows
// alike; an aluminium housing opens and lets go of the shells.
func TestHotClearance(t *testing.T) {
	hot := Temperatures{100, 100, 100}
	h, err := HotClearance(0.042, 0.035, steelSeat(), Steel.Expansion, hot)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "one material", h.Clearance, 0.042*(1+80*Steel.Expansion), 1e-5)
	near(t, "its crush", h.Crush.Interference, 0.035, 1e-12)

	s := steelSeat()
	s.Housing = Aluminium
	s.Outer = 90
	h, err = HotClearance(0.042, 0.035, s, Steel.Expansion, hot)
	if err != nil {
		t.Fatal(err)
	}
	// By hand: the bore is off by 57·11.5e-6·80 = 52.4 µm, more than the 35 µm of crush.
	if !h.Loose || h.Crush.Pressure != 0 {
		t.Errorf("an aluminium housing at 100 °C lets go: %+v", h)
	}
	rest, _ := CrushFit(0.035, s)
	near(t, "opens", h.Change, 57*23e-6*80-3*11.5e-6*80-rest.BoreChange-(54+rest.BoreChange-0.042)*11.5e-6*80, 1e-12)

	at20, err := HotClearance(0.042, 0.035, s, Steel.Expansion, Temperatures{20, 20, 20})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "at 20 °C", at20.Clearance, 0.042, 1e-15)
}

func TestCrushRefuses(t *testing.T) {
	nan := math.NaN()
	for name, change := range map[string]func(*Seat){
		"bore zero":        func(s *Seat) { s.Bore = 0 },
		"outer below bore": func(s *Seat) { s.Outer = 50 },
		"walls too thick":  func(s *Seat) { s.Wall = 30 },
		"modulus zero":     func(s *Seat) { s.Housing.Modulus = 0 },
		"poisson 0.5":      func(s *Seat) { s.Shell.Poisson = 0.5 },
		"width no number":  func(s *Seat) { s.Width = nan },
	} {
		s := steelSeat()
		change(&s)
		_, e1 := CrushFit(0.03, s)
		_, e2 := SpreadInterference(1, s)
		_, e3 := CheckShortening(1000, s)
		_, e4 := HotClearance(0.04, 0.03, s, 1e-5, Temperatures{20, 20, 20})
		if e1 == nil || e2 == nil || e3 == nil || e4 == nil {
			t.Errorf("%s is taken: %v", name, errors.Join(e1, e2, e3, e4))
		}
	}
	for _, d := range []float64{-0.01, nan, 1.5} {
		if _, err := CrushFit(d, steelSeat()); err == nil {
			t.Errorf("interference %g is taken", d)
		}
	}
	if _, err := CrushInterference(-1); err == nil {
		t.Error("a crush height below zero is taken")
	}
	if _, err := HotClearance(0.04, 0.03, steelSeat(), 1e-5, Temperatures{20, 20, 500}); err == nil {
		t.Error("a journal of 500 °C is taken")
	}
}

// TestCheckShortening: by hand: 5000 N on a wall of 1.5 × 20 mm over half a
// middle circumference of π/2·55.5 mm: 5000·87.179/(206000·30) = 0.070533 mm.
func TestCheckShortening(t *testing.T) {
	got, err := CheckShortening(5000, steelSeat())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "shortening", got, 0.070533, 5e-7)
}
