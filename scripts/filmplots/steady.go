// SPDX-License-Identifier: Apache-2.0

package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"

	"gonum.org/v1/plot/plotter"

	"witnessmark/film"
)

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
