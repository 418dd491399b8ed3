// SPDX-License-Identifier: Apache-2.0

package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"witnessmark/engine"
	"witnessmark/internal/draw"
	"witnessmark/internal/job"
	"witnessmark/units"
)

// BlankOptions is how blank workshop sheets are wanted.
type BlankOptions struct {
	Options
	Job      string // number; with it the sheets carry its code
	Workshop string // name
	Gauge    Gauge  // the workshop's strip gauge; without bars the boxes are empty
	Program  string // version
	Units    units.Preferences
}

// WorkshopSheets writes blank sheets of an engine as a PDF, for a day without
// tablets: for each position the strip as found and as fitted, wear, journal,
// shells and bolt stages; then the other fasteners, settings, and the run. What
// is written on them is entered later. It returns an error for an unknown
// paper or when w fails.
func WorkshopSheets(w io.Writer, sheet *engine.Sheet, o BlankOptions) error {
	title := "Workshop sheets, " + sheet.Family
	p, err := newPaper(o.Options, about{title: title, subject: sheet.Title, author: o.Workshop, program: o.Program})
	if err != nil {
		return err
	}
	b := &blank{p, sheet, o}
	b.front()
	b.positions()
	b.others()
	b.run()
	r := running{head: title,
		foot: []string{job.Precedence, FilmCaution + " " + o.Workshop, "Sheet " + sheet.Hash}}
	if o.Job != "" {
		r.head = "Job " + o.Job + " · " + r.head
	}
	if sheet.Invented {
		r.notice = job.InventedNotice
	}
	return p.finish(w, r)
}

// Gauge is a strip gauge as its sleeve is printed.
type Gauge struct {
	ID   string
	Bars []string // digits, from narrow to wide clearance
	Unit string
}

// GaugeOf is the workshop's first strip gauge in use, in the order of their
// ids; one without bars if there is none.
func GaugeOf(tools job.Register) Gauge {
	var ids []string
	for id, t := range tools {
		if len(t.Graduations) > 0 && t.Retired == nil {
			ids = append(ids, id)
		}
	}
	if len(ids) == 0 {
		return Gauge{}
	}
	g := Gauge{ID: slices.Min(ids)}
	for _, r := range tools[g.ID].Graduations {
		g.Bars, g.Unit = append(g.Bars, r.Digits), r.Unit.Symbol
	}
	return g
}

// blank is the sheets while they are drawn.
type blank struct {
	*paper
	sheet *engine.Sheet
	o     BlankOptions
}

// Room for handwriting, in mm.
const (
	writeLine = 6.9
	tickSide  = 3.5
)

var (
	label    = type_{size: sizeSmall, ink: draw.InkSoft}
	tickType = type_{size: 2.75}
)

// front is what stands above everything: the job, arrival, debris, cautions.
func (b *blank) front() {
	b.bookmark("The job", 0)
	t := type_{size: 6.2, bold: true}
	side := 0.0
	if b.o.Job != "" {
		side = 27
		if err := b.qr(b.o.Job, b.right-side+3, b.y-3, side); err != nil {
			b.doc.SetError(err)
		}
	}
	b.set(b.left, b.y+t.size, clip("Workshop sheets", b.width()-side, t), t, draw.Start)
	b.y += 8.6
	b.column(b.left, b.width()-side-2, strings.Join(filled(b.sheet.Title, edition(b.sheet.Edition)), ", "), type_{size: sizeLead})
	b.column(b.left, b.width()-side-2, "For a day without tablets. Write readings down as they are read, with who and when; enter them later and keep the paper with the job.", label)
	b.y = max(b.y, b.top+side-1)
	b.fields(b.left, b.width(), field{"Job", 2}, field{"Vehicle", 4}, field{"Date", 2})
	b.subheading("Arrival", 20)
	b.fields(b.left, b.width(), field{"Odometer", 2}, field{"Oil pressure, hot at idle", 3}, field{"Noises", 3})
	b.fields(b.left, b.width(), field{"Leaks", 3}, field{"Faults stored", 3}, field{"By, time", 2})
	b.cautions("strip")
	b.subheading("Debris", 20)
	for _, place := range []string{"filter", "sump"} {
		b.ticks(b.left, b.width(), "In the "+place, "none", "grey overlay", "copper", "aluminium", "steel", "other")
		b.fields(b.left, b.width(), field{"How much, what", 5}, field{"By, time", 2})
	}
	b.ticks(b.left, b.width(), "If metal was found", "cooler dealt with", "lines", "housing", "pick-up")
	b.subheading("Order in which the throws come round", 12)
	b.para(b.access(), type_{size: sizeLead})
	b.para("Strip: circle one bar, or two neighbours for between. Tick void when the crank was turned, and read again.", body)
	b.cautions("measure")
	b.subheading("Taken off, in order, and refitted", 30)
	for range 12 {
		if b.room() < writeLine {
			break
		}
		b.fields(b.left, b.width(), field{"Off", 4}, field{"by, time", 2}, field{"refitted, by, time", 3})
	}
}

func (b *blank) access() string {
	var out []string
	for _, n := range b.sheet.AccessOrder() {
		out = append(out, b.name(n))
	}
	return strings.Join(out, " → ")
}

func (b *blank) name(n int) string {
	p, _ := b.sheet.Position(n)
	if p.Cylinder == "" {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%d (%s)", n, p.Cylinder)
}

// cautions are those of one step.
func (b *blank) cautions(at string) {
	b.gap(1)
	for _, c := range b.sheet.Cautions {
		if c.At == at {
			Data{}.caution(b.paper, c.Text)
		}
	}
}

// field is room to write on, with its name before it.
type field struct {
	name   string
	weight float64
}

// fields draws rooms to write on side by side.
func (b *blank) fields(x, w float64, fs ...field) {
	b.need(writeLine)
	total := 0.0
	for _, f := range fs {
		total += f.weight
	}
	for _, f := range fs {
		fw := (w - 3*float64(len(fs)-1)) * f.weight / total
		base := b.y + writeLine - 1.6
		name := clip(f.name, fw*0.75, label)
		b.set(x, base, name, label, draw.Start)
		from := x + wide(name, label) + 1.2
		b.line(from, base+0.5, x+fw, base+0.5, draw.Style{Stroke: draw.InkMark, Width: 0.25})
		x += fw + 3
	}
	b.y += writeLine
}

// ticks draws boxes to tick, in as many lines as they take.
func (b *blank) ticks(x, w float64, name string, items ...string) {
	const row = 5.0
	b.need(row)
	at := x
	if name != "" {
		b.set(x, b.y+row-1.4, name, label, draw.Start)
		at = x + max(21, wide(name, label)+2.5)
	}
	start := at
	for _, it := range items {
		text := clip(it, x+w-start-tickSide-2, tickType)
		need := tickSide + 1.1 + wide(text, tickType)
		if at > start && at+need > x+w {
			b.y += row
			b.need(row)
			at = start
		}
		b.rect(at, b.y+row-1.4-tickSide+0.6, tickSide, tickSide, draw.Style{Stroke: draw.InkText, Width: 0.3})
		b.set(at+tickSide+1.1, b.y+row-1.4, text, tickType, draw.Start)
		at += need + 2.6
	}
	b.y += row
}
