// SPDX-License-Identifier: Apache-2.0

package report

import (
	"context"
	"io"
	"strings"
	"time"

	"witnessmark/internal/draw"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/scope"
)

// EstimateData is what the printed estimate of a job says.
type EstimateData struct {
	Workshop, Number, Vehicle, Program, Printed string
	PrintedAt                                   time.Time
	Owner                                       string
	Arrival                                     string // condition on arrival, in a sentence
	Invented                                    bool
	View                                        job.EstimateView
	Beforehand                                  []string // what was agreed for what may turn up
}

// PDF writes the estimate: what is agreed, what it takes, what else is worth
// doing, and a place for the owner's name. It returns an error for an unknown
// paper or when w fails.
func (d EstimateData) PDF(w io.Writer, o Options) error {
	p, err := newPaper(o, about{title: "Job " + d.Number + ": estimate", subject: d.Vehicle, author: d.Workshop, program: d.Program, printed: d.PrintedAt})
	if err != nil {
		return err
	}
	p.bookmark("Estimate", 0)
	d.top(p)
	d.lines(p)
	d.offers(p)
	if len(d.Beforehand) > 0 {
		p.heading("Agreed beforehand", 12)
		p.bullets(d.Beforehand, body)
	}
	d.sign(p)
	r := running{head: strings.Join(filled("Job "+d.Number, d.Vehicle), " · "),
		foot: []string{job.Precedence, "Hours and prices are the plan's and the workshop's. Prices are without tax unless they say so.", "Printed " + d.Printed + " by Witnessmark " + d.Program + ". " + d.Workshop}}
	if d.Invented {
		r.notice = job.InventedNotice
	}
	return p.finish(w, r)
}

func (d EstimateData) top(p *paper) {
	lead := type_{size: sizeLead, bold: true}
	p.set(p.left, p.y+5, clip(d.Workshop, p.width()*0.62, lead), lead, draw.Start)
	p.set(p.right, p.y+5, "Estimate", type_{size: sizeLead, ink: draw.InkSoft}, draw.End)
	p.y += 8
	t := type_{size: 8.4, bold: true}
	p.set(p.left, p.y+t.size, clip("Job "+d.Number, p.width(), t), t, draw.Start)
	p.y += 11.2
	for _, line := range filled(d.Vehicle, d.Owner) {
		p.para(line, type_{size: sizeLead, ink: draw.InkSoft})
	}
	p.y += 1.6
	p.line(p.left, p.y, p.right, p.y, draw.Style{Stroke: draw.InkText, Width: 0.6})
	p.y += 2.4
	for _, line := range filled(d.Arrival, d.View.Sentence) {
		p.para(line, body)
		p.gap(1)
	}
}

func (d EstimateData) lines(p *paper) {
	p.heading("The work", 20)
	t := table{columns: []column{{title: "Work", weight: 1}, {title: "Its own hours", width: 24}, {title: "With its share of the way in", width: 34}, {title: "As a job of its own", width: 28}}}
	for _, x := range d.View.Work {
		c := strongly(x.Title)
		if x.Because != "" {
			c = append(c, run{text: x.Because, t: small})
		}
		t.rows = append(t.rows, row{cells: []cell{c, plain(x.Own), plain(x.Share), plain(x.Alone)}})
	}
	p.table(t)
	p.heading("Taken off and put back, each once", 16)
	t = table{columns: []column{{title: "What", weight: 1}, {title: "Off and on", width: 24}}}
	for _, x := range d.View.Operations {
		t.rows = append(t.rows, row{cells: []cell{plain(x.Title), plain(x.Own)}})
	}
	p.table(t)
	p.heading("Parts", 16)
	t = table{columns: []column{{title: "Part", weight: 1}, {title: "Quantity", width: 18}, {title: "Each", width: 28}, {title: "Amount", width: 28}}}
	for _, x := range d.View.Parts {
		t.rows = append(t.rows, row{cells: []cell{plain(x.Title), plain(x.Quantity), plain(x.Price), plain(x.Amount)}})
	}
	p.table(t)
	p.heading("Price", 24)
	t = table{columns: []column{{title: "", weight: 1}, {title: "Amount", width: 40}}}
	for i, x := range d.View.Money {
		c := plain(x.Amount)
		if i == len(d.View.Money)-1 {
			c = strongly(x.Amount)
		}
		t.rows = append(t.rows, row{cells: []cell{plain(x.Title), c}})
	}
	p.table(t)
	if d.View.ToCome != "" {
		p.para(d.View.ToCome, strong)
	}
}

func (d EstimateData) offers(p *paper) {
	if len(d.View.Offers) == 0 {
		return
	}
	p.heading("Worth doing while it is open, if you want it", 20)
	t := table{columns: []column{{title: "Offer", weight: 1}, {title: "Adds", width: 18}, {title: "Costs now", width: 30}, {title: "As a job of its own", width: 30}}}
	for _, x := range d.View.Offers {
		c := strongly(x.Title)
		for _, more := range filled(x.Why, x.Brings, x.Later) {
			c = append(c, run{text: more, t: small})
		}
		t.rows = append(t.rows, row{cells: []cell{c, plain(x.Added), plain(x.Now), plain(x.Alone)}})
	}
	p.table(t)
	p.para("Each offer is reckoned by itself on top of the work above, without tax.", soft)
}

// sign leaves room for ink.
func (d EstimateData) sign(p *paper) {
	p.need(34)
	p.gap(6)
	p.para("I agree to the work above, up to this amount with tax:", body)
	p.gap(11)
	for i, what := range []string{"Amount", "Name", "Date and signature"} {
		x := p.left + float64(i)*p.width()/3
		p.line(x, p.y, x+p.width()/3-6, p.y, draw.Style{Stroke: draw.InkText, Width: 0.3})
		p.set(x, p.y+4, what, soft, draw.Start)
	}
	p.y += 8
}

// EstimateOf collects the printed estimate from a plan and what it takes.
func EstimateOf(plan *scope.Plan, e scope.Estimate) EstimateData {
	return EstimateData{View: job.ShowEstimate(plan, e), Invented: plan.Invented}
}

// GatherEstimate collects the printed estimate of a job with agreed work.
func GatherEstimate(ctx context.Context, s *shop.Shop, l *shop.Loaded) (EstimateData, error) {
	e, err := job.Offered(l.State, l.Basis)
	if err != nil {
		return EstimateData{}, err
	}
	d := EstimateOf(l.Basis.Plan, e)
	view := l.View()
	d.Workshop, d.Number, d.Vehicle, d.Program = s.Config().Name, view.Number, view.Vehicle, s.Program()
	d.PrintedAt = s.Now()
	d.Printed, d.Invented = clock(d.PrintedAt, s.Zone()), view.Invented
	var whole Data
	if err := whole.details(ctx, s, l); err != nil {
		return EstimateData{}, err
	}
	d.Owner = whole.Owner.Name
	return d, nil
}
