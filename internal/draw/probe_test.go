// SPDX-License-Identifier: Apache-2.0

package draw

import "fmt"

// probe is a canvas that remembers the texts and what falls off it.
type probe struct {
	w, h    float64
	text    string
	outside string
}

func (p *probe) Size() (w, h float64) { return p.w, p.h }

func (p *probe) at(what string, points ...XY) {
	const slack = 0.5
	for _, q := range points {
		if !(q.X >= -slack && q.X <= p.w+slack && q.Y >= -slack && q.Y <= p.h+slack) && p.outside == "" {
			p.outside = fmt.Sprintf("%s at %.1f, %.1f on %.0f by %.0f", what, q.X, q.Y, p.w, p.h)
		}
	}
}

func (p *probe) Line(x1, y1, x2, y2 float64, _ Style) { p.at("line", XY{x1, y1}, XY{x2, y2}) }
func (p *probe) Polyline(q []XY, _ Style)             { p.at("polyline", q...) }
func (p *probe) Polygon(q []XY, _ Style)              { p.at("polygon", q...) }
func (p *probe) Rect(x, y, w, h float64, _ Style)     { p.at("rect", XY{x, y}, XY{x + w, y + h}) }
func (p *probe) Circle(x, y, r float64, _ Style) {
	p.at("circle", XY{x - r, y - r}, XY{x + r, y + r})
}

func (p *probe) Text(x, y float64, text string, s TextStyle) {
	if text == "" {
		return
	}
	b := textBox(x, y, text, s)
	p.at("text "+text, XY{b.x0, y}, XY{b.x1, y})
	p.text += "\n" + text + "\n"
}
