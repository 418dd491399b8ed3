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
	type bound struct{ tolerance, worst, rms float64 }
	var w worker
	for m, bounds := range map[Method][]bound{Short: {{0, 2e-3, 4e-4}, {2e-4, 1.5e-3, 3e-4}}, Map: {{0, 2e-3, 4e-4}, {2e-4, 1.5e-3, 3e-4}, {1e-3, 1e-2, 2e-3}}} {
		n, sum, worst := 0, make([]float64, len(bounds)), make([]float64, len(bounds))
		for _, e := range []Engine{demoEngine(), hard} {
			for _, speed := range []float64{1000, 2000, 3500, 5000, 6500, 8000} {
				load := must(e.Cycle(rpm(speed)))
				for _, um := range []float64{30, 45, 60, 80} {
					for _, mu := range []float64{0.005, 0.009, 0.015} {
						n++
						c := Case{Bearing: Bearing{0.052, 0.018, um * 1e-6}, Viscosity: mu, Speed: rpm(speed), Load: load, Method: m, Options: Options{Bare: true, Tolerance: 1e-8}}
						f := must(NewFilm(c))
						fine := must(w.solve(&c, f)).MinFilm
						for i, b := range bounds {
							w.forget()
							c.Options.Tolerance = b.tolerance
							d := must(w.solve(&c, f)).MinFilm/fine - 1
							sum[i], worst[i] = sum[i]+d*d, math.Max(worst[i], math.Abs(d))
						}
					}
				}
			}
		}
		for i, b := range bounds {
			if rms := math.Sqrt(sum[i] / float64(n)); n != 144 || worst[i] > b.worst || rms > b.rms {
				t.Errorf("%s, tolerance %g: %d orbits, %.3f %% at worst, %.3f %% rms", m, b.tolerance, n, 100*worst[i], 100*rms)
			}
		}
	}
}

// TestStepOrder: the least film of the integrator of order five falls with about
// the fifth power of the steps: by the line through the logarithms of the root
// mean square over speeds, against a tolerance of 1e-10.
func TestStepOrder(t *testing.T) {
	speeds := []float64{1500, 2500, 3500, 4500, 5500, 6500, 7500}
	var fine, x, y []float64
	for _, v := range speeds {
		c := demoCase(t, v, Map)
		c.Options = Options{Bare: true, Tolerance: 1e-10}
		fine = append(fine, must(Solve(c)).MinFilm)
	}
	for _, tol := range []float64{1e-3, 1e-4, 1e-5, 1e-6} {
		sum, steps := 0.0, 0
		for i, v := range speeds {
			c := demoCase(t, v, Map)
			c.Options = Options{Bare: true, Tolerance: tol}
			r := must(Solve(c))
			sum += math.Pow(r.MinFilm/fine[i]-1, 2)
			steps += r.Steps
		}
		x, y = append(x, math.Log(float64(steps))), append(y, math.Log(sum)/2)
	}
	if order := -slopeOf(x, y); order < 4 || order > 7 {
		t.Errorf("the error falls with power %.2f of the steps", order)
	}
}
