// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// film is an invented film thickness through the working cycle.
func film(scale float64) []XY {
	var p []XY
	for a := 0.0; a <= 720; a += 4 {
		p = append(p, XY{a, scale * (3 + 2.5*math.Sin(a*math.Pi/180) + 3.8*math.Cos(a*math.Pi/360))})
	}
	return p
}

func filmChart() Chart {
	return Chart{
		Title: "Film through one working cycle",
		X:     Scale{Name: "crank angle", Suffix: "°", Max: 720, Step: 90},
		Y:     Scale{Name: "film", Unit: "µm", Max: 8},
		Bands: []Band{{From: 0, To: 0.5, Label: "surface roughness", Ink: InkOut}},
		Series: []Series{
			{Name: "position 4 (0.068 mm)", Points: film(1), Ink: InkOut},
			{Name: "position 1 (0.042 mm)", Points: film(1.3), Ink: InkSoft, Dash: []float64{2, 4}},
		},
		Marks: []ChartMark{{X: 300, Y: 1.0, Label: "1.0 µm", Ink: InkOut}},
	}
}

func loadPolar(rim bool) Polar {
	var p []XY
	for a := 0.0; a <= 360; a += 3 {
		s, c := math.Sincos(a * math.Pi / 180)
		p = append(p, XY{8 * s * (1 + 0.2*c), 18*c - 2})
	}
	return Polar{Title: "Load on the big end", Unit: "kN", Up: "towards the piston", Rim: rim,
		Curves: []Series{{Name: "7,000 rpm", Points: p, Ink: InkAct}},
		Marks:  []ChartMark{{X: 0, Y: -20, Label: "thinnest, on the cap shell", Ink: InkOut}}}
}

func shares() Bars {
	return Bars{Title: "Where the 0.023 mm above the middle most likely sits", Rows: []Bar{
		{Label: "Housing bore", Value: 0.014, Text: "+0.014"}, {Label: "Journal", Value: 0.007, Text: "+0.007"},
		{Label: "Shells", Value: -0.002, Text: "−0.002", Ink: InkFit}, {Label: "Nobody knows", Value: math.NaN(), Text: "—"}}}
}

// twoWays is an invented bolt, tightened in two ways.
func twoWays() Ranges {
	return Ranges{Title: "Clamp load by the way it is tightened", Unit: "kN", Line: &RangeLine{Value: 37.6, Label: "least yield 37.6 kN"}, Rows: []Range{
		{Label: "sheet: 20 Nm, then 30 Nm, then 90°", Low: 37.1, Likely: 41.3, High: 45.7, Text: "37.1 to 45.7 kN, greatest over least 1.23"},
		{Label: "torque alone: 43.5 N·m", Low: 24.0, Likely: 28.1, High: 33.2, Text: "24.0 to 33.2 kN, greatest over least 1.38", Ink: InkWait},
		{Label: "nobody knows", Low: math.NaN(), Likely: math.NaN(), High: math.NaN()}}}
}

var others = []struct {
	name string
	d    Drawing
	w, h float64
}{
	{"chart", filmChart(), 1080, 240},
	{"chart-phone", filmChart(), 360, 300},
	{"ranges", twoWays(), 760, twoWays().Height()},
	{"chart-empty", Chart{Title: "Nothing yet", X: Scale{Unit: "km"}, Y: Scale{Unit: "mm"}}, 500, 200},
	{"polar", loadPolar(false), 360, 380},
	{"polar-rim", loadPolar(true), 360, 380},
	{"bars", shares(), 520, shares().Height()},
}

// TestDrawingsGolden pins the other drawings (our own output: a regression pin
// only; each was looked at as a picture).
func TestDrawingsGolden(t *testing.T) {
	for _, o := range others {
		c := NewStandaloneSVG(o.w, o.h, o.d.Alt(), Light)
		o.d.Draw(c)
		file := filepath.Join("testdata", o.name+".svg")
		if *update {
			if err := os.WriteFile(file, []byte(c.String()+"\n"), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if c.String()+"\n" != string(want) {
			t.Errorf("%s: the drawing is no longer the one in %s; look at it, then run with -update", o.name, file)
		}
	}
}

func TestDrawingsStayOnCanvas(t *testing.T) {
	for _, o := range others {
		c := &probe{w: o.w, h: o.h}
		o.d.Draw(c)
		if c.outside != "" {
			t.Errorf("%s: off the canvas: %s", o.name, c.outside)
		}
		if err := wellFormed(ForPage(o.d, o.w, o.h)); err != nil {
			t.Errorf("%s: %v", o.name, err)
		}
	}
}

func TestTablesAreWhole(t *testing.T) {
	for _, o := range others {
		table := o.d.Table()
		for i, row := range table.Rows {
			if len(row) != len(table.Head) {
				t.Errorf("%s: row %d has %d cells under %d heads", o.name, i, len(row), len(table.Head))
			}
		}
	}
	if got := strings.Join(filmChart().Table().Rows[2], " "); got != "180° 3.0 3.9" {
		// Derived by hand: 3 + 2.5 sin 180° + 3.8 cos 90° = 3, and 1.3 times that.
		t.Errorf("the chart's table has %q at 180°", got)
	}
	if got := strings.Join(loadPolar(false).Table().Rows[0], " "); got != "7,000 rpm 20.0 180°" {
		// Derived by hand: at 180° the curve is at (0, −20).
		t.Errorf("the polar table has %q", got)
	}
}

// TestClip: derived by hand on the unit square.
func TestClip(t *testing.T) {
	unit := axis{lo: 0, hi: 1, a: 0, b: 1}
	runs := clip([]XY{{-1, 0.5}, {0.5, 0.5}, {0.5, 2}, {0.7, 2}, {0.7, 0.2}, {math.NaN(), 0}, {0.1, 0.1}, {0.2, 0.1}}, unit, unit)
	want := [][]XY{{{0, 0.5}, {0.5, 0.5}, {0.5, 1}}, {{0.7, 1}, {0.7, 0.2}}, {{0.1, 0.1}, {0.2, 0.1}}}
	if len(runs) != len(want) {
		t.Fatalf("%d runs, want %d: %v", len(runs), len(want), runs)
	}
	for i := range want {
		for j := range want[i] {
			if d := math.Hypot(runs[i][j].X-want[i][j].X, runs[i][j].Y-want[i][j].Y); d > 1e-12 {
				t.Errorf("run %d is %v, want %v", i, runs[i], want[i])
			}
		}
	}
}
