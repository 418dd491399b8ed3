// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"math"
)

// Chart draws quantities against one other, as lines over a grid with round
// numbers, with bands for limits and the legend outside the plot.
type Chart struct {
	Title  string
	X, Y   Scale
	Bands  []Band // between two values of Y
	Series []Series
	Marks  []ChartMark
}

// Scale is one axis of a chart. With Min equal to Max it takes its ends from
// the data.
type Scale struct {
	Name     string // for the table: crank angle
	Unit     string // at the axis: mm
	Suffix   string // behind every number: °
	Min, Max float64
	Step     float64 // between ticks; 0 for round numbers
	Decimals int     // at least
}

// Band is a stretch of values with a meaning, such as what is allowed.
type Band struct {
	From, To float64
	Label    string
	Ink      Ink // of the label; the fill is InkBand, or faint where Ink is InkOut
}

// Series is one line.
type Series struct {
	Name   string
	Points []XY // a point that is not finite breaks the line
	Ink    Ink
	Dash   []float64
	Low    []XY // with High: the edges of a spread about the line, drawn as a band
	High   []XY
}

// ChartMark is one point worth naming.
type ChartMark struct {
	X, Y  float64
	Label string
	Ink   Ink
}

// Sizes of a chart, in canvas units.
const (
	chartLeft   = 58.0
	chartRight  = 14.0
	chartTop    = 18.0
	chartFoot   = 26.0
	legendLine  = 20.0
	legendShort = 26.0 // length of the sample of a line
)

// Alt says in one sentence what the drawing shows.
func (h Chart) Alt() string {
	return h.Title + ": " + h.Y.title() + " against " + h.X.title() + ". The table has numbers from it."
}

func (x Scale) title() string {
	switch {
	case x.Name == "":
		return x.Unit
	case x.Unit == "":
		return x.Name
	}
	return x.Name + " in " + x.Unit
}

// plot is a chart while it is drawn.
type plot struct {
	Chart
	c    Canvas
	x, y axis
	area box
}

// Place is the plot's own rectangle on a canvas of w by h units, for what a
// page moves over it.
func (h Chart) Place(w, height float64) (x0, y0, x1, y1 float64) {
	foot := chartFoot
	if h.X.Unit != "" {
		foot += 16
	}
	return chartLeft, chartTop + h.legendHeight(w), w - chartRight, height - foot
}

// Draw draws the chart over the whole canvas.
func (h Chart) Draw(c Canvas) {
	w, height := c.Size()
	x0, y0, x1, y1 := h.Place(w, height)
	p := &plot{Chart: h, c: c, area: box{x0, y0, x1, y1}}
	x, y := h.ends()
	p.x = axis{lo: x.lo, hi: x.hi, a: p.area.x0, b: p.area.x1}
	p.y = axis{lo: y.lo, hi: y.hi, a: p.area.y1, b: p.area.y0}
	p.drawLegend()
	p.drawBands()
	p.drawGrid()
	for _, s := range h.Series {
		p.drawSpread(s)
	}
	for _, s := range h.Series {
		for _, run := range clip(s.Points, p.x, p.y) {
			p.c.Polyline(run, Style{Stroke: s.Ink, Width: 2.2, Dash: s.Dash})
		}
	}
	for _, m := range h.Marks {
		p.drawMark(m)
	}
}

// ends are the ends of both axes: as given, or what the data fill.
func (h Chart) ends() (x, y extent) {
	x, y = nothing(), nothing()
	for _, s := range h.Series {
		for _, list := range [][]XY{s.Points, s.Low, s.High} {
			for _, q := range list {
				if finite(q.X, q.Y) {
					x.add(q.X)
					y.add(q.Y)
				}
			}
		}
	}
	for _, b := range h.Bands {
		y.add(b.From, b.To)
	}
	return h.X.ends(x, false), h.Y.ends(y, true)
}

func (x Scale) ends(data extent, pad bool) extent {
	if x.Min < x.Max {
		return extent{x.Min, x.Max}
	}
	switch {
	case data.empty():
		return extent{0, 1}
	case pad, data.lo == data.hi:
		padded := data.padded()
		if data.lo >= 0 {
			padded.lo = math.Max(padded.lo, 0)
		}
		return padded
	}
	return data
}

// ticks returns at most about n numbers for an axis, and their decimals. A
// step that is too fine for that is doubled until it is not.
func (x Scale) ticks(a axis, n int) ([]float64, int) {
	if !(x.Step > 0) {
		ticks := Ticks(a.lo, a.hi, n)
		return ticks, max(stepDecimals(ticks), x.Decimals)
	}
	step := x.Step
	for (a.hi-a.lo)/step > float64(n)+0.5 {
		step *= 2
	}
	var ticks []float64
	for i := math.Ceil(a.lo/step - 1e-9); i*step <= a.hi+1e-9*step; i++ {
		ticks = append(ticks, i*step)
	}
	return ticks, x.Decimals
}

func (p *plot) drawGrid() {
	soft := TextStyle{Size: 12, Ink: InkSoft, Anchor: End}
	ticks, places := p.Y.ticks(p.y, max(2, int((p.area.y1-p.area.y0)/34)))
	for _, v := range ticks {
		y := p.y.at(v)
		p.c.Line(p.area.x0, y, p.area.x1, y, Style{Stroke: InkFaint})
		p.c.Text(p.area.x0-8, y+4, decimal(v, places)+p.Y.Suffix, soft)
	}
	soft.Anchor = Middle
	ticks, places = p.X.ticks(p.x, max(2, int((p.area.x1-p.area.x0)/52)))
	for _, v := range ticks {
		x := p.x.at(v)
		p.c.Line(x, p.area.y0, x, p.area.y1, Style{Stroke: InkFaint})
		p.c.Text(x, p.area.y1+18, decimal(v, places)+p.X.Suffix, soft)
	}
	soft.Anchor = End
	p.c.Text(p.area.x0-8, p.area.y0-9, p.Y.Unit, soft)
	p.c.Text(p.area.x1, p.area.y1+34, p.X.Unit, soft)
}

func (p *plot) drawBands() {
	for _, b := range p.Bands {
		top, bottom := p.y.at(p.y.clamp(math.Max(b.From, b.To))), p.y.at(p.y.clamp(math.Min(b.From, b.To)))
		fill := InkBand
		if b.Ink == InkOut {
			fill = InkFaint
		}
		if bottom > top {
			p.c.Rect(p.area.x0, top, p.area.x1-p.area.x0, bottom-top, Style{Fill: fill})
			p.c.Text(p.area.x1-4, top-4, b.Label, TextStyle{Size: 12, Anchor: End, Ink: b.Ink})
		}
	}
}

// drawSpread fills between the edges of a series' spread.
func (p *plot) drawSpread(s Series) {
	if len(s.Low) == 0 || len(s.High) == 0 {
		return
	}
	var ring []XY
	for _, q := range s.Low {
		ring = append(ring, XY{p.x.at(p.x.clamp(q.X)), p.y.at(p.y.clamp(q.Y))})
	}
	for i := len(s.High) - 1; i >= 0; i-- {
		ring = append(ring, XY{p.x.at(p.x.clamp(s.High[i].X)), p.y.at(p.y.clamp(s.High[i].Y))})
	}
	p.c.Polygon(ring, Style{Fill: InkFaint})
}

func (p *plot) drawMark(m ChartMark) {
	if !finite(m.X, m.Y) {
		return
	}
	x, y := p.x.at(p.x.clamp(m.X)), p.y.at(p.y.clamp(m.Y))
	p.c.Circle(x, y, 5.5, Style{Fill: m.Ink})
	st := TextStyle{Size: 13, Bold: true, Ink: m.Ink}
	if x+10+TextWidth(m.Label, st.Size, true) > p.area.x1 {
		st.Anchor = End
		x -= 20
	}
	p.c.Text(x+10, y-8, m.Label, st)
}

// Table has the series at the ticks of X, in between two points by a straight
// line.
func (h Chart) Table() Table {
	t := Table{Caption: h.Title + ", " + h.Y.title(), Head: []string{h.X.title()}}
	for _, s := range h.Series {
		t.Head = append(t.Head, s.Name)
	}
	x, y := h.ends()
	ticks, places := h.X.ticks(axis{lo: x.lo, hi: x.hi}, 12)
	_, decimals := h.Y.ticks(axis{lo: y.lo, hi: y.hi}, 8)
	for _, v := range ticks {
		row := []string{decimal(v, places) + h.X.Suffix}
		for _, s := range h.Series {
			row = append(row, s.at(v, decimals+1))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// at prints the line's value at x.
func (s Series) at(x float64, places int) string {
	for i := 1; i < len(s.Points); i++ {
		a, b := s.Points[i-1], s.Points[i]
		if !finite(a.X, a.Y, b.X, b.Y) || x < math.Min(a.X, b.X) || x > math.Max(a.X, b.X) {
			continue
		}
		if a.X == b.X {
			return decimal(a.Y, places)
		}
		return decimal(a.Y+(b.Y-a.Y)*(x-a.X)/(b.X-a.X), places)
	}
	return "—"
}
