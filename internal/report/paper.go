// SPDX-License-Identifier: Apache-2.0

package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"witnessmark/internal/draw"
)

// Options is how paper is wanted.
type Options struct {
	Paper string // a4 or letter; empty: a4
}

// Papers are the sizes of paper that can be chosen.
var Papers = []string{"a4", "letter"}

// paperSizes are width and height in mm. ISO 216 and ANSI/ASME Y14.1.
var paperSizes = map[string]fpdf.SizeType{"a4": {Wd: 210, Ht: 297}, "letter": {Wd: 215.9, Ht: 279.4}}

// Margins and type, in mm.
const (
	marginSide = 16.0
	marginTop  = 21.0
	marginFoot = 21.0

	sizeTiny  = 2.3
	sizeSmall = 2.65
	sizeBody  = 3.05
	sizeLead  = 3.5
	sizeH3    = 3.4
	sizeH2    = 4.4
	leading   = 1.36 // line height, in sizes
)

// paper is a document while it is written from top to bottom. Everything is in
// mm from the top left of the page.
type paper struct {
	doc         *fpdf.Fpdf
	c           draw.Canvas
	w, h        float64
	left, right float64
	top, bottom float64
	y           float64
	dry         bool // measure only
	images      int  // embedded so far
}

// about is what a document says of itself.
type about struct {
	title, subject, author, program string
	printed                         time.Time
}

func newPaper(o Options, a about) (*paper, error) {
	if o.Paper == "" {
		o.Paper = "a4"
	}
	size, ok := paperSizes[strings.ToLower(o.Paper)]
	if !ok {
		return nil, fmt.Errorf("report: paper %q is not known: use %s", o.Paper, strings.Join(Papers, " or "))
	}
	doc := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: size})
	doc.SetMargins(0, 0, 0)
	doc.SetAutoPageBreak(false, 0)
	doc.SetCatalogSort(true)      // the same bytes every time
	when := time.Unix(0, 0).UTC() // what has no date says so; without one fpdf takes the clock's
	if !a.printed.IsZero() {
		when = a.printed.UTC().Truncate(time.Minute)
	}
	doc.SetCreationDate(when)
	doc.SetModificationDate(when)
	doc.SetTitle(draw.Printable(a.title), true)
	doc.SetSubject(draw.Printable(a.subject), true)
	doc.SetAuthor(draw.Printable(a.author), true)
	doc.SetCreator("Witnessmark "+a.program, true)
	doc.SetLang("en")
	draw.AddFonts(doc)
	p := &paper{doc: doc, w: size.Wd, h: size.Ht, left: marginSide, right: size.Wd - marginSide, top: marginTop, bottom: size.Ht - marginFoot}
	p.c = draw.NewPDF(doc, 0, 0, p.w, p.w, p.h)
	p.page()
	return p, nil
}

// page begins a new page.
func (p *paper) page() {
	if !p.dry {
		p.doc.AddPage()
	}
	p.y = p.top
}

func (p *paper) width() float64 { return p.right - p.left }
func (p *paper) room() float64  { return p.bottom - p.y }

// need begins a new page if less than h is left of this one.
func (p *paper) need(h float64) {
	if p.room() < h && p.y > p.top {
		p.page()
	}
}

// measure returns how high f would be on an endless page, and writes nothing.
func (p *paper) measure(f func()) float64 {
	y, dry, bottom := p.y, p.dry, p.bottom
	p.dry, p.bottom = true, math.Inf(1) // no page ends it
	f()
	h := p.y - y
	p.y, p.dry, p.bottom = y, dry, bottom
	return h
}

// type_ is how a text is set.
type type_ struct {
	size float64
	bold bool
	ink  draw.Ink
}

var (
	body   = type_{size: sizeBody}
	strong = type_{size: sizeBody, bold: true}
	soft   = type_{size: sizeBody, ink: draw.InkSoft}
	small  = type_{size: sizeSmall, ink: draw.InkSoft}
)

func (t type_) height() float64 { return t.size * leading }

// of is the same type in another ink.
func (t type_) of(ink draw.Ink) type_ {
	t.ink = ink
	return t
}

// set writes one line with its baseline at y.
func (p *paper) set(x, y float64, text string, t type_, a draw.Anchor) {
	if !p.dry {
		p.c.Text(x, y, text, draw.TextStyle{Size: t.size, Bold: t.bold, Ink: t.ink, Anchor: a})
	}
}

func (p *paper) line(x1, y1, x2, y2 float64, s draw.Style) {
	if !p.dry {
		p.c.Line(x1, y1, x2, y2, s)
	}
}

func (p *paper) rect(x, y, w, h float64, s draw.Style) {
	if !p.dry {
		p.c.Rect(x, y, w, h, s)
	}
}

// mark draws a verdict's mark about x, y, its size that of a capital letter.
func (p *paper) mark(x, y float64, state string) {
	if p.dry {
		return
	}
	const units, mm = 18, 2.9
	c := draw.NewPDF(p.doc, x-mm/2, y-mm/2, mm, units, units)
	draw.Mark(c, units/2, units/2, state)
}

// para writes a text over the width of the page, across pages if it must.
func (p *paper) para(text string, t type_) { p.column(p.left, p.width(), text, t) }

// column writes a text between x and x+w.
func (p *paper) column(x, w float64, text string, t type_) {
	for _, l := range wrap(text, w, t) {
		p.need(t.height())
		p.set(x, p.y+t.size*1.02, l, t, draw.Start)
		p.y += t.height()
	}
}

// bullets writes sentences as a list.
func (p *paper) bullets(items []string, t type_) {
	indent := t.size * 1.5
	for _, s := range items {
		p.need(t.height())
		p.set(p.left+t.size*0.2, p.y+t.size*1.02, "•", t.of(draw.InkSoft), draw.Start)
		p.column(p.left+indent, p.width()-indent, s, t)
		p.gap(t.size * 0.18)
	}
}

// gap leaves h free, but not at the top of a page.
func (p *paper) gap(h float64) {
	if p.y > p.top {
		p.y += h
	}
}

// heading begins a section: it stands in the outline and keeps room for what
// follows.
func (p *paper) heading(text string, keep float64) {
	t := type_{size: sizeH2, bold: true}
	p.gap(6)
	p.need(t.height() + 3 + keep)
	p.bookmark(text, 0)
	p.set(p.left, p.y+t.size, text, t, draw.Start)
	p.y += t.height() + 0.4
	p.line(p.left, p.y, p.right, p.y, draw.Style{Stroke: draw.InkText, Width: 0.5})
	p.y += 2.6
}

// subheading begins a part of a section.
func (p *paper) subheading(text string, keep float64) {
	t := type_{size: sizeH3, bold: true}
	p.gap(2.5)
	p.need(t.height() + 1 + keep)
	p.bookmark(text, 1)
	p.set(p.left, p.y+t.size, text, t, draw.Start)
	p.y += t.height() + 0.8
}

func (p *paper) bookmark(text string, level int) {
	if !p.dry {
		p.doc.SetFont(draw.FontFamily, "", 0) // its encoding is that of the face in use
		p.doc.Bookmark(draw.Printable(text), level, p.y)
	}
}

// boxed writes a text in a frame.
func (p *paper) boxed(text string, ink draw.Ink, t type_) {
	const pad = 1.6
	lines := wrap(text, p.width()-4*pad, t)
	h := float64(len(lines))*t.height() + 2*pad
	p.need(h + 1)
	p.rect(p.left, p.y, p.width(), h, draw.Style{Stroke: ink, Width: 0.4})
	y := p.y + pad
	for _, l := range lines {
		p.set(p.left+2*pad, y+t.size*1.02, l, t, draw.Start)
		y += t.height()
	}
	p.y += h + 2
}

// running is what every page carries outside its margins.
type running struct {
	head   string
	notice string // boxed at the right of the head
	foot   []string
}

// finish writes what every page carries and closes the document into w.
func (p *paper) finish(w io.Writer, r running) error {
	n := p.doc.PageCount()
	for i := 1; i <= n; i++ {
		p.doc.SetPage(i)
		p.running(r, fmt.Sprintf("page %d of %d", i, n))
	}
	if err := p.doc.Output(w); err != nil {
		return fmt.Errorf("report: write PDF: %w", err)
	}
	return nil
}

func (p *paper) running(r running, number string) {
	t := type_{size: sizeTiny + 0.15, ink: draw.InkSoft}
	room := p.width()
	if r.notice != "" {
		n := type_{size: sizeTiny + 0.15, bold: true, ink: draw.InkWait}
		w := draw.TextWidth(r.notice, n.size, true) + 3
		p.rect(p.right-w, 8.6, w, 4.6, draw.Style{Stroke: draw.InkWait, Width: 0.35})
		p.set(p.right-1.5, 11.7, r.notice, n, draw.End)
		room -= w + 4
	}
	p.set(p.left, 11.7, clip(r.head, room, t), t, draw.Start)
	p.line(p.left, 15, p.right, 15, draw.Style{Stroke: draw.InkRule, Width: 0.25})
	y := p.h - 14.5
	p.line(p.left, y-3, p.right, y-3, draw.Style{Stroke: draw.InkRule, Width: 0.25})
	p.set(p.right, y+0.6, number, type_{size: sizeSmall, bold: true}, draw.End)
	for _, f := range r.foot {
		f = clip(f, p.width()-26, t)
		p.set(p.left, y+0.6, f, t, draw.Start)
		y += t.height()
	}
}
