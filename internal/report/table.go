// SPDX-License-Identifier: Apache-2.0

package report

import (
	"slices"

	"witnessmark/internal/draw"
)

// table is rows under a head that is repeated on every page.
type table struct {
	columns []column
	rows    []row
}

// column is as wide as its width in mm, or shares what is left by its weight.
type column struct {
	title  string
	width  float64
	weight float64
}

// row is one cell per column. A band spans them all and names the rows below.
type row struct {
	cells []cell
	band  string
	state string // verdict's mark and ink of the band
	note  string // with band or alone: a soft line over the whole width
	open  bool   // no rule below: the next row belongs to it
}

// cell is texts below each other.
type cell []run

// run is a text in one type, with a verdict's mark before it.
type run struct {
	text string
	t    type_
	mark string
}

func plain(s string) cell    { return cell{{text: s, t: body}} }
func softly(s string) cell   { return cell{{text: s, t: small}} }
func strongly(s string) cell { return cell{{text: s, t: strong}} }
func verdict(word, state string) cell {
	return cell{{text: word, t: type_{size: sizeBody, bold: state != draw.Todo && state != "soft", ink: stateInk(state)}, mark: state}}
}

func stateInk(state string) draw.Ink {
	switch state {
	case draw.Fits:
		return draw.InkFit
	case draw.Out:
		return draw.InkOut
	case draw.Unproven:
		return draw.InkWait
	}
	return draw.InkSoft
}

const (
	cellGap   = 3.0 // between columns
	rowPad    = 1.05
	markWidth = 3.9
)

// laid is a run cut into a line of a cell.
type laid struct {
	text string
	t    type_
	mark string
	dx   float64
}

// lay cuts a cell into lines of its column.
func (c cell) lay(w float64) []laid {
	var out []laid
	for _, r := range c {
		if r.text == "" {
			continue
		}
		dx := 0.0
		if hasMark(r.mark) {
			dx = markWidth
		}
		for i, l := range wrap(r.text, w-dx, r.t) {
			m := ""
			if i == 0 {
				m = r.mark
			}
			out = append(out, laid{l, r.t, m, dx})
		}
	}
	return out
}

func hasMark(state string) bool {
	return slices.Contains([]string{draw.Fits, draw.Out, draw.Unproven, draw.Todo}, state)
}

// table writes a table. A row stays together unless it is higher than a page.
func (p *paper) table(t table) {
	if len(t.rows) == 0 {
		return
	}
	w := t.widths(p.width())
	for i, r := range t.rows {
		lines, h := t.lay(r, w, p.width())
		keep := h
		if (r.band != "" || r.open) && i+1 < len(t.rows) {
			if _, next := t.lay(t.rows[i+1], w, p.width()); keep+next <= p.bottom-p.top-t.headHeight(w) {
				keep += next
			}
		}
		switch {
		case i == 0:
			p.need(t.headHeight(w) + min(keep, 40))
			p.tableHead(t, w)
		case p.room() < keep && (keep <= p.bottom-p.top-t.headHeight(w) || p.room() < 12):
			p.page()
			p.tableHead(t, w)
		}
		p.row(t, r, lines, w)
	}
	p.y += 2
}

// widths shares out the width.
func (t table) widths(total float64) []float64 {
	left, weights := total-cellGap*float64(len(t.columns)-1), 0.0
	for _, c := range t.columns {
		left -= c.width
		weights += c.weight
	}
	w := make([]float64, len(t.columns))
	for i, c := range t.columns {
		w[i] = c.width
		if c.weight > 0 {
			w[i] = left * c.weight / weights
		}
	}
	return w
}

// lay cuts a row into lines and says how high it is.
func (t table) lay(r row, w []float64, total float64) (cells [][]laid, h float64) {
	switch {
	case r.band != "" || r.note != "":
		c := cell{}
		if r.band != "" {
			t := strong
			if r.state != "" {
				t = t.of(stateInk(r.state))
			}
			c = append(c, run{text: r.band, t: t, mark: r.state})
		}
		if r.note != "" {
			c = append(c, run{text: r.note, t: small})
		}
		cells = [][]laid{c.lay(total)}
	default:
		for i, c := range r.cells {
			cells = append(cells, c.lay(w[i]))
		}
	}
	for _, c := range cells {
		h = max(h, heightOf(c))
	}
	if r.band != "" {
		h += 1.2
	}
	return cells, h + 2*rowPad
}

// drop brings the first line of a cell in small type down to the others' line.
func drop(lines []laid) float64 {
	if len(lines) == 0 {
		return 0
	}
	return max(0, (sizeBody-lines[0].t.size)*1.02)
}

func heightOf(lines []laid) float64 {
	h := drop(lines)
	for _, l := range lines {
		h += l.t.height()
	}
	return h
}

var headType = type_{size: sizeSmall, ink: draw.InkSoft}

func (t table) headHeight(w []float64) float64 {
	n := 1
	for i, c := range t.columns {
		n = max(n, len(wrap(c.title, w[i], headType)))
	}
	return float64(n)*headType.height() + rowPad + 0.6
}

func (p *paper) tableHead(t table, w []float64) {
	h := t.headHeight(w)
	x := p.left
	for i, c := range t.columns {
		lines := wrap(c.title, w[i], headType)
		y := p.y + h - rowPad - 0.6 - float64(len(lines))*headType.height()
		for _, l := range lines {
			p.set(x, y+headType.size*1.02, l, headType, draw.Start)
			y += headType.height()
		}
		x += w[i] + cellGap
	}
	p.y += h
	p.line(p.left, p.y, p.right, p.y, draw.Style{Stroke: draw.InkText, Width: 0.3})
}

// row writes one row, line by line; one that is higher than what is left of a
// page goes on under the head on the next.
func (p *paper) row(t table, r row, cells [][]laid, w []float64) {
	if r.band != "" {
		p.y += 1.2
	}
	for {
		next := make([][]laid, len(cells))
		start, most, more := p.y+rowPad, 0.0, false
		x := p.left
		for i, c := range cells {
			y := start + drop(c)
			for j, l := range c {
				if y+l.t.height() > p.bottom && y+l.t.height()-start > 0 && (j > 0 || start > p.top+20) {
					next[i], more = c[j:], true
					break
				}
				p.laid(x, y, l)
				y += l.t.height()
			}
			most = max(most, y-start)
			if i < len(w) {
				x += w[i] + cellGap
			}
		}
		p.y = start + most + rowPad
		if !more {
			break
		}
		p.page()
		p.tableHead(t, w)
		cells = next
	}
	if !r.open {
		p.line(p.left, p.y, p.right, p.y, draw.Style{Stroke: draw.InkRule, Width: 0.2})
	}
}

func (p *paper) laid(x, y float64, l laid) {
	if hasMark(l.mark) {
		p.mark(x+1.5, y+l.t.size*0.68, l.mark)
	}
	p.set(x+l.dx, y+l.t.size*1.02, l.text, l.t, draw.Start)
}
