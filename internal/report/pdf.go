// SPDX-License-Identifier: Apache-2.0

package report

import (
	"io"
	"strings"

	"witnessmark/internal/draw"
	"witnessmark/internal/job"
)

// FilmCaution is said wherever figures of film or preload may be read.
const FilmCaution = "Figures of film and preload are calculations, not approvals."

// PDF writes the report as a PDF: a summary for the owner on the first page,
// then everything that it rests on, the photos and the seal. The text can be
// selected and searched, the fonts are embedded, the sections stand in the
// outline. It returns an error for an unknown paper or when w fails.
func (d Data) PDF(w io.Writer, o Options) error {
	title := "Job " + d.View.Number + ": report"
	p, err := newPaper(o, about{title: title, subject: d.View.Vehicle, author: d.Workshop, program: d.Program, printed: d.PrintedAt})
	if err != nil {
		return err
	}
	d.summaryPage(p)
	p.page()
	for _, section := range []func(*paper){
		d.clearancePart, d.measuredPart, d.adoptedPart, d.foundPart, d.workPart, d.tightenedPart, d.clampPart, d.lengthsPart, d.tracesPart, d.filmPart, d.settingsPart, d.runPart, d.accountPart, d.decisionsPart,
		d.afterPart, d.notesPart, d.photosPart, d.restsPart, d.sealPart,
	} {
		section(p)
	}
	return p.finish(w, d.running())
}

// SummaryPDF writes the owner's summary alone: one side of paper. It returns an
// error for an unknown paper or when w fails.
func (d Data) SummaryPDF(w io.Writer, o Options) error {
	title := "Job " + d.View.Number + ": summary for the owner"
	p, err := newPaper(o, about{title: title, subject: d.View.Vehicle, author: d.Workshop, program: d.Program, printed: d.PrintedAt})
	if err != nil {
		return err
	}
	d.alone = true
	d.summaryPage(p)
	return p.finish(w, d.running())
}

// running is what stands at the head and foot of every page.
func (d Data) running() running {
	r := running{head: strings.Join(filled("Job "+d.View.Number, d.View.Vehicle), " · "),
		foot: []string{job.Precedence, FilmCaution, "Printed " + d.Printed + " by Witnessmark " + d.Program + ". " + d.Workshop}}
	if d.View.Invented {
		r.notice = job.InventedNotice
	}
	return r
}

// strip draws the crankshaft over the width of the page.
func (d Data) strip(p *paper) {
	s := d.View.Strip
	units := stripUnits(s)
	h := s.Height(units) * p.width() / units
	p.need(h + 4)
	if !p.dry {
		s.Draw(draw.NewPDF(p.doc, p.left, p.y, p.width(), units, s.Height(units)))
	}
	p.y += h + 1.5
}

func (d Data) stripKey(p *paper) {
	p.para("◇ as found   ● ▲ ✕ as fitted   bar = 95 % of where the true value lies."+allowed(d.View), small)
}

func allowed(v job.View) string {
	if v.Limits == "" {
		return ""
	}
	return " Allowed: " + v.Limits + "."
}
