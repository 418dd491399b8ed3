// SPDX-License-Identifier: Apache-2.0

package draw

import "math"

// Sizes of the strip, in canvas units.
const (
	stripGutter    = 0.0821 // of the width: the scale's numbers, or the first column of the table below
	minGutter      = 56.0
	minColumn      = 52.0 // narrower, and the crankshaft runs down the page
	columnsTop     = 14.0
	columnsPlot    = 192.0
	columnsFoot    = 44.0 // position and cylinder
	headingHeight  = 30.0
	rowPitch       = 46.0
	rowsTop        = 38.0
	rowsGutter     = 62.0
	cellLineHeight = 18.0
)

// gutter is what the columns leave free on the left.
func (s Strip) gutter(width float64) float64 { return math.Max(minGutter, width*stripGutter) }

// columnWidth is the width of one column on a canvas of the given width.
func (s Strip) columnWidth(width float64) float64 {
	return (width - s.gutter(width)) / float64(max(1, len(s.Columns)))
}

// upright says whether the crankshaft runs across the canvas.
func (s Strip) upright(width float64) bool { return s.columnWidth(width) >= minColumn }

// Height returns how high the strip is on a canvas of the given width.
func (s Strip) Height(width float64) float64 {
	h := 0.0
	if s.Heading {
		h = s.headingHeight(width)
	}
	if !s.upright(width) {
		return h + rowsTop + rowPitch*float64(len(s.Columns)) + 8
	}
	h += columnsTop + columnsPlot + columnsFoot
	for _, r := range s.Rows {
		h += r.height()
	}
	return h
}

// Draw draws the strip over the whole width of the canvas.
func (s Strip) Draw(c Canvas) {
	w, _ := c.Size()
	top := 0.0
	if s.Heading {
		top = s.drawHeading(c)
	}
	if s.upright(w) {
		s.drawColumns(c, top)
		return
	}
	s.drawRows(c, top)
}

const stripKey = "bar = 95 % of where the true value lies"

// headingHeight is one line, or two where the key does not fit beside the title.
func (s Strip) headingHeight(width float64) float64 {
	if TextWidth(s.Title, 14, true)+TextWidth(stripKey, 12, false)+230 > width {
		return headingHeight + 22
	}
	return headingHeight
}

// drawHeading writes the title and the key outside the plot.
func (s Strip) drawHeading(c Canvas) float64 {
	w, _ := c.Size()
	h := s.headingHeight(w)
	c.Text(0, 16, s.Title, TextStyle{Size: 14, Bold: true})
	y, soft := h-14, TextStyle{Size: 12, Ink: InkSoft}
	x := 8.0
	if h == headingHeight {
		x = w - TextWidth(stripKey, 12, false) - 176
	}
	MarkFound(c, x, y-4)
	c.Text(x+13, y, "as found", soft)
	x += 90
	c.Circle(x, y-4, 6, Style{Fill: InkText})
	c.Text(x+12, y, "as fitted", soft)
	c.Text(x+86, y, stripKey, soft)
	return h
}

// What the strip says when it has nothing to show.
const (
	noPositions = "No positions: the job has no engine sheet yet."
	noScale     = "Nothing measured yet, and no limits in the engine sheet."
)

// band is what is allowed, as far as the axis goes.
func (s Strip) band(x axis) (lo, hi float64) {
	lo, hi = x.lo, x.hi
	if s.Min != nil {
		lo = x.clamp(s.Min.Value)
	}
	if s.Max != nil {
		hi = x.clamp(s.Max.Value)
	}
	return lo, hi
}

// middle is the middle of what is allowed.
func (s Strip) middle(x axis) float64 {
	lo, hi := s.band(x)
	return (lo + hi) / 2
}
