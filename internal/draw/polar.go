// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"fmt"
	"math"
)

// Polar draws curves about a centre, such as a load through the working cycle
// or the journal in its clearance: rings on round numbers, both directions to
// the same scale. Points are in data units, X to the right and Y up.
type Polar struct {
	Title  string
	Unit   string
	Radius float64 // of the rim; 0 takes it from the data
	Rim    bool    // draw the rim as a part: the clearance circle
	Up     string  // what lies upwards: towards the piston
	Curves []Series
	Marks  []ChartMark
}

// Alt says in one sentence what the drawing shows.
func (p Polar) Alt() string {
	return p.Title + ", drawn about a centre, upwards is " + p.up() + ". The table has the largest values."
}

func (p Polar) up() string {
	if p.Up == "" {
		return "up"
	}
	return p.Up
}

// Reach is the value at the rim of the drawing.
func (p Polar) Reach() float64 { return p.rim() }

// rim is the radius that is drawn.
func (p Polar) rim() float64 {
	if p.Radius > 0 {
		return p.Radius
	}
	r := 0.0
	for _, s := range p.Curves {
		for _, q := range s.Points {
			if d := math.Hypot(q.X, q.Y); finite(d) {
				r = math.Max(r, d)
			}
		}
	}
	if r == 0 {
		return 1
	}
	return r * 1.05
}

// Place is the middle of the figure and the radius of its rim on a canvas of
// w by h units, for what a page moves over it.
func (p Polar) Place(w, h float64) (cx, cy, r float64) {
	_, top := legend(p.Curves, w)
	top += 26 // what lies upwards
	r = math.Min(w/2-10, (h-top-26)/2)
	return w / 2, top + r, r
}

// Draw draws the figure into the middle of the canvas.
func (p Polar) Draw(c Canvas) {
	w, h := c.Size()
	drawLegend(c, p.Curves, w)
	cx, cy, r := p.Place(w, h)
	top, rim := cy-r, p.rim()
	x, y := axis{lo: -rim, hi: rim, a: cx - r, b: cx + r}, axis{lo: -rim, hi: rim, a: cy + r, b: cy - r}

	p.drawRings(c, cx, cy, r, rim)
	for _, s := range p.Curves {
		for _, run := range clip(s.Points, x, y) {
			c.Polyline(run, Style{Stroke: s.Ink, Width: 2.2, Dash: s.Dash})
		}
	}
	for _, m := range p.Marks {
		mx, my := x.at(x.clamp(m.X)), y.at(y.clamp(m.Y))
		c.Circle(mx, my, 6, Style{Fill: m.Ink})
		c.Text(cx, h-6, m.Label, TextStyle{Size: 13, Anchor: Middle, Ink: m.Ink})
	}
	if p.Up != "" {
		c.Text(cx+8, top-10, p.Up, TextStyle{Size: 12, Ink: InkSoft})
	}
}

func (p Polar) drawRings(c Canvas, cx, cy, r, rim float64) {
	c.Line(cx-r-6, cy, cx+r+6, cy, Style{Stroke: InkFaint})
	c.Line(cx, cy-r-14, cx, cy+r+6, Style{Stroke: InkFaint})
	if p.Rim {
		c.Circle(cx, cy, r, Style{Stroke: InkText, Width: 2.2})
		return
	}
	ticks := Ticks(0, rim, 3)
	for _, v := range ticks {
		if v == 0 {
			continue
		}
		rv := v / rim * r
		c.Circle(cx, cy, rv, Style{Stroke: InkFaint})
		// Below the horizontal, where the upward end of a curve seldom is.
		c.Text(cx+rv*math.Cos(math.Pi/5)+4, cy+rv*math.Sin(math.Pi/5)+12, fmt.Sprintf("%s %s", decimal(v, stepDecimals(ticks)), p.Unit), TextStyle{Size: 12, Ink: InkSoft})
	}
}

// Table has the largest distance from the centre of every curve and its
// direction, clockwise from upwards.
func (p Polar) Table() Table {
	t := Table{Caption: p.Title, Head: []string{"Curve", "Largest, " + p.Unit, "Direction, clockwise from " + p.up()}}
	places := stepDecimals(Ticks(0, p.rim(), 3)) + 1
	for _, s := range p.Curves {
		row := []string{s.Name, "—", "—"}
		best := math.Inf(-1)
		for _, q := range s.Points {
			if d := math.Hypot(q.X, q.Y); finite(d) && d > best {
				best = d
				row[1] = decimal(d, places)
				row[2] = fmt.Sprintf("%.0f°", math.Mod(math.Atan2(q.X, q.Y)*180/math.Pi+360, 360))
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
