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

// Grid is how a sheet of labels is cut, in mm.
type Grid struct {
	Options
	Columns, Rows int
	MarginTop     float64
	MarginSide    float64
	GapAcross     float64 // between columns
	GapDown       float64 // between rows
	Skip          int     // labels of the first sheet that are used already
	Frame         bool    // draw the edges, to cut plain paper
}

// Sticker is one label: a code with words beside it.
type Sticker struct {
	Code  string // what the QR code holds
	Title string
	Lines []string
}

// The least label, in mm: its code still reads from a hand away.
const (
	leastLabelWidth  = 25.0
	leastLabelHeight = 12.0
)

// size of one label in mm.
func (g Grid) size() (w, h float64, err error) {
	page, ok := paperSizes[strings.ToLower(g.Paper)]
	if !ok {
		return 0, 0, fmt.Errorf("paper %q is not known: use %s", g.Paper, strings.Join(Papers, " or "))
	}
	if g.Columns < 1 || g.Columns > 20 || g.Rows < 1 || g.Rows > 40 {
		return 0, 0, fmt.Errorf("a grid of %d × %d labels: write 1 to 20 columns and 1 to 40 rows", g.Columns, g.Rows)
	}
	for _, x := range []float64{g.MarginTop, g.MarginSide, g.GapAcross, g.GapDown} {
		if !(x >= 0 && x <= 100) {
			return 0, 0, fmt.Errorf("%g mm of margin or gap: write 0 to 100 mm", x)
		}
	}
	if g.Skip < 0 || g.Skip >= g.Columns*g.Rows {
		return 0, 0, fmt.Errorf("%d labels are used already, but a sheet has %d: write a smaller number", g.Skip, g.Columns*g.Rows)
	}
	w = (page.Wd - 2*g.MarginSide - float64(g.Columns-1)*g.GapAcross) / float64(g.Columns)
	h = (page.Ht - 2*g.MarginTop - float64(g.Rows-1)*g.GapDown) / float64(g.Rows)
	if w < leastLabelWidth || h < leastLabelHeight {
		return 0, 0, fmt.Errorf("a label of %.0f × %.0f mm is too small for its code: choose fewer columns or rows, at least %.0f × %.0f mm", w, h, leastLabelWidth, leastLabelHeight)
	}
	return w, h, nil
}

// Check says what is wrong with a grid, in words.
func (g Grid) Check() error {
	_, _, err := g.size()
	return err
}

// Labels writes stickers onto sheets as a PDF, row by row. It returns an error
// for a grid that can't be, or when w fails.
func Labels(out io.Writer, g Grid, list []Sticker, title, program string) error {
	w, h, err := g.size()
	if err != nil {
		return fmt.Errorf("report: labels: %w", err)
	}
	size := paperSizes[strings.ToLower(g.Paper)]
	doc := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: size})
	doc.SetMargins(0, 0, 0)
	doc.SetAutoPageBreak(false, 0)
	doc.SetCatalogSort(true)
	doc.SetCreationDate(time.Unix(0, 0).UTC())
	doc.SetModificationDate(time.Unix(0, 0).UTC())
	doc.SetTitle(draw.Printable(title), true)
	doc.SetCreator("Witnessmark "+program, true)
	draw.AddFonts(doc)
	p := &paper{doc: doc, w: size.Wd, h: size.Ht}
	p.c = draw.NewPDF(doc, 0, 0, p.w, p.w, p.h)
	each := g.Columns * g.Rows
	for i, s := range list {
		at := (i + g.Skip) % each
		if i == 0 || at == 0 {
			doc.AddPage()
		}
		x := g.MarginSide + float64(at%g.Columns)*(w+g.GapAcross)
		y := g.MarginTop + float64(at/g.Columns)*(h+g.GapDown)
		if err := p.sticker(s, x, y, w, h, g.Frame); err != nil {
			return err
		}
	}
	if len(list) == 0 {
		doc.AddPage()
	}
	if err := doc.Output(out); err != nil {
		return fmt.Errorf("report: write PDF: %w", err)
	}
	return nil
}

// sticker draws one label: the code left, as large as its height or half its
// width allows, the words beside it.
func (p *paper) sticker(s Sticker, x, y, w, h float64, frame bool) error {
	const pad = 1.5
	side := min(h-2*pad, (w-2*pad)*0.5, 40)
	if err := p.qr(s.Code, x+pad, y+(h-side)/2, side); err != nil {
		return err
	}
	if frame {
		p.rect(x, y, w, h, draw.Style{Stroke: draw.InkRule, Width: 0.1})
	}
	left, room := x+pad+side+1, w-side-2*pad-1
	t := type_{size: math.Max(2.2, math.Min(4.4, h/8)), bold: true}
	at := y + pad + 0.6
	line := func(text string, t type_) {
		if at+t.height() > y+h-pad/2 {
			return
		}
		p.set(left, at+t.size, text, t, draw.Start)
		at += t.height()
	}
	for i, l := range wrap(s.Title, room, t) {
		if i < 3 {
			line(clip(l, room, t), t)
		}
	}
	t.bold, t.size = false, math.Max(1.9, t.size*0.78)
	for _, text := range s.Lines {
		for _, l := range wrap(text, room, t) {
			line(clip(l, room, t), t)
		}
	}
	return nil
}
