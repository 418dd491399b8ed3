// SPDX-License-Identifier: Apache-2.0

package report

import (
	"context"
	"time"

	"witnessmark/internal/draw"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// filmPatience is how long a report waits for its films: they take a fraction
// of a second, unless others compute.
const filmPatience = 20 * time.Second

// Sizes of the film's drawings, in their own units.
const (
	filmRound     = 330.0
	filmRoundHigh = 350.0
	filmWide      = 860.0
	filmHigh      = 230.0
)

// film takes the films of the job into the report. What is computed after them,
// likelihood and maps, stays on the job's page: a report must not depend on how
// far a computation has come.
func (d *Data) film(ctx context.Context, s *shop.Shop, l *shop.Loaded) {
	v := l.FilmView(s.Film(ctx, l, filmPatience).FilmsAlone(), 0, -1)
	if !v.Ready {
		return
	}
	d.Film = &v
	for i, x := range []struct {
		d    draw.Drawing
		w, h float64
	}{{v.Orbit, filmRound, filmRoundHigh}, {v.Load, filmRound, filmRoundHigh}, {v.Cycle, filmWide, filmHigh}} {
		c := draw.NewStandaloneSVG(x.w, x.h, x.d.Alt(), draw.Light)
		x.d.Draw(c)
		d.FilmDrawings[i] = c.String()
	}
}

// filmPart is the oil film on paper.
func (d Data) filmPart(p *paper) {
	v := d.Film
	if v == nil {
		return
	}
	p.heading("Oil film", 60)
	p.para(v.Title, soft)
	for _, text := range append(filled(v.Lead, v.Second, v.Verdict), v.Limits...) {
		p.para(text, body)
	}
	d.filmDrawings(p)
	t := table{columns: []column{{title: "Position", width: 20}, {title: "Film as found", weight: 1}, {title: "Film as fitted", weight: 1}, {title: "Clearance as fitted", width: 34}}}
	for _, r := range v.Rows {
		t.rows = append(t.rows, row{cells: []cell{strongly(r.Name), plain(filmText(r.Found)), plain(filmText(r.Fitted)), verdict(r.Verdict.Word, r.Verdict.State)}})
	}
	p.table(t)
	p.para(v.Beside, small)
	p.y += 2
	t = table{columns: []column{{title: "Oil that the sheet allows", weight: 1}, {title: v.OilNames[0], width: 24}, {title: v.OilNames[1], width: 20}, {title: "Friction, all", width: 20},
		{title: "Film warming up", width: 34}, {title: "First start", width: 30}}}
	for _, o := range v.Oils {
		t.rows = append(t.rows, row{cells: []cell{strongly(o.Name), plain(o.Own + " (" + o.OwnBand + ")"), plain(o.Others), plain(o.Friction), plain(o.WarmUp), softly(o.Wait)}})
	}
	p.table(t)
	for _, text := range append([]string{v.OilSay, v.Caution}, v.Assumed...) {
		p.para(text, small)
	}
}

func (d Data) filmDrawings(p *paper) {
	gap := 6.0
	w := (p.width() - gap) / 2
	h := w * filmRoundHigh / filmRound * 0.75
	p.need(h + 6)
	if !p.dry {
		d.Film.Orbit.Draw(draw.NewPDF(p.doc, p.left, p.y, w*0.75, filmRound, filmRoundHigh))
		d.Film.Load.Draw(draw.NewPDF(p.doc, p.left+w+gap, p.y, w*0.75, filmRound, filmRoundHigh))
	}
	p.y += h + 3
	h = p.width() * filmHigh / filmWide
	p.need(h + 4)
	if !p.dry {
		d.Film.Cycle.Draw(draw.NewPDF(p.doc, p.left, p.y, p.width(), filmWide, filmHigh))
	}
	p.y += h + 3
}

func filmText(c *job.FilmCell) string {
	if c == nil {
		return "not measured"
	}
	return c.Ratio + ", " + c.Band + " at " + c.Clearance
}
