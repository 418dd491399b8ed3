// SPDX-License-Identifier: Apache-2.0

package draw

import "strings"

// height is that of the row's longest cell.
func (r StripRow) height() float64 {
	n := len(r.labelLines())
	for _, c := range r.Cells {
		n = max(n, len(c.Lines))
	}
	return float64(n)*cellLineHeight + 14
}

func (r StripRow) labelLines() []string { return strings.Split(r.Label, "\n") }

// drawRow draws a line of facts below the columns.
func (d *columns) drawRow(r StripRow, y float64) {
	h := r.height()
	d.c.Line(0, y, d.right, y, Style{Stroke: InkRule})
	for i, line := range r.labelLines() {
		d.c.Text(0, d.cellLine(y, h, i, len(r.labelLines())), line, TextStyle{Size: 12, Ink: InkSoft})
	}
	for i, cell := range r.Cells {
		if i < len(d.Columns) {
			d.drawCell(cell, d.centre(i), y, h)
		}
	}
}

// cellLine is the baseline of line i of n, in the middle of a row.
func (d *columns) cellLine(y, h float64, i, n int) float64 {
	return y + h/2 + (float64(i)-float64(n-1)/2)*cellLineHeight + 4.5
}

func (d *columns) drawCell(cell StripCell, x, y, h float64) {
	if cell.State == Out {
		d.c.Rect(x-d.pitch/2, y, d.pitch, h, Style{Fill: InkOut})
	}
	for i, b := range cell.Bolts {
		Bolt(d.c, x+(float64(i)-float64(len(cell.Bolts)-1)/2)*23, y+h/2, b)
	}
	for i, line := range cell.Lines {
		st := TextStyle{Size: 12.5, Anchor: Middle, Ink: InkSoft}
		if i < len(cell.Ink) {
			st.Ink = cell.Ink[i]
		}
		switch cell.State {
		case Out:
			st.Ink, st.Bold = InkSheet, true
		case Fits, Unproven:
			st.Ink, st.Bold = stateInk(cell.State), true
		}
		if w := TextWidth(line, st.Size, st.Bold); w > d.pitch-6 {
			st.Size = max(8, st.Size*(d.pitch-6)/w)
		}
		d.c.Text(x, d.cellLine(y, h, i, len(cell.Lines)), line, st)
	}
}
