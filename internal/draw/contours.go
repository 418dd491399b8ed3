// SPDX-License-Identifier: Apache-2.0

package draw

import "math"

// Contours draws a quantity over two others as lines of equal value, as on a
// map. A value of zero or less is a place without one, and is left shaded.
type Contours struct {
	Title  string
	X, Y   Scale
	Z      Scale // of the values, for the table
	Xs, Ys []float64
	Values [][]float64 // by Y, then X
	Levels []Level
	Marks  []ChartMark
}

// Level is one line of equal value.
type Level struct {
	Value float64
	Label string
	Ink   Ink
	Bold  bool
}

// Alt says in one sentence what the drawing shows.
func (m Contours) Alt() string {
	return m.Title + ": lines of equal " + m.Z.title() + " over " + m.X.title() + " and " + m.Y.title() + ". The table has numbers from it."
}

// Draw draws the map over the whole canvas.
func (m Contours) Draw(c Canvas) {
	w, h := c.Size()
	p := &plot{c: c, area: box{chartLeft, chartTop + 8, w - 62, h - chartFoot - 16}}
	p.X, p.Y = m.X, m.Y
	if len(m.Xs) < 2 || len(m.Ys) < 2 {
		return
	}
	p.x = axis{lo: m.Xs[0], hi: m.Xs[len(m.Xs)-1], a: p.area.x0, b: p.area.x1}
	p.y = axis{lo: m.Ys[0], hi: m.Ys[len(m.Ys)-1], a: p.area.y1, b: p.area.y0}
	m.cells(func(i, j int) {
		if m.bare(i, j) {
			x, y := p.x.at(m.Xs[i]), p.y.at(m.Ys[j+1])
			c.Rect(x, y, p.x.at(m.Xs[i+1])-x, p.y.at(m.Ys[j])-y, Style{Fill: InkFaint})
		}
	})
	p.drawGrid()
	taken := board{edges: box{0, 0, w, h}}
	for _, l := range m.Levels {
		m.drawLevel(p, l, &taken)
	}
	for _, k := range m.Marks {
		c.Line(p.x.at(p.x.clamp(k.X)), p.area.y0, p.x.at(p.x.clamp(k.X)), p.area.y1, Style{Stroke: k.Ink, Width: 1.5, Dash: []float64{5, 4}})
		p.drawMark(k)
	}
}

func (m Contours) cells(do func(i, j int)) {
	for j := range len(m.Ys) - 1 {
		for i := range len(m.Xs) - 1 {
			do(i, j)
		}
	}
}

// bare reports whether a cell has a corner without value.
func (m Contours) bare(i, j int) bool {
	return !(m.Values[j][i] > 0 && m.Values[j][i+1] > 0 && m.Values[j+1][i] > 0 && m.Values[j+1][i+1] > 0)
}

// drawLevel joins where the value passes the level along the edges of every
// cell, and names the line at its right end.
func (m Contours) drawLevel(p *plot, l Level, taken *board) {
	end := XY{math.Inf(-1), 0}
	style := Style{Stroke: l.Ink, Width: 1.5}
	if l.Bold {
		style.Width = 2.6
	}
	m.cells(func(i, j int) {
		if m.bare(i, j) {
			return
		}
		cross := m.crossings(p, i, j, l.Value)
		for k := 0; k+1 < len(cross); k += 2 {
			p.c.Line(cross[k].X, cross[k].Y, cross[k+1].X, cross[k+1].Y, style)
		}
		for _, q := range cross {
			if q.X > end.X {
				end = q
			}
		}
	})
	if math.IsInf(end.X, -1) {
		return
	}
	st := TextStyle{Size: 12, Ink: l.Ink, Bold: l.Bold}
	var places []box
	for _, dy := range []float64{4, -8, 16} {
		places = append(places, textBox(end.X+5, end.Y+dy, l.Label, st))
	}
	at := taken.place(places)
	p.c.Text(end.X+5, end.Y+[]float64{4, -8, 16}[at], l.Label, st)
}

// crossings are where a level passes the edges of a cell, in order around it.
func (m Contours) crossings(p *plot, i, j int, level float64) []XY {
	corners := [4][2]int{{i, j}, {i + 1, j}, {i + 1, j + 1}, {i, j + 1}}
	var out []XY
	for k := range corners {
		a, b := corners[k], corners[(k+1)%4]
		za, zb := m.Values[a[1]][a[0]]-level, m.Values[b[1]][b[0]]-level
		if (za < 0) == (zb < 0) {
			continue
		}
		t := za / (za - zb)
		out = append(out, XY{p.x.at(m.Xs[a[0]] + t*(m.Xs[b[0]]-m.Xs[a[0]])), p.y.at(m.Ys[a[1]] + t*(m.Ys[b[1]]-m.Ys[a[1]]))})
	}
	return out
}

// Table has every fourth value of either axis.
func (m Contours) Table() Table {
	t := Table{Caption: m.Title + ", " + m.Z.title(), Head: []string{m.Y.title() + " \\ " + m.X.title()}}
	var across []int
	for i := 0; i < len(m.Xs); i += 4 {
		across = append(across, i)
		t.Head = append(t.Head, decimal(m.Xs[i], m.X.Decimals)+m.X.Suffix)
	}
	for j := 0; j < len(m.Ys); j += 4 {
		row := []string{decimal(m.Ys[j], m.Y.Decimals)}
		for _, i := range across {
			v := "no film"
			if z := m.Values[j][i]; z > 0 {
				v = decimal(z, m.Z.Decimals)
			}
			row = append(row, v)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
