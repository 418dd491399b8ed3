// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// SVG is a canvas for pages. Its text is the same for the same drawing, holds
// no style attribute and no id, and is escaped.
type SVG struct {
	w, h  float64
	theme Theme
	title string
	body  strings.Builder
}

// NewSVG starts a drawing for a page, w by h units, coloured by [Stylesheet].
// The title says what it shows to those who cannot see it.
func NewSVG(w, h float64, title string) *SVG { return &SVG{w: w, h: h, title: title} }

// NewStandaloneSVG starts a drawing that carries its colours and font, to be
// looked at outside the page.
func NewStandaloneSVG(w, h float64, title string, t Theme) *SVG {
	return &SVG{w: w, h: h, title: title, theme: t}
}

// Size is the width and height that the drawing was started with.
func (s *SVG) Size() (w, h float64) { return s.w, s.h }

// String is the whole drawing as text.
func (s *SVG) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" class="drawing" viewBox="0 0 %s %s" role="img" aria-label="%s"`, num(s.w), num(s.h), escape(s.title))
	if s.theme != nil {
		fmt.Fprintf(&b, ` width="%s" height="%s" font-family="'DejaVu Sans',sans-serif"`, num(s.w), num(s.h))
	}
	b.WriteString(">\n")
	if s.theme != nil {
		fmt.Fprintf(&b, "<rect width=\"%s\" height=\"%s\" fill=\"%s\"/>\n", num(s.w), num(s.h), s.theme[InkSheet])
	}
	b.WriteString(s.body.String())
	b.WriteString("</svg>")
	return b.String()
}

// Line draws one straight line.
func (s *SVG) Line(x1, y1, x2, y2 float64, st Style) {
	if !finite(x1, y1, x2, y2) {
		return
	}
	fmt.Fprintf(&s.body, `<line x1="%s" y1="%s" x2="%s" y2="%s"%s/>`+"\n", num(x1), num(y1), num(x2), num(y2), s.attrs(st))
}

// Polyline joins points by straight lines.
func (s *SVG) Polyline(p []XY, st Style) { s.points("polyline", p, st) }

// Polygon joins points by straight lines and closes the figure.
func (s *SVG) Polygon(p []XY, st Style) { s.points("polygon", p, st) }

func (s *SVG) points(tag string, p []XY, st Style) {
	if len(p) == 0 || !finitePoints(p) {
		return
	}
	fmt.Fprintf(&s.body, `<%s points="`, tag)
	for i, q := range p {
		if i > 0 {
			s.body.WriteByte(' ')
		}
		s.body.WriteString(num(q.X) + "," + num(q.Y))
	}
	fmt.Fprintf(&s.body, "\"%s/>\n", s.attrs(st))
}

// Rect draws a rectangle from its top left corner.
func (s *SVG) Rect(x, y, w, h float64, st Style) {
	if !finite(x, y, w, h) {
		return
	}
	fmt.Fprintf(&s.body, `<rect x="%s" y="%s" width="%s" height="%s"%s/>`+"\n", num(x), num(y), num(w), num(h), s.attrs(st))
}

// Circle draws a circle about its centre.
func (s *SVG) Circle(x, y, r float64, st Style) {
	if !finite(x, y, r) {
		return
	}
	fmt.Fprintf(&s.body, `<circle cx="%s" cy="%s" r="%s"%s/>`+"\n", num(x), num(y), num(r), s.attrs(st))
}

// Text sets one line of text.
func (s *SVG) Text(x, y float64, text string, st TextStyle) {
	if text == "" || !finite(x, y, st.Size) {
		return
	}
	ink := st.Ink
	if ink == InkNone {
		ink = InkText
	}
	fmt.Fprintf(&s.body, `<text x="%s" y="%s" font-size="%s"%s`, num(x), num(y), num(st.Size), s.paint("fill", "fi-", ink))
	if st.Bold {
		s.body.WriteString(` font-weight="700"`)
	}
	switch st.Anchor {
	case Middle:
		s.body.WriteString(` text-anchor="middle"`)
	case End:
		s.body.WriteString(` text-anchor="end"`)
	}
	fmt.Fprintf(&s.body, ">%s</text>\n", escape(text))
}

// attrs writes a style as classes, or as colours when the drawing carries them.
func (s *SVG) attrs(st Style) string {
	var b strings.Builder
	switch {
	case s.theme != nil:
		b.WriteString(s.paint("fill", "", st.Fill) + s.paint("stroke", "", st.Stroke))
	case st.Fill == InkNone:
		b.WriteString(` fill="none"` + s.paint("stroke", "st-", st.Stroke))
	case st.Stroke == InkNone:
		b.WriteString(s.paint("fill", "fi-", st.Fill))
	default:
		fmt.Fprintf(&b, ` class="st-%s fi-%s"`, st.Stroke, st.Fill)
	}
	if st.Stroke != InkNone && st.Width != 0 && st.Width != 1 {
		fmt.Fprintf(&b, ` stroke-width="%s"`, num(st.Width))
	}
	if len(st.Dash) > 0 {
		d := make([]string, len(st.Dash))
		for i, v := range st.Dash {
			d[i] = num(v)
		}
		fmt.Fprintf(&b, ` stroke-dasharray="%s"`, strings.Join(d, " "))
	}
	return b.String()
}

// paint writes one ink, as a class on a page and as a colour elsewhere.
func (s *SVG) paint(attr, class string, k Ink) string {
	switch {
	case s.theme != nil && k == InkNone:
		return fmt.Sprintf(` %s="none"`, attr)
	case s.theme != nil:
		return fmt.Sprintf(` %s="%s"`, attr, s.theme[k])
	case k == InkNone:
		return ""
	default:
		return fmt.Sprintf(` class="%s%s"`, class, k)
	}
}

// num writes a coordinate with two decimals at most.
func num(v float64) string {
	v = math.Round(v*100) / 100
	if v == 0 {
		v = 0 // no negative zero
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a Builder never fails
	return b.String()
}

func finite(vs ...float64) bool {
	for _, v := range vs {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

func finitePoints(p []XY) bool {
	for _, q := range p {
		if !finite(q.X, q.Y) {
			return false
		}
	}
	return true
}
