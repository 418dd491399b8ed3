// SPDX-License-Identifier: Apache-2.0

package film

import (
	"math"
	"testing"
)

// TestOrbitErrors: the least film at the tolerance that is used where none is
// named and at those of the timings, over 144 cases of two invented engines, against our own orbits at a
// tolerance of 1e-8. The integrator itself is held against SciPy elsewhere.
func TestOrbitErrors(t *testing.T) {
	t.Parallel()
	hard := demoEngine()
	hard.Gas.Peak = 140e5
	var w worker
	for _, v := range []struct {
		m                     Method
		tolerance, worst, rms float64
	}{{Short, 0, 2e-3, 4e-4}, {Map, 0, 2e-3, 4e-4}, {Short, 2e-4, 1.5e-3, 3e-4}, {Map, 2e-4, 1.5e-3, 3e-4}, {Map, 1e-3, 1e-2, 2e-3}} {
		m := v.m
		n, sum, worst := 0, 0.0, 0.0
		for _, e := range []Engine{demoEngine(), hard} {
			for _, speed := range []float64{1000, 2000, 3500, 5000, 6500, 8000} {
				load := must(e.Cycle(rpm(speed)))
				for _, um := range []float64{30, 45, 60, 80} {
					for _, mu := range []float64{0.005, 0.009, 0.015} {
						c := Case{Bearing: Bearing{0.052, 0.018, um * 1e-6}, Viscosity: mu, Speed: rpm(speed), Load: load, Method: m, Options: Options{Bare: true, Tolerance: v.tolerance}}
						f := must(NewFilm(c))
						w.forget()
						got := must(w.solve(&c, f)).MinFilm
						w.forget()
						c.Options.Tolerance = 1e-8
						d := got/must(w.solve(&c, f)).MinFilm - 1
						n, sum, worst = n+1, sum+d*d, math.Max(worst, math.Abs(d))
					}
				}
			}
		}
		rms := math.Sqrt(sum / float64(n))
		if n != 144 || worst > v.worst || rms > v.rms {
			t.Errorf("%s, tolerance %g: %d orbits, %.3f %% at worst, %.3f %% rms", m, v.tolerance, n, 100*worst, 100*rms)
		}
	}
}

// TestStepOrder: the least film of the integrator of order five falls with about
// the fifth power of the steps: by the line through the logarithms of the root
// mean square over speeds, against a tolerance of 1e-10.
func TestStepOrder(t *testing.T) {
	speeds := []float64{1500, 2500, 3500, 4500, 5500, 6500, 7500}
	x, y := []float64{}, []float64{}
	for _, tol := range []float64{1e-3, 1e-4, 1e-5, 1e-6} {
		sum, steps := 0.0, 0
		for _, v := range speeds {
			c := demoCase(t, v, Map)
			c.Options = Options{Bare: true, Tolerance: 1e-10}
			fine := must(Solve(c)).MinFilm
			c.Options.Tolerance = tol
			r := must(Solve(c))
			sum += math.Pow(r.MinFilm/fine-1, 2)
			steps += r.Steps
		}
		x, y = append(x, math.Log(float64(steps))), append(y, math.Log(sum)/2)
	}
	if order := -slopeOf(x, y); order < 4 || order > 7 {
		t.Errorf("the error falls with power %.2f of the steps", order)
	}
}
