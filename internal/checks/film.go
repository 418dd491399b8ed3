// SPDX-License-Identifier: Apache-2.0

package checks

import (
	"fmt"
	"math"

	"witnessmark/film"
)

// printed are the rows of the table up to ε = 0.9.
var printed = []struct{ ld, eps, s, phi, friction, side float64 }{
	{1, 0.1, 1.33, 79.5, 26.4, 0.15}, {1, 0.2, 0.631, 74.02, 12.8, 0.28}, {1, 0.4, 0.264, 63.1, 5.79, 0.497},
	{1, 0.6, 0.121, 50.58, 3.22, 0.68}, {1, 0.8, 0.0446, 36.24, 1.7, 0.842}, {1, 0.9, 0.0188, 26.45, 1.05, 0.919},
	{0.5, 0.1, 4.31, 81.62, 85.6, 0.173}, {0.5, 0.2, 2.03, 74.94, 40.9, 0.318}, {0.5, 0.4, 0.779, 61.45, 17, 0.552},
	{0.5, 0.6, 0.319, 48.14, 8.1, 0.73}, {0.5, 0.8, 0.0923, 33.31, 3.26, 0.874}, {0.5, 0.9, 0.0313, 23.66, 1.6, 0.939},
	{0.25, 0.1, 16.2, 82.31, 322, 0.18}, {0.25, 0.2, 7.57, 75.18, 153, 0.33}, {0.25, 0.4, 2.83, 60.86, 61.1, 0.567},
	{0.25, 0.6, 1.07, 46.72, 26.7, 0.746}, {0.25, 0.8, 0.261, 31.04, 8.8, 0.884}, {0.25, 0.9, 0.0736, 21.85, 3.5, 0.945},
}

// filmChecks holds the film's methods, the crank and the orbits against tables,
// closed forms and SciPy.
func filmChecks() []Check {
	var list []Check
	for _, c := range printed {
		list = append(list, raimondiBoyd(c.ld, c.eps, c.s, c.phi, c.friction, c.side)...)
	}
	list = append(list, raimondiBoydRMS())
	list = append(list, shortChecks()...)
	list = append(list, crankChecks()...)
	return append(list, orbitChecks()...)
}

// raimondiBoyd holds the field, on the mesh that is used where none is named,
// against one row of the table.
func raimondiBoyd(ld, eps, s, phi, friction, side float64) []Check {
	const source = "Raimondi and Boyd, ASLE Trans. 1 (1958) 159, part III, 360° bearing; film begun at the widest gap"
	check := func(what string, want, tol float64, get func(film.SteadyNumbers) float64) Check {
		return Check{Name: fmt.Sprintf("film: %s at L/D %g, ε %g", what, ld, eps), Expected: want, Tolerance: tol, Source: source, Kind: FromMemory,
			Got: func() (float64, error) {
				n, err := film.SteadyField(ld, eps, film.WidestGap, film.Grid{})
				return get(n), err
			}}
	}
	return []Check{
		check("Sommerfeld number", s, 0.015*s, func(n film.SteadyNumbers) float64 { return n.Sommerfeld }),
		check("attitude in degrees", phi, 0.7, func(n film.SteadyNumbers) float64 { return n.Attitude * 180 / math.Pi }),
		check("friction", friction, 0.01*friction, func(n film.SteadyNumbers) float64 { return n.Friction }),
		check("side flow over flow", side, 0.007*side, func(n film.SteadyNumbers) float64 { return n.SideFlow / n.Flow }),
	}
}

// raimondiBoydRMS is what all rows together differ by.
func raimondiBoydRMS() Check {
	return Check{Name: "film: Sommerfeld number over all 18 rows, rms of the difference", Expected: 0, Tolerance: 0.007, Kind: FromMemory,
		Source: "Raimondi and Boyd, ASLE Trans. 1 (1958) 159, part III, 360° bearing; film begun at the widest gap",
		Got: func() (float64, error) {
			sum := 0.0
			for _, c := range printed {
				got, err := film.SteadyField(c.ld, c.eps, film.WidestGap, film.Grid{})
				if err != nil {
					return 0, err
				}
				sum += math.Pow(got.Sommerfeld/c.s-1, 2)
			}
			return math.Sqrt(sum / float64(len(printed))), nil
		}}
}

func shortChecks() []Check {
	var list []Check
	for _, c := range []struct{ eps, load, phi float64 }{{0.5, 0.750381, 53.6802}, {0.8, 5.73133, 30.5002}, {0.9, 24.0061, 20.8261}} {
		at := func(get func(film.SteadyNumbers) float64) func() (float64, error) {
			return func() (float64, error) {
				n, err := film.ShortSteady(0.5, c.eps)
				return get(n), err
			}
		}
		const source = "Ocvirk, NACA TN 2808 (1952); formula from memory, quadrature of the pressure in SciPy to 12 digits"
		list = append(list,
			// W c²/(μ U L³) = 1/(4π S (L/D)²).
			Check{Name: fmt.Sprintf("film: short load W c²/(μ U L³) at ε %g", c.eps), Expected: c.load, Tolerance: 5e-6 * c.load, Source: source, Kind: Recomputed,
				Got: at(func(n film.SteadyNumbers) float64 { return 1 / (4 * math.Pi * n.Sommerfeld * 0.25) })},
			Check{Name: fmt.Sprintf("film: short attitude at ε %g", c.eps), Expected: c.phi, Tolerance: 1e-4, Source: source, Kind: Recomputed,
				Got: at(func(n film.SteadyNumbers) float64 { return n.Attitude * 180 / math.Pi })})
	}
	for _, c := range [][2]float64{{0.2, 2.7706089}, {0.8, 91.76503}, {0.95, 2968.4488}} {
		list = append(list, Check{Name: fmt.Sprintf("film: short squeeze integral at ε %g", c[0]), Expected: c[1], Tolerance: 1e-6 * c[1],
			Source: "closed form, and quadrature in SciPy to 8 digits", Kind: Recomputed,
			Got: func() (float64, error) {
				f, err := film.NewShortFilm(0.5)
				if err != nil {
					return 0, err
				}
				v, _, _ := f.Velocity(&film.State{X: c[0], Wx: 1})
				return 1 / v, nil // 4 (L/D)² = 1
			}})
	}
	return list
}

func crankChecks() []Check {
	k, w := film.Crank{Radius: 0.040, Rod: 0.140}, 200*math.Pi
	const source = "crank 40 mm, rod 140 mm, 6000 rev/min: exact formula in NumPy and a symbolic derivative"
	a := func(name string, want, tol float64, get func() float64) Check {
		return Check{Name: "film: " + name, Expected: want, Tolerance: tol, Source: source, Kind: Recomputed,
			Got: func() (float64, error) { return get(), nil }}
	}
	return []Check{
		a("piston acceleration at top dead centre in m/s²", 20303.186, 1e-3, func() float64 { return -k.At(0).X2 * w * w }),
		a("piston acceleration at bottom dead centre in m/s²", -11279.548, 1e-3, func() float64 { return -k.At(math.Pi).X2 * w * w }),
		a("piston acceleration at 75° in m/s²", 47.8023, 1e-4, func() float64 { return -k.At(75*math.Pi/180).X2 * w * w }),
		a("rod acceleration at 60° in rad/s²", -98627.070, 1e-3, func() float64 { return k.At(math.Pi/3).Psi2 * w * w }),
		{Name: "film: inertia load at top dead centre in N", Expected: 16468.140, Tolerance: 0.01, Kind: Recomputed,
			Source: "0.5 kg × 20303.186 m/s² + 0.4 kg × 0.040 m × ω², by hand",
			Got: func() (float64, error) {
				none := film.Gas{Angle: []float64{0, 1, 2, 3, 4 * math.Pi}, Pressure: []float64{101325, 101325, 101325, 101325, 101325}}
				e := film.Engine{Crank: k, Bore: 0.08, ReciprocatingMass: 0.5, RotatingMass: 0.4, Strokes: 4, Gas: none}
				in, err := e.Instants(w)
				if err != nil {
					return 0, err
				}
				return -in[len(in)/2].Fx, nil
			}},
	}
}

// smoothCycle is an invented four-stroke cycle.
func smoothCycle() (*film.Cycle, error) {
	n := 720
	a, fx, fy := make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
	for i := range n + 1 {
		a[i] = float64(i) * math.Pi / 180
		fx[i], fy[i] = 4000+6000*math.Cos(a[i%n]/2), 3000*math.Sin(a[i%n])
	}
	return film.NewCycle(a, fx, fy, nil)
}

func orbitChecks() []Check {
	solve := func(clearance, rpm float64, m film.Method) (film.Result, error) {
		c, err := smoothCycle()
		if err != nil {
			return film.Result{}, err
		}
		return film.Solve(film.Case{Bearing: film.Bearing{Diameter: 0.05, Width: 0.02, Clearance: clearance},
			Viscosity: 0.01, Speed: rpm * math.Pi / 30, Load: c, Method: m})
	}
	const source = "invented cycle; the same equations in SciPy, DOP853 at 1e-10 (scripts/bench/film_scipy.py)"
	list := []Check{
		{Name: "film: least film of the synthetic cycle in µm", Expected: 2.83855, Tolerance: 0.002 * 2.83855, Source: source, Kind: Recomputed,
			Got: func() (float64, error) { r, err := solve(50e-6, 3000, film.Short); return 1e6 * r.MinFilm, err }},
		{Name: "film: its angle in degrees", Expected: 80.24, Tolerance: 1, Source: source, Kind: Recomputed,
			Got: func() (float64, error) {
				r, err := solve(50e-6, 3000, film.Short)
				return r.MinFilmAngle * 180 / math.Pi, err
			}},
		{Name: "film: ratio of least film to clearance, 40 µm", Expected: 0.143993776, Tolerance: 0.000144, Source: source, Kind: Recomputed,
			Got: func() (float64, error) { r, err := solve(40e-6, 3000, film.Short); return r.MinFilm / 20e-6, err }},
		{Name: "film: ratio of least film to clearance, 70 µm", Expected: 0.064054622, Tolerance: 0.000064, Source: source, Kind: Recomputed,
			Got: func() (float64, error) { r, err := solve(70e-6, 2000, film.Short); return r.MinFilm / 35e-6, err }},
	}
	steady := film.SteadyCase{Bearing: film.Bearing{Diameter: 0.048, Width: 0.018, Clearance: 45e-6}, Viscosity: 0.012,
		Speed: 4000 * math.Pi / 30, Load: 6000, Method: film.Field, Boundary: film.WidestGap}
	textbook := film.SteadyCase{Bearing: film.Bearing{Diameter: 0.060, Width: 0.060, Clearance: 80e-6}, Viscosity: 6.293e-3,
		Speed: 1260 * math.Pi / 30, Load: 6000, Method: film.Field, Boundary: film.WidestGap}
	return append(list,
		Check{Name: "film: steady film of finite length in µm", Expected: 4.386, Tolerance: 0.022, Kind: Recomputed,
			Source: "48 × 18 mm, 45 µm, 12 mPa·s, 4000 rev/min, 6 kN: finite differences in NumPy",
			Got:    func() (float64, error) { r, err := film.SolveSteady(steady); return 1e6 * r.MinFilm, err }},
		Check{Name: "film: least film of the textbook bearing in mm", Expected: 0.008, Tolerance: 0.00005, Kind: Published,
			Source: "U. C. Jindal, Machine Design, example 17-2, p. 482 (worked notebook)",
			Got:    func() (float64, error) { r, err := film.SolveSteady(textbook); return 1e3 * r.MinFilm, err }})
}
