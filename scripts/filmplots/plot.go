// SPDX-License-Identifier: Apache-2.0

package main

import (
	"math"
	"path/filepath"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/plotutil"
	"gonum.org/v1/plot/vg"
)

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
