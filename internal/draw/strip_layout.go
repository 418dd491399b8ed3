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
		x = w - TextWidth(stripKey, 12, false) - 196
	}
	MarkFound(c, x, y-4)
	c.Text(x+13, y, "as found", soft)
	x += 90
	c.Circle(x, y-4, 6, Style{Fill: InkText})
	c.Text(x+12, y, "as fitted", soft)
	c.Text(x+86, y, stripKey, soft)
	return h
}
