// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"errors"
	"math"
	"testing"
)

func TestGaugeRead(t *testing.T) {
	g := Gauge{Resolution: 0.001, CalibrationU: 0.002, Repeatability: Repeatability{StdDev: 0.0015}, Reproducibility: 0.0005}
	m, err := g.Read(47.99)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u", m.U, math.Sqrt(1e-6+0.25e-6+2.25e-6), 1e-12) // by hand, calibration with k = 2
	near(t, "common", m.CommonU, math.Sqrt(1.25e-6), 1e-12)
	if m.HalfWidth != 0 || m.Assumed {
		t.Errorf("the repeatability holds the resolution: %+v", m)
	}
	g.Repeatability.StdDev, g.CoverageFactor = 0.0001, 4
	if m, err = g.Read(47.99); err != nil {
		t.Fatal(err)
	}
	near(t, "half the resolution", m.HalfWidth, 0.0005, 1e-12)
	near(t, "k = 4", m.U, 0.0005*math.Sqrt2, 1e-12)
	g.Repeatability = AssumedRepeatability(0.001)
	if m, err = g.Read(47.99); err != nil || !m.Assumed {
		t.Errorf("%+v %v", m, err)
	}
	for _, bad := range []Gauge{{}, {Resolution: -1}, {CalibrationU: math.NaN()}, {Repeatability: Repeatability{StdDev: math.Inf(1)}}} {
		if _, err := bad.Read(1); !errors.Is(err, ErrInput) {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	if _, err := g.Read(math.NaN()); !errors.Is(err, ErrMeasurement) {
		t.Error(err)
	}
}

func TestGaugeRange(t *testing.T) {
	g := Gauge{Resolution: 0.001, Range: Between(25, 50)}
	if !g.InRange(25) || g.InRange(50.001) || !(Gauge{}).InRange(1e6) {
		t.Error("range")
	}
}

// A study of two people replaces what was assumed; one person's leaves the
// other persons open.
func TestStudyFeedsTheGauge(t *testing.T) {
	r, err := Study(readStudy(t, "study_two_people.csv"))
	if err != nil {
		t.Fatal(err)
	}
	g := Gauge{Repeatability: AssumedRepeatability(0.001)}.WithStudy(r)
	if g.Repeatability.Assumed || g.Repeatability.StdDev != r.Repeatability.StdDev || g.Reproducibility != r.Reproducibility.StdDev {
		t.Errorf("%+v", g)
	}
	s := bars.WithStudy(r)
	near(t, "relative", s.RelativeU, r.Gauge.StdDev/r.Mean, 1e-12)
	near(t, "persons are common", s.CommonRelativeU, r.Reproducibility.StdDev/r.Mean, 1e-12)
	if s.Assumed || s.Validate() != nil {
		t.Errorf("%+v", s)
	}
	one, err := Study(append(readingsOf("A", "P1", 0.041, 0.043), readingsOf("A", "P2", 0.050, 0.052)...))
	if err != nil {
		t.Fatal(err)
	}
	if s = bars.WithStudy(one); !s.Assumed || s.RelativeU == 0 {
		t.Errorf("%+v", s)
	}
	if g = (Gauge{Reproducibility: 0.002}).WithStudy(one); g.Reproducibility != 0.002 {
		t.Errorf("%+v", g)
	}
}

// A wider spread out of a study turns 'fits' into 'not proven'.
func TestStudyChangesTheVerdict(t *testing.T) {
	l := Between(0.025, 0.064)
	before := measure(t, bars, StripReading{Front: AtGraduation(0.050)}).Clearance
	if d := decide(t, before, l, 0.95); d.Verdict != Within {
		t.Fatalf("%+v", d)
	}
	wide := bars
	wide.RelativeU = 0.2
	after := measure(t, wide, StripReading{Front: AtGraduation(0.050)}).Clearance
	if d := decide(t, after, l, 0.95); d.Verdict != NotProven {
		t.Errorf("%+v", d)
	}
}

func TestFindSlip(t *testing.T) {
	journal, clearance := Between(40, 60), Between(0.005, 0.25)
	for _, c := range []struct {
		v     float64
		in    Limits
		slip  Slip
		meant float64
	}{
		{47.99, journal, NoSlip, 47.99}, {1.8894, journal, SlipInch, 1.8894 * 25.4}, {47990, journal, SlipMicrometre, 47.99},
		{4.799, journal, SlipTenDown, 47.99}, {0.04799, journal, SlipMetre, 47.99}, {479.9, journal, SlipTenUp, 47.99},
		{0.0017, clearance, SlipInch, 0.0017 * 25.4}, {42, clearance, SlipMicrometre, 0.042}, {900, journal, NoSlip, 900},
	} {
		slip, meant := FindSlip(c.v, c.in)
		if slip != c.slip || math.Abs(meant-c.meant) > 1e-9 {
			t.Errorf("%g: %q %g, want %q %g", c.v, slip, meant, c.slip, c.meant)
		}
	}
}

func TestBudgetDrivers(t *testing.T) {
	r, err := clearanceFromParts().Evaluate()
	if err != nil {
		t.Fatal(err)
	}
	if d := r.Drivers(); d[0].Name != "bore" || d[1].Name != "journal" {
		t.Errorf("%+v", d)
	}
	near(t, "exact bore", r.UWith(0, 0), math.Sqrt(0.0015*0.0015+2*0.001*0.001/3), 1e-9)
	near(t, "as it is", r.UWith(0, 0.002), r.U, 1e-12)
	if !math.IsNaN(r.UWith(9, 0)) || r.Measurement().U != r.U {
		t.Error("no such line")
	}
}

func TestNormalisedError(t *testing.T) {
	near(t, "En", NormalisedError(Direct(1, 3), Direct(11, 4)), 1, 1e-12) // by hand: 10/(2·5)
	near(t, "equal and exact", NormalisedError(Direct(1, 0), Direct(1, 0)), 0, 0)
}
