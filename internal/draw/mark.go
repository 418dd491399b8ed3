// SPDX-License-Identifier: Apache-2.0

package draw

// Mark draws the mark of a state about x, y: a circle for what fits, a square
// with a cross for what is out, a triangle for what is not proven, a dashed
// circle for what is to do. Other states have none.
func Mark(c Canvas, x, y float64, state string) {
	switch state {
	case Fits:
		c.Circle(x, y, 7, Style{Fill: InkFit})
	case Out:
		c.Rect(x-8, y-8, 16, 16, Style{Fill: InkOut})
		cross := Style{Stroke: InkSheet, Width: 2.4}
		c.Line(x-4, y-4, x+4, y+4, cross)
		c.Line(x-4, y+4, x+4, y-4, cross)
	case Unproven:
		c.Polygon([]XY{{x, y - 9}, {x + 9, y + 7}, {x - 9, y + 7}}, Style{Fill: InkWait})
	case Todo:
		c.Circle(x, y, 7, Style{Stroke: InkMark, Width: 2, Dash: []float64{3, 3}})
	}
}

// MarkFound draws the mark of what was found: an open diamond.
func MarkFound(c Canvas, x, y float64) {
	const r = 7.1
	c.Polygon([]XY{{x, y - r}, {x + r, y}, {x, y + r}, {x - r, y}}, Style{Stroke: InkMark, Fill: InkSheet, Width: 2})
}

// Bolt draws a bolt seen from its head: open, half filled while it is a
// measuring bolt, filled when it is final.
func Bolt(c Canvas, x, y float64, state string) {
	const r = 6.5
	ring := Style{Stroke: InkFit, Width: 2}
	switch state {
	case BoltFinal:
		ring.Fill = InkFit
	case BoltMeasuring:
		c.Polygon(arc(x, y, r, 90, 270), Style{Fill: InkFit})
	default:
		ring.Stroke = InkMark
	}
	c.Circle(x, y, r, ring)
}

// stateInk is the ink of a state's bar and number.
func stateInk(state string) Ink {
	switch state {
	case Fits:
		return InkFit
	case Out:
		return InkOut
	case Unproven:
		return InkWait
	}
	return InkSoft
}
