// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"math"
	"strconv"
)

// rows is the strip while it is drawn with the crankshaft down the canvas.
type rows struct {
	Strip
	c           Canvas
	left, right float64
	top, bottom float64
	x           axis
	scale       bool
}

func (s Strip) drawRows(c Canvas, top float64) {
	w, _ := c.Size()
	d := &rows{Strip: s, c: c, left: rowsGutter, right: w - 20, top: top + rowsTop}
	d.bottom = d.top + rowPitch*float64(len(s.Columns))
	e, ok := s.span()
	d.scale = ok
	d.x = axis{lo: e.lo, hi: e.hi, a: d.left, b: d.right}
	if !ok {
		d.x = axis{hi: 1, a: d.left, b: d.right}
	}
	d.drawScale()
	for i, col := range s.Columns {
		d.drawRow(d.top+rowPitch*float64(i), col, i == 0 || col.Throw != s.Columns[i-1].Throw)
	}
}

// drawScale draws the band, the grid with its numbers, and the limits above.
func (d *rows) drawScale() {
	if !d.scale {
		d.c.Text(d.left, d.top-8, noScale, TextStyle{Size: fitted(noScale, 11, d.right-d.left), Ink: InkSoft})
		return
	}
	lo, hi := d.band(d.x)
	small := TextStyle{Size: 11, Ink: InkFit}
	if d.Min != nil {
		d.c.Text(0, 11+d.top-rowsTop, d.minLabel(), small)
	}
	if d.Max != nil {
		small.Anchor = End
		d.c.Text(d.right, 11+d.top-rowsTop, d.maxLabel(), small)
	}
	if d.Min != nil || d.Max != nil {
		d.c.Rect(d.x.at(lo), d.top, d.x.at(hi)-d.x.at(lo), d.bottom-d.top, Style{Fill: InkBand})
	}
	ticks := Ticks(d.x.lo, d.x.hi, int((d.right-d.left)/45))
	places := max(stepDecimals(ticks), d.Decimals)
	for _, v := range ticks {
		x := d.x.at(v)
		d.c.Line(x, d.top, x, d.bottom, Style{Stroke: InkFaint})
		label := decimal(v, places)
		d.c.Text(x, d.top-6, label, TextStyle{Size: fitted(label, 11, 38), Anchor: Middle, Ink: InkSoft})
	}
	d.c.Text(0, d.top-6, d.Unit, TextStyle{Size: 11, Ink: InkSoft})
}

func (d *rows) drawRow(y float64, col StripColumn, newThrow bool) {
	line := Style{Stroke: InkRule, Dash: []float64{3, 4}}
	if newThrow {
		d.c.Line(0, y, d.right, y, line)
	}
	d.c.Text(0, y+24, strconv.Itoa(col.Position), TextStyle{Size: 20, Bold: true})
	if col.Cylinder != "" {
		d.c.Text(0, y+39, "cyl "+col.Cylinder, TextStyle{Size: 11, Ink: InkSoft})
	}
	found, fitted := y+14, y+32
	if p := col.AsFound; p.read() {
		x := d.drawPoint(found, p, Style{Stroke: InkMark, Width: 2})
		MarkFound(d.c, x, found)
		if d.x.off(p.Value) != 0 || p.Label != "" {
			d.drawNumber(found, p, TextStyle{Size: 11, Ink: InkSoft})
		}
	}
	switch p := col.AsFitted; {
	case p.read():
		x := d.drawPoint(fitted, p, Style{Stroke: stateInk(p.State), Width: 3})
		Mark(d.c, x, fitted, p.State)
		d.drawNumber(fitted, p, TextStyle{Size: 13, Bold: true, Ink: stateInk(p.State)})
	case p == nil || p.State == Todo:
		Mark(d.c, d.todoX(), fitted, Todo)
	}
}

// drawPoint draws a bar, and an arrow if the value is off the scale, and
// returns where the mark belongs.
func (d *rows) drawPoint(y float64, p *Point, bar Style) float64 {
	if lo, hi := d.x.clamp(p.Low), d.x.clamp(p.High); p.hasBar() && lo < hi {
		d.c.Line(d.x.at(lo), y, d.x.at(hi), y, bar)
	}
	x := d.markX(p)
	if off := float64(d.x.off(p.Value)); off != 0 {
		tip := x + off*17
		d.c.Polygon([]XY{{tip, y}, {tip - off*7, y - 6}, {tip - off*7, y + 6}}, Style{Fill: bar.Stroke})
	}
	return x
}

func (d *rows) markX(p *Point) float64 {
	return d.x.at(d.x.clamp(p.Value)) - 17*float64(d.x.off(p.Value))
}

func (d *rows) todoX() float64 { return d.x.at(d.middle(d.x)) }

// drawNumber writes a number right of its bar, or left where there is no room.
func (d *rows) drawNumber(y float64, p *Point, st TextStyle) {
	x, label := d.markX(p), d.label(p)
	lo, hi := x-12, x+12
	if p.hasBar() {
		lo = math.Min(lo, d.x.at(d.x.clamp(p.Low)))
		hi = math.Max(hi, d.x.at(d.x.clamp(p.High)))
	}
	if hi+5+TextWidth(label, st.Size, st.Bold) <= d.right+20 {
		d.c.Text(hi+5, y+st.Size*0.36, label, st)
		return
	}
	st.Anchor = End
	d.c.Text(lo-5, y+st.Size*0.36, label, st)
}
