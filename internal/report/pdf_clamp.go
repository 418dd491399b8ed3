// SPDX-License-Identifier: Apache-2.0

package report

import (
	"context"
	"fmt"

	"witnessmark/internal/draw"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// clampPart prints the clamp load of each fastener that the sheet knows enough
// of: by torque alone and as the sheet asks, side by side; by place; and the
// joint at speed.
func (d Data) clampPart(p *paper) {
	for _, c := range d.View.Clamps {
		if c.Missing != "" {
			continue
		}
		p.heading("Clamp load: "+c.Title, 60)
		d.caution(p, job.ClampCaution)
		d.ranges(p, c.Bands)
		t := table{columns: []column{{title: "The same bolt", weight: 1.4}, {title: "Clamp load", width: 30}, {title: "Likely", width: 18}, {title: "Greatest over least", width: 20}, {title: "Of its yield", weight: 1}}}
		for _, s := range c.Sides {
			t.rows = append(t.rows, row{cells: []cell{strongly(s.How), plain(s.Load), plain(s.Likely), strongly(s.Ratio), softly(s.Use)}})
		}
		p.table(t)
		for _, w := range c.Why {
			p.para(w, small)
		}
		p.gap(1.5)
		d.clampPlaces(p, c)
		p.bullets(append(append([]string{}, c.Assumed...), c.Notes...), small)
		if c.Joint != nil {
			d.jointPart(p, *c.Joint)
		}
	}
}

// lengthsPart prints the lengths of bolts and what they say.
func (d Data) lengthsPart(p *paper) {
	if len(d.View.Stretches) == 0 {
		return
	}
	p.heading("Stretch: lengths of bolts", 30)
	t := table{columns: []column{{title: "Bolt", weight: 1.2}, {title: "Free, under load, free again", width: 25}, {title: "Stretch", width: 15}, {title: "Clamp load from it", width: 30}, {title: "Stays longer by", width: 17}, {title: "Uses", width: 20}, {title: "The bolt", weight: 1}}}
	for _, s := range d.View.Stretches {
		t.rows = append(t.rows, row{cells: []cell{append(strongly(s.Place), softly("bolts "+s.Set)...), append(append(plain(s.Before), plain(s.Tight)...), plain(s.After)...), plain(s.Stretch), plain(s.Preload),
			plain(s.Growth), plain(s.Uses), append(verdict(s.State.Word, s.State.State), softly(s.Why)...)}})
	}
	p.table(t)
}

func (d Data) clampPlaces(p *paper, c job.ClampView) {
	t := table{columns: []column{{title: "Place", width: 46}, {title: "Clamp load", width: 30}, {title: "Likely", width: 18}, {title: "Greatest over least", width: 20}, {title: "Stages and tools", weight: 1}}}
	for _, at := range c.Places {
		load := plain(at.Load)
		if at.Problem != "" {
			load = softly(at.Problem)
		}
		t.rows = append(t.rows, row{cells: []cell{append(strongly(capital(at.Place)), softly(at.Word)...), load, plain(at.Likely), plain(at.Ratio), append(plain(at.Stages), softly(at.Tools)...)}})
	}
	p.table(t)
}

// ranges draws bars over the width of the page.
func (d Data) ranges(p *paper, r draw.Ranges) {
	const units = 760
	h := r.Height() * p.width() / units
	p.need(h + 4)
	if !p.dry {
		r.Draw(draw.NewPDF(p.doc, p.left, p.y, p.width(), units, r.Height()))
	}
	p.y += h + 1.5
}

func (d Data) jointPart(p *paper, j job.JointView) {
	p.subheading("The joint at speed", 30)
	if j.Missing != "" {
		p.para(j.Missing, soft)
		return
	}
	p.para(j.Rests+" "+j.Crush, body)
	p.gap(1)
	t := table{columns: []column{{title: "At", width: 24}, {title: "Pull on the cap", weight: 1}, {title: "Each bolt gets", weight: 1.3}, {title: "Left on the line", weight: 1}, {title: "Against separation", weight: 1},
		{title: "Against fatigue", weight: 1}, {title: "Of yield", weight: 0.8}, {title: "The line", width: 27}}}
	for _, s := range j.Speeds {
		t.rows = append(t.rows, row{cells: []cell{append(strongly(s.Speed), softly(s.Name)...), plain(s.Parting), plain(s.Share), plain(s.Left), plain(s.Separation), plain(s.Fatigue), plain(s.Yield), verdict(s.Closed.Word, s.Closed.State)}})
	}
	p.table(t)
	p.bullets(j.Assumed, small)
}

// traces draws the files of traces that are still kept.
func (d *Data) traces(ctx context.Context, s *shop.Shop, l *shop.Loaded) error {
	d.Charts, d.TraceCharts = map[int64]string{}, map[int64]draw.Chart{}
	for _, set := range d.View.Traces {
		chart, ok, err := s.TraceChart(ctx, l, set)
		if err != nil {
			return fmt.Errorf("report: %w", err)
		}
		if !ok {
			continue
		}
		svg := draw.NewStandaloneSVG(traceWide, traceHigh, chart.Alt(), draw.Light)
		chart.Draw(svg)
		d.Charts[set.Seq], d.TraceCharts[set.Seq] = svg.String(), chart
	}
	return nil
}

// Size of a chart of traces, in canvas units.
const traceWide, traceHigh = 760, 340

// tracesPart prints the traces of the wrench over each other, the odd ones
// named with their reasons.
func (d Data) tracesPart(p *paper) {
	for _, set := range d.View.Traces {
		p.heading("Traces of the wrench: "+set.Title, 60)
		p.para(set.Words, small)
		if c, ok := d.TraceCharts[set.Seq]; ok {
			h := traceHigh * p.width() / traceWide
			p.need(h + 4)
			if !p.dry {
				c.Draw(draw.NewPDF(p.doc, p.left, p.y, p.width(), traceWide, traceHigh))
			}
			p.y += h + 1.5
		}
		t := table{columns: []column{{title: "Bolt", width: 42}, {title: "Snug at", width: 16}, {title: "Rate", width: 22}, {title: "Yields at", width: 15}, {title: "Final", width: 17}, {title: "From snug", width: 16}, {title: "In the set", weight: 1}}}
		for _, l := range set.Lines {
			t.rows = append(t.rows, row{cells: []cell{strongly(l.Place), plain(l.Snug), plain(l.Rate), plain(l.Yield), plain(l.Final), plain(l.Turned),
				append(append(verdict(l.State.Word, l.State.State), softly(l.Why)...), softly(l.Looked)...)}})
		}
		p.table(t)
	}
}
