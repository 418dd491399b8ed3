// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func combine(t *testing.T, ms ...Measurement) Combined {
	t.Helper()
	c, err := Combine(ms)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// By hand: weights 1/1 and 1/4.
func TestCombineWeights(t *testing.T) {
	c := combine(t, Direct(10, 1), Direct(11, 2))
	near(t, "value", c.Value, 10.2, 1e-12)
	near(t, "u", c.U, math.Sqrt(0.8), 1e-12)
	near(t, "Birge", c.Birge, math.Sqrt(0.2), 1e-12) // χ² = 0.04 + 0.16
	near(t, "normalised error", c.NormalisedError, 1/(2*math.Sqrt(5)), 1e-12)
	if !c.Consistent || c.N != 2 {
		t.Errorf("%+v", c)
	}
}

func TestCombineDisagreeing(t *testing.T) {
	c := combine(t, Direct(10, 1), Direct(20, 1))
	near(t, "Birge", c.Birge, math.Sqrt(50), 1e-12) // χ² = 2·25, by hand
	near(t, "widened", c.U, 5, 1e-12)
	if c.Consistent || c.NormalisedError <= 1 {
		t.Errorf("%+v", c)
	}
}

// What readings share does not shrink.
func TestCombineCommon(t *testing.T) {
	m := Measurement{Value: 1, U: 0.5, CommonU: 0.4}
	c := combine(t, m, m, m, m)
	near(t, "u", c.U, math.Hypot(0.4, 0.3/2), 1e-12)
	near(t, "common", c.CommonU, 0.4, 1e-12)
}

func TestCombineOne(t *testing.T) {
	m := Measurement{Value: 1, U: 0.5, HalfWidth: 0.2, Assumed: true}
	if c := combine(t, m); c.Measurement != m || !c.Consistent {
		t.Errorf("%+v", c)
	}
}

func TestCombineCensored(t *testing.T) {
	more := func(v float64) Measurement { return Measurement{Value: v, U: 0.005, Side: OrMore} }
	less := func(v float64) Measurement { return Measurement{Value: v, U: 0.005, Side: OrLess} }
	if c := combine(t, more(0.076), more(0.100)); c.Side != OrMore || c.Value != 0.100 {
		t.Errorf("the tightest counts: %+v", c)
	}
	if c := combine(t, more(0.076), less(0.100)); c.Side != Unknown {
		t.Errorf("%+v", c)
	}
	if c := combine(t, more(0.076), Direct(0.080, 0.005)); c.Side != NotCensored || !c.Consistent || c.Value != 0.080 {
		t.Errorf("confirmed: %+v", c)
	}
	if c := combine(t, more(0.076), Direct(0.040, 0.005)); c.Side != Unknown || c.Consistent {
		t.Errorf("contradicted: %+v", c)
	}
	if c := combine(t, less(0.025), Direct(0.060, 0.005)); c.Side != Unknown || c.Consistent {
		t.Errorf("contradicted: %+v", c)
	}
}

func TestCombineExact(t *testing.T) {
	if c := combine(t, Direct(1, 0), Direct(1, 0), Direct(3, 1)); c.Value != 1 || c.U != 0 || !c.Consistent {
		t.Errorf("%+v", c)
	}
	c := combine(t, Direct(1, 0), Direct(3, 0))
	near(t, "scatter", c.U, 1, 1e-12) // by hand: s = √2, over √2
	if c.Consistent || c.Value != 2 {
		t.Errorf("%+v", c)
	}
}

func TestCombineRefuses(t *testing.T) {
	if _, err := Combine(nil); !errors.Is(err, ErrInput) {
		t.Error(err)
	}
	if _, err := Combine([]Measurement{Direct(math.NaN(), 1)}); !errors.Is(err, ErrMeasurement) {
		t.Error(err)
	}
}

// A mean lies between its readings, is no worse than the best unless they
// disagree, and does not depend on their order.
func TestCombineProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "n")
		var ms, turned []Measurement
		low, high, best := math.Inf(1), math.Inf(-1), math.Inf(1)
		for range n {
			m := Direct(rapid.Float64Range(-5, 5).Draw(t, "v"), rapid.Float64Range(0.01, 3).Draw(t, "u"))
			ms, turned = append(ms, m), append([]Measurement{m}, turned...)
			low, high, best = math.Min(low, m.Value), math.Max(high, m.Value), math.Min(best, m.U)
		}
		c, err := Combine(ms)
		if err != nil {
			t.Fatal(err)
		}
		if c.Value < low-1e-12 || c.Value > high+1e-12 || (c.Birge <= 1 && c.U > best+1e-12) {
			t.Fatalf("%+v of %+v", c, ms)
		}
		d, err := Combine(turned)
		if err != nil || math.Abs(c.Value-d.Value) > 1e-9 || math.Abs(c.U-d.U) > 1e-9 {
			t.Fatalf("order: %+v and %+v, %v", c, d, err)
		}
	})
}

func TestJointWithin(t *testing.T) {
	j, err := JointWithin([]float64{0.9, 0.8, 1})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "product", j.Independent, 0.72, 1e-12)
	near(t, "at least", j.AtLeast, 0.7, 1e-12)
	near(t, "at most", j.AtMost, 0.8, 1e-12)
	if j, err = JointWithin([]float64{0.3, 0.3}); err != nil || j.AtLeast != 0 {
		t.Errorf("%+v %v", j, err)
	}
	if j, err = JointWithin(nil); err != nil || j.Independent != 1 {
		t.Errorf("%+v %v", j, err)
	}
	if _, err = JointWithin([]float64{1.2}); !errors.Is(err, ErrInput) {
		t.Error(err)
	}
}

func TestOdds(t *testing.T) {
	for _, c := range []struct {
		p    float64
		want string
	}{
		{0, "less than 1 in 10,000"}, {0.00009, "less than 1 in 10,000"}, {0.0001, "about 1 in 10,000"},
		{0.0004, "about 1 in 2,500"}, {0.00102, "about 1 in 1,000"}, {0.004, "about 1 in 250"}, {0.0228, "about 1 in 45"},
		{0.05, "about 1 in 20"}, {0.1, "about 1 in 10"}, {0.16, "about 1 in 6"}, {0.2, "about 1 in 5"},
		{0.2525, "about 1 in 4"}, {0.33, "about 1 in 3"}, {0.4, "about 2 in 5"}, {0.47, "about even"}, {0.5, "about even"},
		{0.6, "about 3 in 5"}, {0.66, "about 2 in 3"}, {0.75, "about 3 in 4"}, {0.81, "about 4 in 5"}, {0.9, "about 9 in 10"},
		{0.95, "about 19 in 20"}, {0.99, "about 99 in 100"}, {0.999, "about 999 in 1,000"}, {0.99999, "almost certain"},
		{1, "almost certain"}, {math.NaN(), "unknown"}, {-0.1, "unknown"}, {1.1, "unknown"},
	} {
		if got := Odds(c.p); got != c.want {
			t.Errorf("Odds(%g) = %q, want %q", c.p, got, c.want)
		}
	}
}

// The normalised error is that of the two readings that differ most, found by
// looking at every two.
func TestNormalisedErrorIsOfEveryTwo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spreads := []float64{0.001, 0.002, rapid.Float64Range(1e-6, 1).Draw(t, "u")}
		ms := make([]Measurement, rapid.IntRange(2, 12).Draw(t, "n"))
		for i := range ms {
			ms[i] = Direct(rapid.Float64Range(-1, 1).Draw(t, "v"), rapid.SampledFrom(spreads).Draw(t, "of"))
		}
		want := 0.0
		for i, a := range ms {
			for _, b := range ms[:i] {
				want = math.Max(want, math.Abs(a.Value-b.Value)/(2*math.Hypot(a.own(), b.own())))
			}
		}
		if got := normalisedError(ms); got != want {
			t.Fatalf("normalised error %v, of every two %v", got, want)
		}
	})
}
