// SPDX-License-Identifier: Apache-2.0

package main

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot/plotter"

	"witnessmark/film"
)

func stepConvergence(doc *strings.Builder) error {
	fmt.Fprint(doc, "\n## Steps\n\nLeast film of the engine by tolerance: error against 1e-10 in per cent, with the steps of a period, method map.\n\n| tolerance |")
	speeds := []float64{1500, 2500, 3500, 4500, 5500, 6500, 7500}
	for _, v := range speeds {
		fmt.Fprintf(doc, " %g rev/min |", v)
	}
	fmt.Fprint(doc, " rms (mean) |\n|---|"+strings.Repeat("---|", len(speeds)+1)+"\n")
	ref := make([]float64, len(speeds))
	rms := line{name: "rms over speeds"}
	for _, tol := range []float64{1e-10, 1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 1e-6, 1e-7} {
		if tol > 1e-10 {
			fmt.Fprintf(doc, "| %g |", tol)
		}
		sum, steps := 0.0, 0
		for i, v := range speeds {
			c, err := engineCase(v, film.Map)
			if err != nil {
				return err
			}
			c.Options = film.Options{Tolerance: tol, Bare: true}
			r, err := film.Solve(c)
			if err != nil {
				return err
			}
			if tol == 1e-10 {
				ref[i] = r.MinFilm
				continue
			}
			e := 100 * (r.MinFilm/ref[i] - 1)
			sum, steps = sum+e*e, steps+r.Steps
			fmt.Fprintf(doc, " %+.4f (%d) |", e, r.Steps)
		}
		if tol > 1e-10 {
			n := float64(len(speeds))
			p := plotter.XY{X: float64(steps) / n, Y: math.Sqrt(sum / n)}
			fmt.Fprintf(doc, " %.4f (%.0f) |\n", p.Y, p.X)
			rms.pts = append(rms.pts, p)
		}
	}
	fmt.Fprintf(doc, "\nFrom 1e-3 on the error falls with power %.1f of the steps.\n", -order(rms.pts[2:]))
	return draw("steps.svg", "Error of the least film by steps of a period", "steps", "error, %", true, true, true, rms, guide("fifth order", rms.pts, -5))
}

func methods(doc *strings.Builder) error {
	fmt.Fprint(doc, "\n## Methods\n\nThe engine, 52 × 18 mm, 50 µm, 9 mPa·s: least film in µm.\n\n| rev/min | short | map | field 96 × 8 | field 192 × 12 | map against the finer field |\n|---|---|---|---|---|---|\n")
	var lines []line
	for _, v := range []float64{1500, 3000, 4500, 6000, 7500} {
		fmt.Fprintf(doc, "| %g |", v)
		var h []float64
		for _, k := range []struct {
			m film.Method
			g film.Grid
		}{{film.Short, film.Grid{}}, {film.Map, film.Grid{}}, {film.Field, film.Grid{}}, {film.Field, film.Grid{Around: 192, Across: 12}}} {
			c, err := engineCase(v, k.m)
			if err != nil {
				return err
			}
			c.Options = film.Options{Grid: k.g, Bare: true, Points: 720}
			r, err := film.Solve(c)
			if err != nil {
				return err
			}
			h = append(h, r.MinFilm)
			fmt.Fprintf(doc, " %.4f |", 1e6*r.MinFilm)
			if v == 4500 && k.g.Around != 192 {
				l := line{name: string(k.m)}
				for _, p := range r.Points {
					l.pts = append(l.pts, plotter.XY{X: deg(p.Angle), Y: 1e6 * p.Film})
				}
				lines = append(lines, l)
			}
		}
		fmt.Fprintf(doc, " %+.2f %% |\n", 100*(h[1]/h[3]-1))
	}
	return draw("methods.svg", "Film through the cycle, 4500 rev/min", "crank angle from firing top dead centre, °", "least film, µm", false, false, false, lines...)
}

func mapAccuracy(doc *strings.Builder) error {
	fmt.Fprint(doc, "\n## The mobility table\n\nVelocity of the map against the field on 384 × 16, in per cent, over 200 places of which none is a node.\n\n| L/D | greatest | rms |\n|---|---|---|\n")
	for _, ld := range []float64{0.15, 0.25, 0.35, 0.5, 0.75, 1, 1.2} {
		m, err := film.NewMapFilm(ld)
		if err != nil {
			return err
		}
		f, err := film.NewFieldFilm(ld, film.Grid{Around: 384, Across: 16})
		if err != nil {
			return err
		}
		worst, sum, n := 0.0, 0.0, 0
		for i := range 20 {
			e := 1 - math.Pow(10, -3*(float64(i)+0.37)/20)
			for j := range 10 {
				a := math.Pi * math.Pow((float64(j)+0.61)/10, 2)
				s := film.State{X: e * math.Cos(a), Y: e * math.Sin(a), Wx: 1}
				mx, my, _ := m.Velocity(&s)
				fx, fy, ok := f.Velocity(&s)
				if !ok {
					return fmt.Errorf("no film at %+v", s)
				}
				d := 100 * math.Hypot(mx-fx, my-fy) / math.Hypot(fx, fy)
				worst, sum, n = math.Max(worst, d), sum+d*d, n+1
			}
		}
		fmt.Fprintf(doc, "| %g | %.2f | %.2f |\n", ld, worst, math.Sqrt(sum/float64(n)))
	}
	return nil
}

func shapes(doc *strings.Builder) error {
	fmt.Fprint(doc, "\n## Shape\n\nLeast film left of the round, aligned bearing's, 4000 rev/min, method field. Taper, barrel and ovality are differences of diameters.\n\n| µm | journal taper | journal barrel | journal ovality, worst phase | bore ovality, widest along the rod | bore ovality, widest across |\n|---|---|---|---|---|---|\n")
	c, err := engineCase(4000, film.Field)
	if err != nil {
		return err
	}
	c.Options = film.Options{Bare: true, Tolerance: 1e-3}
	round, err := film.Solve(c)
	if err != nil {
		return err
	}
	left := func(s film.Shape) float64 {
		d := c
		d.Shape = s
		r, err := film.Solve(d)
		if err != nil {
			return math.NaN()
		}
		return r.MinFilm / round.MinFilm
	}
	lines := []line{{name: "taper"}, {name: "barrel"}, {name: "journal ovality, worst"}, {name: "bore ovality along"}, {name: "bore ovality across"}}
	for _, um := range []float64{1, 2, 4, 6, 8, 10, 20} {
		v := um * 1e-6
		worst := 2.0
		for _, at := range []float64{0, 30, 60, 90, 120, 150} {
			worst = math.Min(worst, left(film.Shape{JournalOvality: v, JournalOvalityAt: at * math.Pi / 180}))
		}
		all := []float64{left(film.Shape{JournalTaper: v}), left(film.Shape{JournalBarrel: v}), worst,
			left(film.Shape{BoreOvality: v}), left(film.Shape{BoreOvality: v, BoreOvalityAt: math.Pi / 2})}
		fmt.Fprintf(doc, "| %g |", um)
		for i, x := range all {
			if math.IsNaN(x) {
				fmt.Fprint(doc, " no film |")
				continue
			}
			fmt.Fprintf(doc, " %.2f |", x)
			lines[i].pts = append(lines[i].pts, plotter.XY{X: um, Y: x})
		}
		fmt.Fprintln(doc)
	}
	return draw("shape.svg", "What shape costs, 4000 rev/min", "difference of diameters, µm", "film over the round bearing's", false, false, true, lines...)
}

func clearances(*strings.Builder) error {
	var lines []line
	for _, mu := range []float64{0.006, 0.009, 0.013} {
		l := line{name: fmt.Sprintf("%g mPa·s", 1e3*mu)}
		for um := 20.0; um <= 90; um += 2.5 {
			c, err := engineCase(4000, film.Map)
			if err != nil {
				return err
			}
			c.Bearing.Clearance, c.Viscosity, c.Options.Bare = um*1e-6, mu, true
			r, err := film.Solve(c)
			if err != nil {
				return err
			}
			l.pts = append(l.pts, plotter.XY{X: um, Y: 1e6 * r.MinFilm})
		}
		lines = append(lines, l)
	}
	return draw("clearance.svg", "Least film by clearance and oil, 4000 rev/min, one viscosity", "diametral clearance, µm", "least film, µm", false, false, false, lines...)
}

// polar draws the load on the big end and the journal's orbit.
func polar(*strings.Builder) error {
	c, err := engineCase(4000, film.Map)
	if err != nil {
		return err
	}
	c.Options.Points = 720
	r, err := film.Solve(c)
	if err != nil {
		return err
	}
	load, orbit, circle := line{name: "load, kN"}, line{name: "journal's centre"}, line{name: "clearance circle"}
	for i, p := range append(r.Points, r.Points[0]) {
		load.pts = append(load.pts, plotter.XY{X: p.Fy / 1e3, Y: p.Fx / 1e3})
		orbit.pts = append(orbit.pts, plotter.XY{X: p.Y, Y: p.X})
		s, k := math.Sincos(2 * math.Pi * float64(i) / 720)
		circle.pts = append(circle.pts, plotter.XY{X: s, Y: k})
	}
	if err := drawSquare("load.svg", "Load on the big end in the rod's frame, 4000 rev/min", "across the rod, 90° ahead, kN", "along the rod to the piston, kN", 50, load); err != nil {
		return err
	}
	return drawSquare("orbit.svg", "Orbit of the journal in the rod, 4000 rev/min", "across the rod, 90° ahead", "along the rod to the piston", 1.2, orbit, circle)
}
