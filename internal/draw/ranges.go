// SPDX-License-Identifier: Apache-2.0

package draw

import "math"

// Ranges draws what a value lies between, one bar under the other on one
// scale: the same bolt tightened in two ways.
type Ranges struct {
	Title string
	Unit  string
	Rows  []Range
	Line  *RangeLine
}

// Range is one bar. Text stands under it as given.
type Range struct {
	Label             string
	Low, Likely, High float64
	Text              string
	Ink               Ink // InkAct if none
}

// RangeLine is a value worth a line across all bars.
type RangeLine struct {
	Value float64
	Label string
}

// Sizes of the drawing, in canvas units.
const (
	rangePitch = 64.0
	rangeHead  = 22.0
	rangeFoot  = 40.0
)

// Height returns how high the drawing is.
func (r Ranges) Height() float64 {
	return rangeHead + rangePitch*float64(max(1, len(r.Rows))) + rangeFoot
}

// Alt says in one sentence what the drawing shows.
func (r Ranges) Alt() string { return r.Title + ", as bars. The table has the same numbers." }

// SVG draws it for a page.
func (r Ranges) SVG(width float64) string {
	c := NewSVG(width, r.Height(), r.Alt())
	r.Draw(c)
	return c.String()
}

// Draw draws the bars over the whole width of the canvas.
func (r Ranges) Draw(c Canvas) {
	w, h := c.Size()
	reach := nothing()
	for _, row := range r.Rows {
		if finite(row.Low, row.High) {
			reach.add(row.Low, row.High)
		}
	}
	if r.Line != nil && finite(r.Line.Value) {
		reach.add(r.Line.Value)
	}
	if reach.empty() {
		reach = extent{0, 1}
	}
	ends := Scale{}.ends(reach, true)
	x := axis{lo: ends.lo, hi: ends.hi, a: 16, b: w - 16}
	foot := h - rangeFoot
	ticks, places := Scale{}.ticks(x, max(2, int(w/70)))
	for _, v := range ticks {
		c.Line(x.at(v), rangeHead, x.at(v), foot, Style{Stroke: InkFaint})
		c.Text(x.at(v), foot+18, decimal(v, places), TextStyle{Size: 12, Ink: InkSoft, Anchor: Middle})
	}
	c.Text(w-16, foot+35, r.Unit, TextStyle{Size: 12, Ink: InkSoft, Anchor: End})
	for i, row := range r.Rows {
		row.draw(c, x, rangeHead+rangePitch*float64(i), w)
	}
	r.drawLine(c, x, foot, w)
}

func (row Range) draw(c Canvas, x axis, y, w float64) {
	ink := row.Ink
	if ink == InkNone {
		ink = InkAct
	}
	c.Text(16, y+15, row.Label, TextStyle{Size: min(14, 14*(w-32)/TextWidth(row.Label, 14, true)), Bold: true})
	if !finite(row.Low, row.High) {
		return
	}
	from, to := x.at(row.Low), x.at(row.High)
	c.Rect(from, y+23, math.Max(to-from, 2), 14, Style{Fill: ink})
	if finite(row.Likely) {
		at := x.at(row.Likely)
		c.Line(at, y+19, at, y+41, Style{Stroke: InkText, Width: 2.4})
	}
	c.Text(16, y+54, row.Text, TextStyle{Size: fitted(row.Text, 13, w-32), Ink: InkSoft})
}

func (r Ranges) drawLine(c Canvas, x axis, foot, w float64) {
	if r.Line == nil || !finite(r.Line.Value) {
		return
	}
	at := x.at(r.Line.Value)
	c.Line(at, rangeHead-4, at, foot, Style{Stroke: InkText, Width: 1.2, Dash: []float64{5, 4}})
	st := TextStyle{Size: 12, Ink: InkSoft}
	if at+6+TextWidth(r.Line.Label, 12, false) > w-16 {
		st.Anchor = End
		at -= 12
	}
	c.Text(at+6, rangeHead-8, r.Line.Label, st)
}

// Table has the rows as numbers.
func (r Ranges) Table() Table {
	t := Table{Caption: r.Title, Head: []string{"How", "Least, " + r.Unit, "Likely, " + r.Unit, "Greatest, " + r.Unit, ""}}
	for _, row := range r.Rows {
		t.Rows = append(t.Rows, []string{row.Label, decimal(row.Low, 1), decimal(row.Likely, 1), decimal(row.High, 1), row.Text})
	}
	return t
}
