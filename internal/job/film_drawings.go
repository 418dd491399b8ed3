// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"math"

	"witnessmark/internal/draw"
	"witnessmark/internal/filmwork"
	"witnessmark/units"
)

const towards = "towards the piston"

// draw makes the drawings, the instant of step marked in the first two.
func (w *filmShower) draw(step int) {
	w.steps()
	own := fmt.Sprintf("position %d (%s)", w.at.Position, w.length(w.now.ClearanceMM, 3))
	other := fmt.Sprintf("%s (%s)", w.name, w.length(w.peer.ClearanceMM, 3))
	load := draw.Series{Name: "load on the journal", Ink: draw.InkAct}
	orbit := draw.Series{Name: own, Ink: draw.InkOut}
	beside := draw.Series{Name: other, Ink: draw.InkSoft, Dash: []float64{2, 4}}
	line, dotted := orbit, beside
	for _, p := range w.source() {
		x, y := w.turn(p.Fx, p.Fy)
		load.Points = append(load.Points, draw.XY{X: x / 1000, Y: y / 1000})
	}
	load.Points = closed(load.Points)
	for _, s := range w.out.Steps {
		orbit.Points, line.Points = append(orbit.Points, draw.XY{X: s.X, Y: s.Y}), append(line.Points, draw.XY{X: s.Angle, Y: s.Film})
	}
	for _, p := range w.peer.Cycle {
		x, y := w.turn(p.X, p.Y)
		beside.Points, dotted.Points = append(beside.Points, draw.XY{X: x, Y: y}), append(dotted.Points, draw.XY{X: p.AngleDeg, Y: p.FilmUM})
	}
	orbit.Points, beside.Points = closed(orbit.Points), closed(beside.Points)
	top := 6 * max(1, least(w.now), least(w.peer))
	w.out.Load = draw.Polar{Title: "Load on the journal through the cycle", Unit: "kN", Up: towards, Curves: []draw.Series{load}}
	w.out.Orbit = draw.Polar{Title: "The journal in its clearance", Unit: "of the radial clearance", Radius: 1, Rim: true, Up: towards, Curves: []draw.Series{orbit, beside}}
	w.out.Cycle = draw.Chart{Title: "Least film through the cycle", X: draw.Scale{Name: "crank angle after firing", Suffix: "°", Min: 0, Max: w.r.PeriodDeg, Step: 90},
		Y: draw.Scale{Name: "film", Unit: "µm", Min: 0, Max: top}, Series: []draw.Series{line, dotted}}
	if s := w.now.Surfaces; s != nil {
		w.out.Cycle.Bands = []draw.Band{{From: 0, To: s.CombinedUM, Label: "surface roughness", Ink: draw.InkOut}}
	}
	if f := w.now.Oils[0].Hot; f.Held() {
		w.out.Cycle.Marks = []draw.ChartMark{{X: f.AtDeg, Y: f.MinFilmUM, Label: "thinnest", Ink: draw.InkOut}}
		w.markStep(step)
	}
	w.chance(own, other)
	w.maps()
}

// source is the cycle that the load is read from: the position's, or where no
// film holds the peer's; the load is the same.
func (w *filmShower) source() []filmwork.Instant {
	if len(w.now.Cycle) > 0 {
		return w.now.Cycle
	}
	return w.peer.Cycle
}

// markStep marks one instant; without one the thinnest.
func (w *filmShower) markStep(step int) {
	n := len(w.out.Steps)
	if n == 0 {
		return
	}
	at, label := 0, ""
	if step >= 0 && step < FilmSteps {
		at = step * n / FilmSteps
		label = fmt.Sprintf("at %.0f°", w.out.Steps[at].Angle)
	} else {
		for i, s := range w.out.Steps {
			if s.Film < w.out.Steps[at].Film {
				at = i
			}
		}
		label = "thinnest, " + where(w.now.Oils[0].Hot)
	}
	s := w.out.Steps[at]
	w.out.Orbit.Marks = []draw.ChartMark{{X: s.X, Y: s.Y, Label: label, Ink: draw.InkOut}}
	w.out.Load.Marks = []draw.ChartMark{{X: s.LoadX, Y: s.LoadY, Label: fmt.Sprintf("%.0f kN at %.0f°", math.Hypot(s.LoadX, s.LoadY), s.Angle), Ink: draw.InkAct}}
}

// turn puts the rod's frame on paper, the piston upwards, as seen from the
// front of the engine: y is ahead in the sense of rotation.
func (w *filmShower) turn(x, y float64) (right, up float64) {
	if w.basis.Sheet != nil && w.basis.Sheet.Layout.Rotation == "anticlockwise" {
		return -y, x
	}
	return y, x
}

func closed(p []draw.XY) []draw.XY {
	if len(p) > 0 {
		p = append(p, p[0])
	}
	return p
}

func (w *filmShower) steps() {
	for _, p := range w.now.Cycle {
		x, y := w.turn(p.X, p.Y)
		lx, ly := w.turn(p.Fx, p.Fy)
		w.out.Steps = append(w.out.Steps, FilmStep{Angle: p.AngleDeg, X: x, Y: y, Film: p.FilmUM, LoadX: lx / 1000, LoadY: ly / 1000,
			Words: fmt.Sprintf("%.0f°: film %s, load %.0f kN", p.AngleDeg, filmSize(p.FilmUM), math.Hypot(p.Fx, p.Fy)/1000)})
	}
}

// chance is how likely the least film stays under a value.
func (w *filmShower) chance(own, other string) {
	if w.now.Spread == nil {
		return
	}
	c := draw.Chart{Title: "How likely the least film stays under a value", X: draw.Scale{Name: "least film", Unit: "µm", Min: 0},
		Y: draw.Scale{Name: "chance", Unit: "%", Min: 0, Max: 100, Step: 20}}
	add := func(s *filmwork.Spread, name string, ink draw.Ink, dash []float64) {
		if s == nil {
			return
		}
		line := draw.Series{Name: name, Ink: ink, Dash: dash}
		for i, um := range s.FilmUM {
			if i > 0 && i < len(s.FilmUM)-1 {
				line.Points = append(line.Points, draw.XY{X: um, Y: 5 * float64(i)})
				c.X.Max = max(c.X.Max, um*1.1)
			}
		}
		c.Series = append(c.Series, line)
	}
	add(w.now.Spread, own, draw.InkOut, nil)
	add(w.peer.Spread, other, draw.InkSoft, []float64{2, 4})
	w.out.Chance = &c
}

var mapLevels = []draw.Level{
	{Value: 0.5, Label: "0.5", Ink: draw.InkOut}, {Value: 0.75, Label: "0.75", Ink: draw.InkWait}, {Value: 0.9, Label: "0.9", Ink: draw.InkSoft},
	{Value: 1, Label: "1.0", Ink: draw.InkFit, Bold: true}, {Value: 1.25, Label: "1.25", Ink: draw.InkSoft}, {Value: 1.5, Label: "1.5", Ink: draw.InkSoft},
	{Value: 2, Label: "2.0", Ink: draw.InkSoft},
}

// maps has one map an oil, the position's own clearance marked.
func (w *filmShower) maps() {
	m := w.r.Map
	if m == nil {
		return
	}
	u := w.unit()
	places := 3
	if u != units.UnitMillimetre {
		places = 4
	}
	var xs []float64
	for _, c := range m.ClearancesMM {
		xs = append(xs, u.FromCanonical(c))
	}
	for i, o := range w.r.Oils {
		w.out.Maps = append(w.out.Maps, draw.Contours{Title: "Film on " + o.Grade + ", hot", Xs: xs, Ys: m.SpeedsRPM, Values: m.Ratio[i],
			X: draw.Scale{Name: "clearance", Unit: u.Symbol, Decimals: places}, Y: draw.Scale{Name: "speed", Unit: "rev/min"},
			Z: draw.Scale{Name: "film against the sheet’s middle", Decimals: 2}, Levels: mapLevels,
			Marks: []draw.ChartMark{{X: u.FromCanonical(w.now.ClearanceMM), Y: w.r.SpeedRPM, Label: fmt.Sprint(w.at.Position), Ink: draw.InkAct}}})
	}
}
