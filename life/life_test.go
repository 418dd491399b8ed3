// SPDX-License-Identifier: Apache-2.0

package life

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"testing"

	"pgregory.net/rapid"
)

// golden is testdata/golden.json: another program's, R 4.2 with survival 3.5.
type golden struct {
	Turbine []struct {
		Hours             float64
		Inspected, Failed int
	}
	Shape, Scale  float64
	LogLikelihood float64 `json:"log_likelihood"`
	Within        []struct{ Shape, Scale, Run, Further, Chance float64 }
}

func readGolden(t testing.TB) (g golden) {
	t.Helper()
	data, err := os.ReadFile("testdata/golden.json")
	if err == nil {
		err = json.Unmarshal(data, &g)
	}
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*max(math.Abs(want), 1e-300)
}

func TestWithinAsR(t *testing.T) {
	for _, c := range readGolden(t).Within {
		if got, err := (Weibull{c.Shape, c.Scale}).Within(c.Run, c.Further); err != nil || !near(got, c.Chance, 1e-10) {
			t.Errorf("%+v: %v, %v", c, got, err)
		}
	}
}

// Another program's: survreg with wheels censored on one side each; the same
// figures are in circulation for this data set.
func TestFitOfTurbineWheels(t *testing.T) {
	g := readGolden(t)
	var looks []Look
	for _, r := range g.Turbine {
		for i := range r.Inspected {
			looks = append(looks, Look{Run: r.Hours, Needed: i < r.Failed})
		}
	}
	w, err := Fit(looks)
	if err != nil || !near(w.Shape, g.Shape, 1e-5) || !near(w.Scale, g.Scale, 1e-5) {
		t.Fatalf("%+v, %v; want shape %g, scale %g", w, err, g.Shape, g.Scale)
	}
	if got := w.likelihood(looks); !near(got, g.LogLikelihood, 1e-8) {
		t.Errorf("ln L = %.6f, want %.6f", got, g.LogLikelihood)
	}
}

// By hand: with shape 1 the past does not matter; new with shape 2,
// 1 − exp(−(h/η)²); after η/2 another η/2, 1 − exp(0.25 − 1).
func TestWithinByHand(t *testing.T) {
	for _, c := range []struct{ shape, scale, run, further, want float64 }{
		{1, 100, 50, 100, 1 - math.Exp(-1)}, {1, 100, 0, 100, 1 - math.Exp(-1)}, {2, 100, 0, 50, 1 - math.Exp(-0.25)},
		{2, 100, 50, 50, 1 - math.Exp(-0.75)}, {3, 5, 1, 0, 0}, {15, 1, 1e30, 1, 1}, {2, 100, 1, math.Inf(1), 1},
	} {
		if got, err := (Weibull{c.shape, c.scale}).Within(c.run, c.further); err != nil || math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%+v: %v, %v", c, got, err)
		}
	}
	var out *RangeError
	for _, c := range [][4]float64{{0, 1, 1, 1}, {1, 0, 1, 1}, {1, 1, -1, 1}, {1, 1, 1, -1}, {1, 1, 1, math.NaN()}, {math.NaN(), 1, 1, 1}, {1, math.Inf(1), 1, 1}, {1, 1, math.Inf(1), 1}} {
		if _, err := (Weibull{c[0], c[1]}).Within(c[2], c[3]); !errors.As(err, &out) {
			t.Errorf("%v gives %v", c, err)
		}
	}
}

// By hand: from 10 % before 100 and 1 − 0.9⁴ before 200, H grows fourfold while
// x doubles, so β = 2.
func TestFromQuantilesByHand(t *testing.T) {
	w, err := FromQuantiles(0.1, 100, 1-math.Pow(0.9, 4), 200)
	if err != nil || !near(w.Shape, 2, 1e-12) || !near(w.Scale, 100/math.Sqrt(-math.Log(0.9)), 1e-12) {
		t.Errorf("%+v, %v", w, err)
	}
	for _, c := range [][4]float64{{0, 1, 0.5, 2}, {0.5, 1, 0.1, 2}, {0.1, 0, 0.5, 2}, {0.1, 2, 0.5, 2}, {0.1, 1, 1, 2}, {0.1, 1, 0.5, math.Inf(1)}} {
		if w, err := FromQuantiles(c[0], c[1], c[2], c[3]); err == nil {
			t.Errorf("%v gives %+v", c, w)
		}
	}
}

// A distribution that comes from quantiles has them, its survival is what the
// chances are made of, and a longer horizon never makes a need less likely.
func TestWeibullProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p1 := rapid.Float64Range(0.01, 0.5).Draw(t, "p1")
		p2 := rapid.Float64Range(p1+0.05, 0.95).Draw(t, "p2")
		x1 := rapid.Float64Range(1e3, 1e5).Draw(t, "x1")
		x2 := rapid.Float64Range(x1*1.2, x1*5).Draw(t, "x2")
		w, err := FromQuantiles(p1, x1, p2, x2)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range [][2]float64{{p1, x1}, {p2, x2}} {
			if q, err := w.Quantile(c[0]); err != nil || !near(q, c[1], 1e-9) {
				t.Fatalf("%+v: quantile %g is %g (%v), not %g", w, c[0], q, err, c[1])
			}
		}
		run, h := rapid.Float64Range(0, x2).Draw(t, "run"), rapid.Float64Range(0, x2).Draw(t, "further")
		p, _ := w.Within(run, h)
		before, _ := w.Survival(run)
		after, _ := w.Survival(run + h)
		if before > 1e-200 && math.Abs(p-(1-after/before)) > 1e-9 {
			t.Fatalf("%+v: %g within %g after %g; survival %g and %g", w, p, h, run, before, after)
		}
		if longer, _ := w.Within(run, h*1.1); longer < p-1e-12 {
			t.Fatalf("%+v: %g within %g, %g within a tenth more", w, p, h, longer)
		}
	})
}

func TestFitAsksForEnough(t *testing.T) {
	looks := func(worn, sound []float64) (out []Look) {
		for _, x := range worn {
			out = append(out, Look{x, true})
		}
		for _, x := range sound {
			out = append(out, Look{x, false})
		}
		return out
	}
	for name, l := range map[string][]Look{
		"nothing":         nil,
		"seven":           looks([]float64{90, 80, 120}, []float64{50, 60, 100, 70}),
		"two of one sort": looks([]float64{90, 80}, []float64{50, 60, 100, 70, 75, 40}),
		"parted cleanly":  looks([]float64{100, 110, 120, 130}, []float64{50, 60, 70, 80}),
		"the wrong way":   looks([]float64{50, 60, 70, 80}, []float64{100, 110, 120, 130}),
	} {
		if w, err := Fit(l); !errors.Is(err, ErrTooFew) {
			t.Errorf("%s: %+v, %v", name, w, err)
		}
	}
	var out *RangeError
	if _, err := Fit(looks([]float64{0}, nil)); !errors.As(err, &out) {
		t.Error(err)
	}
}

// Lives that are drawn from a distribution and looked at once give it back,
// nearly: with 4000 looks a shape of 2.5 is met to a tenth (found by trial).
func TestFitFindsWhatWasDrawn(t *testing.T) {
	truth := Weibull{2.5, 160_000}
	var looks []Look
	for i := range 4000 {
		u := math.Mod(float64(i)*0.6180339887498949, 1) // evenly spread, no chance in it
		v := math.Mod(float64(i)*0.7548776662466927, 1)
		life, _ := truth.Quantile(u)
		run := 20_000 + 280_000*v
		looks = append(looks, Look{run, life <= run})
	}
	w, err := Fit(looks)
	if err != nil || !near(w.Shape, truth.Shape, 0.05) || !near(w.Scale, truth.Scale, 0.02) {
		t.Errorf("%+v, %v", w, err)
	}
}
