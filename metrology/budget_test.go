// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"errors"
	"math"
	"testing"
)

// endGauge is JCGM 100:2008, H.1, in nm. The inputs are the half-widths behind
// the printed, rounded uncertainties: δα ±1e-6, δθ ±0.05, θ cyclic ±0.5.
func endGauge() Budget {
	return Budget{
		Inputs: []Input{
			StudentInput("standard", 50000623, 25, 18),
			StudentInput("repeats", 215, 5.8, 24),
			StudentInput("comparator, random", 0, 3.9, 5),
			StudentInput("comparator, systematic", 0, 6.7, 8),
			RectangularInput("expansion of the standard", 11.5e-6, 2e-6),
			NormalInput("mean temperature", -0.1, 0.2),
			ArcsineInput("cyclic temperature", 0, 0.5),
			RectangularInput("difference of expansion", 0, 1e-6).WithDegreesOfFreedom(50),
			RectangularInput("difference of temperature", 0, 0.05).WithDegreesOfFreedom(2),
		},
		Model: func(x []float64) float64 {
			return x[0] + x[1] + x[2] + x[3] - x[0]*(x[7]*(x[5]+x[6])+x[4]*x[8])
		},
	}
}

func TestBudgetEndGauge(t *testing.T) {
	r, err := endGauge().Evaluate()
	if err != nil {
		t.Fatal(err)
	}
	// Published: JCGM 100:2008, H.1.
	near(t, "length", r.Value, 50000838, 0.5)
	near(t, "u_c", r.U, 32, 0.5)
	near(t, "ν_eff", r.DegreesOfFreedom, 16.7, 0.1)
	near(t, "u_c with second order", r.SecondOrderU, 34, 0.5)
	low, high, k := r.CoverageInterval(0.99)
	near(t, "t99", k, 2.92, 0.005)
	near(t, "U99", (high-low)/2, 93, 1)
	// Recomputed from the same inputs.
	near(t, "u_c", r.U, 31.66388, 0.01)
	near(t, "ν_eff", r.DegreesOfFreedom, 16.7519, 0.001)
	near(t, "second order", r.SecondOrderU, 33.807, 0.01)
	for i, want := range []float64{25, 5.8, 3.9, 6.7, 0, 0, 0, 2.88679, 16.59903} {
		near(t, r.Lines[i].Name, r.Lines[i].Contribution, want, 0.001)
	}
	shares := 0.0
	for _, l := range r.Lines {
		shares += l.Share
	}
	near(t, "shares", shares, 1, 1e-12)
}

// The same with the printed, rounded inputs: u(δα) 0.58e-6, u(δθ) 0.029.
func TestBudgetEndGaugeRounded(t *testing.T) {
	b := endGauge()
	b.Inputs[7] = NormalInput("difference of expansion", 0, 0.58e-6).WithDegreesOfFreedom(50)
	b.Inputs[8] = NormalInput("difference of temperature", 0, 0.029).WithDegreesOfFreedom(2)
	r, err := b.Evaluate()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u_c", r.U, 31.7051, 0.001)
	near(t, "ν_eff", r.DegreesOfFreedom, 16.6446, 0.001)
}

// By hand: sensitivities of a product and of a power are exact.
func TestBudgetSensitivity(t *testing.T) {
	b := Budget{
		Inputs: []Input{NormalInput("a", 3, 0.1), NormalInput("b", 5, 0.2), NormalInput("exact", 2, 0)},
		Model:  func(x []float64) float64 { return x[0]*x[1]*x[2] + math.Pow(x[0], 4) },
	}
	r, err := b.Evaluate()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "a", r.Lines[0].Sensitivity, 10+4*27, 1e-9)
	near(t, "b", r.Lines[1].Sensitivity, 6, 1e-9)
	near(t, "exact", r.Lines[2].Sensitivity, 15, 1e-6)
	if !math.IsInf(r.DegreesOfFreedom, 1) {
		t.Errorf("ν %g", r.DegreesOfFreedom)
	}
}

func TestBudgetRefuses(t *testing.T) {
	sum := func(x []float64) float64 { return x[0] }
	for name, b := range map[string]Budget{
		"empty":     {},
		"no model":  {Inputs: []Input{NormalInput("a", 1, 1)}},
		"NaN":       {[]Input{NormalInput("a", math.NaN(), 1)}, sum},
		"u < 0":     {[]Input{NormalInput("a", 1, -1)}, sum},
		"no shape":  {[]Input{{Name: "a", Value: 1, U: 1}}, sum},
		"t without": {[]Input{StudentInput("a", 1, 1, 0)}, sum},
		"not finite": {[]Input{NormalInput("a", 1, 1)}, func(x []float64) float64 {
			return math.Log(-x[0] - 10)
		}},
	} {
		if _, err := b.Evaluate(); !errors.Is(err, ErrInput) {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := b.Propagate(MonteCarlo{Trials: 10000}); !errors.Is(err, ErrInput) {
			t.Errorf("%s, trials: %v", name, err)
		}
	}
	if _, err := (Budget{[]Input{NormalInput("a", 1, 1)}, sum}).Propagate(MonteCarlo{Coverage: 2}); !errors.Is(err, ErrConfidence) {
		t.Errorf("coverage 2: %v", err)
	}
}
