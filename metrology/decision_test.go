// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g ± %.2g", what, got, want, tol)
	}
}

func decide(t *testing.T, m Measurement, l Limits, c float64) Decision {
	t.Helper()
	d, err := Decide(m, l, c)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// From memory, recomputed: JCGM 106:2012, the two conformance examples of
// clause 7 (breakdown voltage, kinematic viscosity).
func TestConformanceJCGM106(t *testing.T) {
	d := decide(t, Direct(-5.47, 0.05), AtMost(-5.40), 0.8)
	near(t, "one limit", d.Within, 0.919243, 5e-7)
	d = decide(t, Direct(13.6, 1.8), Between(12.5, 16.3), 0.8)
	near(t, "two limits", d.Within, 0.662630, 5e-7)
	if d.Verdict != NotProven {
		t.Errorf("verdict %s at 66 %%, want not proven at 80 %%", d.Verdict)
	}
}

// Common practice, no source: what a strip of 6 % proves.
func TestStripPractice(t *testing.T) {
	s := StripScale{Graduations: []float64{0.025, 0.038, 0.050, 0.063, 0.076, 0.100}}
	l := Between(0.025, 0.064)
	between, err := s.Measure(StripReading{Front: BetweenBars(0.038, 0.050)})
	if err != nil {
		t.Fatal(err)
	}
	if d := decide(t, between.Clearance, l, 0.95); d.Verdict != Within {
		t.Errorf("0.038 to 0.050 mm: %+v", d)
	}
	wide, err := s.Measure(StripReading{Front: AtGraduation(0.076)})
	if err != nil {
		t.Fatal(err)
	}
	if d := decide(t, wide.Clearance, l, 0.95); d.Verdict != Above {
		t.Errorf("0.076 mm: %+v", d)
	}
}

// By hand: a uniform spread alone, and none at all.
func TestDecideWithoutNormalSpread(t *testing.T) {
	uniform := Measurement{Value: 0, HalfWidth: 1}
	d := decide(t, uniform, AtMost(0.6), 0.8)
	near(t, "uniform", d.Within, 0.8, 1e-15)
	if d.Verdict != Within {
		t.Errorf("exactly the confidence is enough: %+v", d)
	}
	if d := decide(t, Direct(1, 0), Between(1, 1), 1); d.Verdict != Within || d.Within != 1 {
		t.Errorf("limits are allowed: %+v", d)
	}
	if d := decide(t, Direct(1+1e-12, 0), AtMost(1), 1); d.Verdict != Above || d.Above != 1 {
		t.Errorf("beyond without spread: %+v", d)
	}
}

func TestDecideConfidenceEnds(t *testing.T) {
	if d := decide(t, Direct(10, 1), AtMost(0), 0); d.Verdict != Within {
		t.Errorf("confidence 0 asks for nothing: %+v", d)
	}
	if d := decide(t, Direct(0, 1), AtMost(5), 1); d.Verdict != NotProven {
		t.Errorf("confidence 1 with a normal spread at 5 u: %+v", d)
	}
	for _, c := range []float64{-0.1, 1.1, 95, math.NaN()} {
		if _, err := Decide(Direct(0, 1), AtMost(5), c); !errors.Is(err, ErrConfidence) {
			t.Errorf("confidence %g: %v", c, err)
		}
	}
}

func TestDecideRefuses(t *testing.T) {
	for _, m := range []Measurement{
		{Value: math.NaN()}, {Value: math.Inf(1)}, {U: -1}, {U: math.NaN()}, {HalfWidth: -1},
		{HalfWidth: math.Inf(1)}, {U: 1, CommonU: 2}, {Side: "sideways"},
	} {
		if _, err := Decide(m, AtMost(1), 0.8); !errors.Is(err, ErrMeasurement) {
			t.Errorf("%+v: %v", m, err)
		}
	}
	for _, l := range []Limits{
		{math.NaN(), 1}, {0, math.NaN()}, {2, 1}, {math.Inf(-1), math.Inf(1)}, {math.Inf(1), math.Inf(1)},
	} {
		if _, err := Decide(Direct(0, 1), l, 0.8); !errors.Is(err, ErrLimits) {
			t.Errorf("%+v: %v", l, err)
		}
	}
}

// A censored reading never proves 'fits', and proves the rest only by its own
// spread.
func TestDecideCensored(t *testing.T) {
	more := Measurement{Value: 0.076, U: 0.0046, Side: OrMore}
	if d := decide(t, more, AtMost(0.064), 0.95); d.Verdict != Above {
		t.Errorf("%+v", d)
	}
	if d := decide(t, more, AtMost(0.070), 0.95); d.Verdict != NotProven {
		t.Errorf("%+v", d)
	}
	if d := decide(t, more, AtLeast(0.010), 0.95); d.Verdict != NotProven || d.Within != 0 {
		t.Errorf("or more is never proof of within: %+v", d)
	}
	less := Measurement{Value: 0.025, U: 0.0015, Side: OrLess}
	if d := decide(t, less, AtLeast(0.030), 0.95); d.Verdict != Below {
		t.Errorf("%+v", d)
	}
	if d := decide(t, less, AtMost(0.5), 0.1); d.Verdict != NotProven {
		t.Errorf("%+v", d)
	}
}

func drawMeasurement(t *rapid.T) Measurement {
	return Measurement{
		Value:     rapid.Float64Range(-10, 10).Draw(t, "value"),
		U:         rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(1e-9, 5)).Draw(t, "u"),
		HalfWidth: rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(1e-9, 5)).Draw(t, "h"),
	}
}

// The three probabilities sum to 1, mirror with the value, and rise with x.
func TestDecideProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawMeasurement(t)
		a := rapid.Float64Range(-10, 10).Draw(t, "a")
		b := a + rapid.Float64Range(0, 10).Draw(t, "width")
		d, err := Decide(m, Between(a, b), 0.8)
		if err != nil {
			t.Fatal(err)
		}
		if sum := d.Within + d.Above + d.Below; math.Abs(sum-1) > 1e-12 {
			t.Fatalf("sum %.17g of %+v", sum, d)
		}
		mirror := m
		mirror.Value = -m.Value
		e, err := Decide(mirror, Between(-b, -a), 0.8)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(d.Above-e.Below) > 1e-13 || math.Abs(d.Within-e.Within) > 1e-13 {
			t.Fatalf("mirror: %+v and %+v", d, e)
		}
		if m.CDF(b) < m.CDF(a)-1e-15 {
			t.Fatalf("CDF falls from %g to %g", a, b)
		}
	})
}

// The interval holds its probability, and 0.5 is the median.
func TestCoverageInterval(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawMeasurement(t)
		if m.StandardUncertainty() == 0 {
			m.U = 1
		}
		p := rapid.Float64Range(0.01, 0.9999).Draw(t, "p")
		low, high, err := m.CoverageInterval(p)
		if err != nil {
			t.Fatal(err)
		}
		if got := m.CDF(high) - m.CDF(low); math.Abs(got-p) > 1e-6 && m.StandardUncertainty() > 1e-6 {
			t.Fatalf("[%g, %g] holds %.9g, want %.9g", low, high, got, p)
		}
	})
	low, high, err := Direct(0, 1).CoverageInterval(0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "normal 95 %", high, 1.959963984540054, 1e-12) // Φ⁻¹(0.975), as in every table
	near(t, "normal 95 %", low, -1.959963984540054, 1e-12)
}
