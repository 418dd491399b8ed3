// SPDX-License-Identifier: Apache-2.0

package draw

// legendPlace is where one name of a legend stands.
type legendPlace struct{ x, y float64 }

// legend lays names out from the left in lines of the given width and returns
// their places and the height.
func legend(series []Series, width float64) ([]legendPlace, float64) {
	named := 0
	for _, s := range series {
		if s.Name != "" {
			named++
		}
	}
	if named == 0 {
		return make([]legendPlace, len(series)), 0
	}
	places := make([]legendPlace, len(series))
	x, y := 0.0, 14.0
	for i, s := range series {
		w := legendShort + 8 + TextWidth(s.Name, 12, false) + 22
		if x > 0 && x+w > width {
			x, y = 0, y+legendLine
		}
		places[i] = legendPlace{x, y}
		x += w
	}
	return places, y + 8
}

func (h Chart) legendHeight(width float64) float64 {
	_, height := legend(h.Series, width)
	return height
}

func (p *plot) drawLegend() {
	w, _ := p.c.Size()
	drawLegend(p.c, p.Series, w)
}

// drawLegend writes a sample of every line and its name above the plot.
func drawLegend(c Canvas, series []Series, width float64) {
	places, _ := legend(series, width)
	for i, s := range series {
		if s.Name == "" {
			continue
		}
		at := places[i]
		c.Line(at.x, at.y-4, at.x+legendShort, at.y-4, Style{Stroke: s.Ink, Width: 2.2, Dash: s.Dash})
		c.Text(at.x+legendShort+8, at.y, s.Name, TextStyle{Size: 12, Ink: InkSoft})
	}
}

// clip maps a line of values onto the canvas and cuts off what leaves the axes,
// so that it comes in one or more runs.
func clip(points []XY, x, y axis) [][]XY {
	var runs [][]XY
	var run []XY
	end := func() {
		if len(run) > 1 {
			runs = append(runs, run)
		}
		run = nil
	}
	for i := 1; i < len(points); i++ {
		a, b, ok := clipSegment(points[i-1], points[i], x, y)
		if !ok {
			end()
			continue
		}
		pa, pb := XY{x.at(a.X), y.at(a.Y)}, XY{x.at(b.X), y.at(b.Y)}
		if len(run) == 0 || run[len(run)-1] != pa {
			end()
			run = append(run, pa)
		}
		run = append(run, pb)
	}
	end()
	return runs
}

// clipSegment cuts a segment to the axes.
//
// Source: Liang and Barsky, ACM Transactions on Graphics 3 (1984) 1-22.
func clipSegment(a, b XY, x, y axis) (XY, XY, bool) {
	if !finite(a.X, a.Y, b.X, b.Y) {
		return a, b, false
	}
	dx, dy := b.X-a.X, b.Y-a.Y
	t0, t1 := 0.0, 1.0
	for _, e := range [][2]float64{{-dx, a.X - x.lo}, {dx, x.hi - a.X}, {-dy, a.Y - y.lo}, {dy, y.hi - a.Y}} {
		p, q := e[0], e[1]
		switch {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			t0 = max(t0, q/p)
		case p > 0:
			t1 = min(t1, q/p)
		}
	}
	if t0 > t1 {
		return a, b, false
	}
	return along(a, b, t0), along(a, b, t1), true
}

// along is a at 0 and b at 1, exactly.
func along(a, b XY, t float64) XY {
	switch t {
	case 0:
		return a
	case 1:
		return b
	}
	return XY{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)}
}
