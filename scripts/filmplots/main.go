// SPDX-License-Identifier: Apache-2.0

// Command filmplots computes the convergence and comparison studies of
// docs/film.md and writes their plots and tables to docs/film. Run it from the
// top of the repository; it takes a minute or two:
//
//	go run ./scripts/filmplots
package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/plotutil"
	"gonum.org/v1/plot/vg"

	"witnessmark/film"
)

const folder = "docs/film"

func main() {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		fail(err)
	}
	var doc strings.Builder
	doc.WriteString("<!-- SPDX-License-Identifier: Apache-2.0 -->\n\n# Tables of the film studies\n\nWritten by `go run ./scripts/filmplots`. The engine is invented.\n")
	for _, study := range []func(*strings.Builder) error{raimondiBoyd, boundaries, gridConvergence, stepConvergence, methods, widths, mapAccuracy, shapes, clearances, polar} {
		if err := study(&doc); err != nil {
			fail(err)
		}
	}
	if err := os.WriteFile(filepath.Join(folder, "tables.md"), []byte(doc.String()), 0o644); err != nil {
		fail(err)
	}
}

func fail(err error) {
	fmt.Fprintln(os.Stderr, "filmplots:", err)
	os.Exit(1)
}

func rpm(v float64) float64 { return v * math.Pi / 30 }
func deg(v float64) float64 { return v * 180 / math.Pi }

// engine is invented: a four-cylinder petrol engine of two litres.
func engine() film.Engine {
	return film.Engine{Crank: film.Crank{Radius: 0.0435, Rod: 0.144}, Bore: 0.0865, ReciprocatingMass: 0.52, RotatingMass: 0.42,
		Strokes: 4, Gas: film.Gas{Compression: 11, Intake: 95e3, Peak: 85e5}}
}

func engineCase(speed float64, m film.Method) (film.Case, error) {
	c, err := engine().Cycle(rpm(speed))
	return film.Case{Bearing: film.Bearing{Diameter: 0.052, Width: 0.018, Clearance: 50e-6}, Viscosity: 0.009, Speed: rpm(speed), Load: c, Method: m}, err
}

// line is one curve of a chart.
type line struct {
	name string
	pts  plotter.XYs
}

// draw writes a chart of lines as SVG.
func draw(file, title, x, y string, logX, logY, points bool, lines ...line) error {
	p := plot.New()
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = title, x, y
	if logX {
		p.X.Scale, p.X.Tick.Marker = plot.LogScale{}, plot.TickerFunc(roundTicks)
	}
	if logY {
		p.Y.Scale, p.Y.Tick.Marker = plot.LogScale{}, plot.LogTicks{Prec: -1}
	}
	p.Legend.Top, p.Legend.XOffs = true, -vg.Points(6)
	p.Add(plotter.NewGrid())
	for i, l := range lines {
		c, err := plotter.NewLine(l.pts)
		if err != nil {
			return err
		}
		c.Color, c.Dashes, c.Width = plotutil.Color(i), plotutil.Dashes(i), vg.Points(1.2)
		if points {
			s, err := plotter.NewScatter(l.pts)
			if err != nil {
				return err
			}
			s.Color, s.Shape = plotutil.Color(i), plotutil.Shape(i)
			p.Add(c, s)
			p.Legend.Add(l.name, c, s)
			continue
		}
		p.Add(c)
		p.Legend.Add(l.name, c)
	}
	if !logY {
		p.Y.Max += 0.35 * (p.Y.Max - p.Y.Min) // room for the legend
	}
	return p.Save(16*vg.Centimeter, 10*vg.Centimeter, filepath.Join(folder, file))
}

// roundTicks are 1, 2, 3 and 5 of every power of ten, all with their numbers: a
// decade alone would leave most of these axes bare.
func roundTicks(low, high float64) []plot.Tick {
	var out []plot.Tick
	for ten := math.Pow(10, math.Floor(math.Log10(low))); ten <= high; ten *= 10 {
		for _, k := range []float64{1, 2, 3, 5} {
			if v := k * ten; v >= low && v <= high {
				out = append(out, plot.Tick{Value: v, Label: strconv.FormatFloat(v, 'g', -1, 64)})
			}
		}
	}
	return out
}

// drawSquare writes a chart with the same scale both ways.
func drawSquare(file, title, x, y string, half float64, lines ...line) error {
	p := plot.New()
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = title, x, y
	p.Add(plotter.NewGrid())
	for i, l := range lines {
		c, err := plotter.NewLine(l.pts)
		if err != nil {
			return err
		}
		c.Color, c.Dashes, c.Width = plotutil.Color(i), plotutil.Dashes(i), vg.Points(1.2)
		p.Add(c)
		p.Legend.Add(l.name, c)
	}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = -half, half, -half, half
	return p.Save(12*vg.Centimeter, 12*vg.Centimeter, filepath.Join(folder, file))
}

func raimondiBoyd(doc *strings.Builder) error {
	f, err := os.Open("film/testdata/raimondi_boyd.csv")
	if err != nil {
		return err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return err
	}
	fmt.Fprint(doc, "\n## Against Raimondi and Boyd\n\nField on 96 × 8, film begun at the widest gap; difference from the printed table in per cent (attitude in degrees).\n\n| L/D | ε | S | attitude | friction | flow | side flow | pressure ratio |\n|---|---|---|---|---|---|---|---|\n")
	byRatio := map[string]plotter.XYs{}
	sum, n := 0.0, 0
	for _, r := range rows[1:] {
		if r[0] == "inf" {
			continue
		}
		ld := num(r[0])
		s, err := film.SteadyField(ld, num(r[1]), film.WidestGap, film.Grid{})
		if err != nil {
			return err
		}
		d := func(got float64, col int) float64 { return 100 * (got/num(r[col]) - 1) }
		fmt.Fprintf(doc, "| %s | %s | %+.2f | %+.2f | %+.2f | %+.2f | %+.2f | %+.2f |\n", r[0], r[1], d(s.Sommerfeld, 4), deg(s.Attitude)-num(r[3]),
			d(s.Friction, 5), d(s.Flow, 6), d(s.SideFlow/s.Flow, 7), d(s.PressureRatio, 8))
		byRatio[r[0]] = append(byRatio[r[0]], plotter.XY{X: num(r[1]), Y: d(s.Sommerfeld, 4)})
		if num(r[1]) < 0.95 {
			sum += d(s.Sommerfeld, 4) * d(s.Sommerfeld, 4)
			n++
		}
	}
	fmt.Fprintf(doc, "\nS up to ε = 0.9: %.2f %% rms.\n", math.Sqrt(sum/float64(n)))
	return draw("raimondi_boyd.svg", "Sommerfeld number against Raimondi and Boyd (1958)", "eccentricity ratio", "difference, %", false, false, true,
		line{"L/D 1", byRatio["1"]}, line{"L/D 1/2", byRatio["1/2"]}, line{"L/D 1/4", byRatio["1/4"]})
}

func boundaries(doc *strings.Builder) error {
	fmt.Fprint(doc, "\n## Where the film begins\n\nNatural boundary against the widest gap, field on 192 × 12.\n\n| L/D | ε | S, % | attitude, ° | side flow, % |\n|---|---|---|---|---|\n")
	for _, ld := range []float64{0.35, 1} {
		for _, eps := range []float64{0.2, 0.5, 0.8, 0.95} {
			var n [2]film.SteadyNumbers
			for i, b := range []film.Boundary{film.Natural, film.WidestGap} {
				var err error
				if n[i], err = film.SteadyField(ld, eps, b, film.Grid{Around: 192, Across: 12}); err != nil {
					return err
				}
			}
			fmt.Fprintf(doc, "| %g | %g | %+.2f | %+.2f | %+.1f |\n", ld, eps, 100*(n[0].Sommerfeld/n[1].Sommerfeld-1), deg(n[0].Attitude-n[1].Attitude), 100*(n[0].SideFlow/n[1].SideFlow-1))
		}
	}
	return nil
}

func num(s string) float64 {
	if d, ok := strings.CutPrefix(s, "1/"); ok {
		return 1 / num(d)
	}
	v, _ := strconv.ParseFloat(s, 64)
	return v
}

func gridConvergence(doc *strings.Builder) error {
	columns := []int{48, 72, 96, 120, 144, 192, 240, 288, 384}
	ratios := []float64{0.3, 0.5, 0.7, 0.8, 0.9, 0.95}
	fmt.Fprint(doc, "\n## Mesh\n\nError of S against 768 × 64, natural boundary, in per cent; N columns round the bearing, N/12 rows across half of it. "+
		"At one eccentricity the errors round and across cancel here and there, so the order is read from the root mean square over eccentricities: "+
		"the slope of the straight line through the logarithms.\n\n| L/D | ε |")
	for _, n := range columns {
		fmt.Fprintf(doc, " %d × %d |", n, n/12)
	}
	fmt.Fprint(doc, " order |\n|---|---|"+strings.Repeat("---|", len(columns)+1)+"\n")
	var lines []line
	for _, ld := range []float64{0.35, 1} {
		rms := make([]float64, len(columns))
		for _, eps := range ratios {
			ref, err := film.SteadyField(ld, eps, film.Natural, film.Grid{Around: 768, Across: 64})
			if err != nil {
				return err
			}
			fmt.Fprintf(doc, "| %g | %g |", ld, eps)
			for i, n := range columns {
				s, err := film.SteadyField(ld, eps, film.Natural, film.Grid{Around: n, Across: n / 12})
				if err != nil {
					return err
				}
				e := 100 * (s.Sommerfeld/ref.Sommerfeld - 1)
				rms[i] += e * e / float64(len(ratios))
				fmt.Fprintf(doc, " %.3f |", e)
			}
			fmt.Fprintln(doc, " |")
		}
		l := line{name: fmt.Sprintf("L/D %g, rms over ε", ld)}
		fmt.Fprintf(doc, "| %g | rms |", ld)
		for i, n := range columns {
			fmt.Fprintf(doc, " %.3f |", math.Sqrt(rms[i]))
			l.pts = append(l.pts, plotter.XY{X: float64(n), Y: math.Sqrt(rms[i])})
		}
		fmt.Fprintf(doc, " %.2f |\n", -order(l.pts))
		lines = append(lines, l)
	}
	return draw("mesh.svg", "Error of the Sommerfeld number by mesh", "columns round the bearing", "error, %", true, true, true,
		append(lines, guide("second order", lines[1].pts, -2))...)
}

// order is the slope of the least-squares line through the logarithms.
func order(pts plotter.XYs) float64 {
	var sx, sy, sxx, sxy float64
	for _, p := range pts {
		x, y := math.Log(p.X), math.Log(p.Y)
		sx, sy, sxx, sxy = sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	n := float64(len(pts))
	return (n*sxy - sx*sy) / (n*sxx - sx*sx)
}

// guide is the straight line of a power, above the points.
func guide(name string, pts plotter.XYs, power float64) line {
	first, last := pts[0], pts[len(pts)-1]
	return line{name: name, pts: plotter.XYs{{X: first.X, Y: 2 * first.Y}, {X: last.X, Y: 2 * first.Y * math.Pow(last.X/first.X, power)}}}
}

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

func widths(doc *strings.Builder) error {
	fmt.Fprint(doc, "\n## By width\n\nThe engine at 5000 rev/min, load in proportion to the width: least film in µm.\n\n| L/D | short | map | field 192 × 12 | map against the field |\n|---|---|---|---|---|\n")
	for _, ld := range []float64{0.25, 0.35, 0.5, 0.75, 1} {
		fmt.Fprintf(doc, "| %g |", ld)
		var h []float64
		for _, m := range []film.Method{film.Short, film.Map, film.Field} {
			c, err := engineCase(5000, m)
			if err != nil {
				return err
			}
			c.Bearing.Width = ld * c.Bearing.Diameter
			c.Load = c.Load.Scaled(ld / 0.346)
			c.Options = film.Options{Grid: film.Grid{Around: 192, Across: 12}, Bare: true}
			r, err := film.Solve(c)
			if err != nil {
				return err
			}
			h = append(h, r.MinFilm)
			fmt.Fprintf(doc, " %.4f |", 1e6*r.MinFilm)
		}
		fmt.Fprintf(doc, " %+.2f %% |\n", 100*(h[1]/h[2]-1))
	}
	return nil
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
