// SPDX-License-Identifier: Apache-2.0

package draw

import "math"

// Bars draws shares or amounts as bars from a common line, one row each, with
// the number beside: where an excess sits, what an operation costs.
type Bars struct {
	Title string
	Rows  []Bar
}

// Bar is one row. Text stands beside it as given.
type Bar struct {
	Label string
	Value float64 // drawn to the scale of the largest; below zero to the left
	Text  string
	Ink   Ink // InkAct if none
}

const barPitch = 27.0

// Height returns how high the drawing is.
func (b Bars) Height() float64 { return barPitch * float64(max(1, len(b.Rows))) }

// Alt says in one sentence what the drawing shows.
func (b Bars) Alt() string { return b.Title + ", as bars. The table has the same numbers." }

// Draw draws the bars over the whole width of the canvas.
func (b Bars) Draw(c Canvas) {
	w, _ := c.Size()
	label, number, reach := 0.0, 0.0, nothing()
	reach.add(0)
	for _, r := range b.Rows {
		label = math.Max(label, TextWidth(r.Label, 14, false))
		number = math.Max(number, TextWidth(r.Text, 14, false))
		reach.add(r.Value)
	}
	if reach.lo == reach.hi {
		reach.hi = 1
	}
	label = math.Min(label, w*0.45)
	x := axis{lo: reach.lo, hi: reach.hi, a: label + 12, b: w - number - 12}
	for i, r := range b.Rows {
		y := barPitch * float64(i)
		c.Text(0, y+18, r.Label, TextStyle{Size: fitted(r.Label, 14, label)})
		c.Rect(x.a, y+7, x.b-x.a, 12, Style{Fill: InkFaint})
		ink := r.Ink
		if ink == InkNone {
			ink = InkAct
		}
		if finite(r.Value) {
			from, to := x.at(math.Min(r.Value, 0)), x.at(math.Max(r.Value, 0))
			c.Rect(from, y+7, to-from, 12, Style{Fill: ink})
		}
		c.Text(w, y+18, r.Text, TextStyle{Size: 14, Anchor: End})
	}
}

// Table has the rows as text.
func (b Bars) Table() Table {
	t := Table{Caption: b.Title, Head: []string{"What", "How much"}}
	for _, r := range b.Rows {
		t.Rows = append(t.Rows, []string{r.Label, r.Text})
	}
	return t
}
