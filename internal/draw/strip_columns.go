// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"math"
	"strconv"
)

// columns is the strip while it is drawn with the crankshaft across the canvas.
type columns struct {
	Strip
	c           Canvas
	left, right float64
	top, bottom float64
	pitch       float64
	y           axis
	scale       bool // there is something to draw a scale for
	board       board
}

func (s Strip) drawColumns(c Canvas, top float64) {
	w, _ := c.Size()
	d := &columns{Strip: s, c: c, left: s.gutter(w), right: w, top: top + columnsTop, pitch: s.columnWidth(w)}
	d.bottom = d.top + columnsPlot
	d.board.edges = box{0, top, w, d.bottom}
	e, ok := s.span()
	d.scale = ok
	d.y = axis{lo: e.lo, hi: e.hi, a: d.bottom, b: d.top}
	if !ok {
		d.y = axis{hi: 1, a: d.bottom, b: d.top}
	}
	d.drawScale()
	d.drawThrows()
	for i, col := range s.Columns {
		d.drawPoints(d.centre(i), col)
	}
	for i, col := range s.Columns {
		d.drawNumbers(d.centre(i), col)
		d.drawFoot(d.centre(i), col)
	}
	d.drawLimits()
	d.drawNothing()
	y := d.bottom + columnsFoot
	for _, r := range s.Rows {
		d.drawRow(r, y)
		y += r.height()
	}
}

func (d *columns) centre(i int) float64 { return d.left + (float64(i)+0.5)*d.pitch }

// offset is how far found and fitted stand from the middle of a column.
func (d *columns) offset() float64 { return math.Min(17, d.pitch*0.21) }

// drawScale draws the band between the limits, the grid and its numbers.
func (d *columns) drawScale() {
	if !d.scale {
		d.c.Line(d.left, d.bottom, d.right, d.bottom, Style{Stroke: InkFaint})
		return
	}
	lo, hi := d.band(d.y)
	if d.Min != nil || d.Max != nil {
		d.c.Rect(d.left, d.y.at(hi), d.right-d.left, d.y.at(lo)-d.y.at(hi), Style{Fill: InkBand})
	}
	ticks := Ticks(d.y.lo, d.y.hi, 7)
	places := max(stepDecimals(ticks), d.Decimals)
	for _, v := range ticks {
		y := d.y.at(v)
		d.c.Line(d.left, y, d.right, y, Style{Stroke: InkFaint})
		label := decimal(v, places)
		d.c.Text(d.left-10, y+4, label, TextStyle{Size: fitted(label, 12, d.left-10), Anchor: End, Ink: InkSoft})
	}
	d.c.Text(d.left-10, d.top-4, d.Unit, TextStyle{Size: 12, Anchor: End, Ink: InkSoft})
}

// drawThrows draws a dashed line before the first column of every throw.
func (d *columns) drawThrows() {
	for i, col := range d.Columns {
		if i == 0 || col.Throw != d.Columns[i-1].Throw {
			x := d.left + float64(i)*d.pitch
			d.c.Line(x, d.top, x, d.bottom+columnsFoot, Style{Stroke: InkRule, Dash: []float64{3, 4}})
		}
	}
}

// drawPoints draws what was found and what was fitted at one position.
func (d *columns) drawPoints(x float64, col StripColumn) {
	off := d.offset()
	if col.AsFound.read() {
		d.drawPoint(x-off, col.AsFound, Style{Stroke: InkMark, Width: 2}, func(y float64) { MarkFound(d.c, x-off, y) })
	}
	switch p := col.AsFitted; {
	case p.read():
		d.drawPoint(x+off, p, Style{Stroke: stateInk(p.State), Width: 3}, func(y float64) { Mark(d.c, x+off, y, p.State) })
	case p == nil || p.State == Todo:
		Mark(d.c, x+off, d.todoY(), Todo)
		d.take(x+off, d.todoY(), d.todoY())
	}
}

// drawPoint draws a bar and the mark on it, and an arrow if the value is off
// the scale.
func (d *columns) drawPoint(x float64, p *Point, bar Style, mark func(y float64)) {
	y := d.markY(p)
	top, bottom := y, y
	if p.hasBar() {
		top, bottom = d.y.at(d.y.clamp(p.High)), d.y.at(d.y.clamp(p.Low))
		if top < bottom {
			d.c.Line(x, bottom, x, top, bar)
		}
	}
	mark(y)
	if off := float64(d.y.off(p.Value)); off != 0 {
		tip := y - off*17
		d.c.Polygon([]XY{{x, tip}, {x - 6, tip + off*7}, {x + 6, tip + off*7}}, Style{Fill: bar.Stroke})
	}
	d.take(x, math.Min(top, y), math.Max(bottom, y))
}

// markY is where a point's mark stands; one off the scale leaves room for its
// arrow.
func (d *columns) markY(p *Point) float64 {
	return d.y.at(d.y.clamp(p.Value)) + 17*float64(d.y.off(p.Value))
}

// todoY is where what is not read yet is awaited: the middle of the band.
func (d *columns) todoY() float64 { return d.y.at(d.middle(d.y)) }

// take keeps labels off a mark with its bar.
func (d *columns) take(x, top, bottom float64) {
	d.board.take(box{x - 9, top - 9, x + 9, bottom + 9})
}

// drawNumbers writes the number of what was fitted beside its mark, or above
// or below where columns are narrow, and of what was found if it is off the
// scale.
func (d *columns) drawNumbers(x float64, col StripColumn) {
	if p := col.AsFitted; p.read() {
		d.drawNumber(x+d.offset(), p, TextStyle{Size: 14, Bold: true, Ink: stateInk(p.State)})
	}
	if p := col.AsFound; p.read() && (d.y.off(p.Value) != 0 || p.Label != "") {
		d.drawNumber(x-d.offset(), p, TextStyle{Size: 12, Ink: InkSoft})
	}
}

func (d *columns) drawNumber(x float64, p *Point, st TextStyle) {
	y, label := d.markY(p), d.label(p)
	if d.pitch < 96 && st.Size > 12 {
		st.Size = 12
	}
	top, bottom := y-12, y+12
	if p.hasBar() {
		top = math.Min(top, d.y.at(d.y.clamp(p.High)))
		bottom = math.Max(bottom, d.y.at(d.y.clamp(p.Low)))
	}
	// Beside, above, below, on the other side.
	places := []struct {
		x, y float64
		a    Anchor
	}{{x + 13, y + 5, Start}, {x, top - 13, Middle}, {x, bottom + 11 + st.Size*0.8, Middle}, {x - 13, y + 5, End}}
	boxes := make([]box, len(places))
	for i, at := range places {
		st.Anchor = at.a
		boxes[i] = textBox(at.x, at.y, label, st)
	}
	i := d.board.place(boxes)
	at := places[i]
	st.Anchor = at.a
	d.c.Text(at.x+d.board.nudge(boxes[i]), at.y, label, st)
}

// drawFoot writes the position large and the cylinder below it.
func (d *columns) drawFoot(x float64, col StripColumn) {
	d.c.Text(x, d.bottom+22, strconv.Itoa(col.Position), TextStyle{Size: 22, Bold: true, Anchor: Middle})
	label := "cyl " + col.Cylinder
	if col.Cylinder == "" {
		return
	}
	d.c.Text(x, d.bottom+39, label, TextStyle{Size: fitted(label, 12, d.pitch-4), Anchor: Middle, Ink: InkSoft})
}

// drawLimits writes the limits beside their edges of the band, at the right
// unless something stands there.
func (d *columns) drawLimits() {
	if d.Max != nil {
		y := d.y.at(d.Max.Value)
		d.drawLimit(d.maxLabel(), y-5, y+14)
	}
	if d.Min != nil {
		y := d.y.at(d.Min.Value)
		d.drawLimit(d.minLabel(), y+14, y-5)
	}
}

func (d *columns) drawLimit(label string, outside, inside float64) {
	st := TextStyle{Size: 12, Anchor: End, Ink: InkFit}
	w := TextWidth(label, st.Size, false)
	var ends []XY
	for _, y := range []float64{outside, inside} {
		for x := d.right - 4; x-w > d.left; x -= 8 {
			ends = append(ends, XY{x, y})
		}
	}
	if len(ends) == 0 {
		ends = []XY{{d.right - 4, outside}}
	}
	boxes := make([]box, len(ends))
	for i, e := range ends {
		boxes[i] = textBox(e.X, e.Y, label, st)
	}
	at := ends[d.board.place(boxes)]
	d.c.Text(at.X, at.Y, label, st)
}

// drawNothing says so where there is nothing to draw.
func (d *columns) drawNothing() {
	note, y := "", d.top+22
	switch {
	case len(d.Columns) == 0:
		note, y = noPositions, (d.top+d.bottom)/2
	case !d.scale:
		note = noScale
	default:
		return
	}
	d.c.Text((d.left+d.right)/2, y, note, TextStyle{Size: fitted(note, 14, d.right-d.left), Anchor: Middle, Ink: InkSoft})
}
