// SPDX-License-Identifier: Apache-2.0

package draw

// XY is a place on a canvas, in its units.
type XY struct{ X, Y float64 }

// Style says how a shape is drawn. A zero Stroke or Fill leaves it out; a
// stroke without Width is one unit wide.
type Style struct {
	Stroke, Fill Ink
	Width        float64
	Dash         []float64 // lengths of stroke and gap, in turn
}

// Anchor says which point of a text stands at the place given.
type Anchor int

// The three anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// TextStyle says how a text is set. Its zero Ink is [InkText].
type TextStyle struct {
	Size   float64
	Bold   bool
	Anchor Anchor
	Ink    Ink
}

// Canvas is what a drawing draws on. A shape that is not finite is left out.
type Canvas interface {
	// Size is the width and height that the drawing may fill.
	Size() (w, h float64)
	Line(x1, y1, x2, y2 float64, s Style)
	Polyline(points []XY, s Style)
	Polygon(points []XY, s Style)
	Rect(x, y, w, h float64, s Style)
	Circle(x, y, r float64, s Style)
	// Text sets one line of text with its baseline at y.
	Text(x, y float64, text string, s TextStyle)
}

// Drawing is anything that can draw itself.
type Drawing interface {
	Draw(c Canvas)
	// Alt says in one sentence what the drawing shows.
	Alt() string
	// Table has the same facts as text, for beside the drawing.
	Table() Table
}

// Table is a drawing's facts as text. Every row is as long as Head.
type Table struct {
	Caption string
	Head    []string
	Rows    [][]string
}
