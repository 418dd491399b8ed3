// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"codeberg.org/go-fonts/dejavu/dejavusans"
	"codeberg.org/go-fonts/dejavu/dejavusansbold"
	"codeberg.org/go-pdf/fpdf"
)

// FontFamily is the name under which [AddFonts] registers DejaVu Sans.
const FontFamily = "dejavu"

// AddFonts registers DejaVu Sans, regular ("") and bold ("B"), with a document.
func AddFonts(doc *fpdf.Fpdf) {
	doc.AddUTF8FontFromBytes(FontFamily, "", dejavusans.TTF)
	doc.AddUTF8FontFromBytes(FontFamily, "B", dejavusansbold.TTF)
}

// PDF is a canvas on the current page of a document. Errors stay with the
// document.
type PDF struct {
	doc   *fpdf.Fpdf
	w, h  float64
	x, y  float64 // of the canvas's origin on the page
	k     float64 // page units per canvas unit
	theme Theme
}

// NewPDF puts a canvas of w by h units on doc's current page, its top left
// corner at x, y and as wide as width, in the document's unit. The document
// has the fonts of [AddFonts].
func NewPDF(doc *fpdf.Fpdf, x, y, width, w, h float64) *PDF {
	return &PDF{doc: doc, w: w, h: h, x: x, y: y, k: width / w, theme: Light}
}

// Size is the width and height of the canvas in its own units.
func (p *PDF) Size() (w, h float64) { return p.w, p.h }

// Height is how much of the page the canvas takes, in the document's unit.
func (p *PDF) Height() float64 { return p.h * p.k }

func (p *PDF) px(x float64) float64 { return p.x + x*p.k }
func (p *PDF) py(y float64) float64 { return p.y + y*p.k }

// Line draws one straight line.
func (p *PDF) Line(x1, y1, x2, y2 float64, s Style) {
	p.Polyline([]XY{{x1, y1}, {x2, y2}}, Style{Stroke: s.Stroke, Width: s.Width, Dash: s.Dash})
}

// Polyline joins points by straight lines.
func (p *PDF) Polyline(points []XY, s Style) { p.path(points, false, s) }

// Polygon joins points by straight lines and closes the figure.
func (p *PDF) Polygon(points []XY, s Style) { p.path(points, true, s) }

func (p *PDF) path(points []XY, closed bool, s Style) {
	how := p.set(s)
	if len(points) == 0 || how == "" || !finitePoints(points) {
		return
	}
	p.doc.MoveTo(p.px(points[0].X), p.py(points[0].Y))
	for _, q := range points[1:] {
		p.doc.LineTo(p.px(q.X), p.py(q.Y))
	}
	if closed {
		p.doc.ClosePath()
	}
	p.doc.DrawPath(how)
	p.doc.SetDashPattern(nil, 0)
}

// Rect draws a rectangle from its top left corner.
func (p *PDF) Rect(x, y, w, h float64, s Style) {
	if how := p.set(s); how != "" && finite(x, y, w, h) {
		p.doc.Rect(p.px(x), p.py(y), w*p.k, h*p.k, how)
		p.doc.SetDashPattern(nil, 0)
	}
}

// Circle draws a circle about its centre.
func (p *PDF) Circle(x, y, r float64, s Style) {
	if how := p.set(s); how != "" && finite(x, y, r) {
		p.doc.Circle(p.px(x), p.py(y), r*p.k, how)
		p.doc.SetDashPattern(nil, 0)
	}
}

// Text sets one line of text, as far as it is [Printable].
func (p *PDF) Text(x, y float64, text string, s TextStyle) {
	text = Printable(text)
	if text == "" || !finite(x, y, s.Size) {
		return
	}
	weight := ""
	if s.Bold {
		weight = "B"
	}
	p.doc.SetFont(FontFamily, weight, 0)
	p.doc.SetFontUnitSize(s.Size * p.k)
	switch w := TextWidth(text, s.Size, s.Bold); s.Anchor {
	case Middle:
		x -= w / 2
	case End:
		x -= w
	}
	ink := s.Ink
	if ink == InkNone {
		ink = InkText
	}
	p.doc.SetTextColor(p.theme.rgb(ink))
	p.doc.Text(p.px(x), p.py(y), text)
}

// set readies the document for a style and returns fpdf's word for it: D for
// the outline, F for the inside, FD for both, nothing for neither.
func (p *PDF) set(s Style) string {
	how := ""
	if s.Fill != InkNone {
		p.doc.SetFillColor(p.theme.rgb(s.Fill))
		how = "F"
	}
	if s.Stroke == InkNone {
		return how
	}
	p.doc.SetDrawColor(p.theme.rgb(s.Stroke))
	width := s.Width
	if width == 0 {
		width = 1
	}
	p.doc.SetLineWidth(width * p.k)
	dash := make([]float64, len(s.Dash))
	for i, v := range s.Dash {
		dash[i] = v * p.k
	}
	p.doc.SetDashPattern(dash, 0)
	return how + "D"
}
