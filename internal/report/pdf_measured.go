// SPDX-License-Identifier: Apache-2.0

package report

import (
	"strings"

	"witnessmark/internal/job"
)

// measuredPart is what the parts measure, where any was measured: sizes at
// 20 °C, their form, and the clearance that they make beside the strip.
func (d Data) measuredPart(p *paper) {
	t := table{columns: []column{{title: "Part", width: 30}, {title: "Size at 20 °C", width: 23}, {title: "Good to", width: 20},
		{title: "New part", width: 35}, {title: "Size", weight: 1}}}
	for _, pos := range d.View.Positions {
		if len(pos.Measured) == 0 && pos.FromParts == nil {
			continue
		}
		t.rows = append(t.rows, row{band: "Position " + pos.Name, note: strings.Join(explained(pos), " ")})
		for _, m := range pos.Measured {
			t.rows = append(t.rows, row{cells: []cell{strongly(m.Title), plain(m.Size), plain(m.Spread), plain(strings.TrimPrefix(m.Limit, "new: ")),
				verdict(m.Verdict.Word, m.Verdict.State)}})
			if form := formWords(m); form != "" {
				t.rows[len(t.rows)-1].open = true
				t.rows = append(t.rows, row{note: form})
			}
		}
	}
	if len(t.rows) == 0 {
		return
	}
	p.heading("What the parts measure", 40)
	p.table(t)
	p.para(measuredRule, small)
	for _, c := range d.View.Crush {
		p.para(c, small)
	}
}

// adoptedPart is the choice of shells that stands, beside what is in.
func (d Data) adoptedPart(p *paper) {
	if d.Adopted == nil {
		return
	}
	p.heading("Shells that were chosen", 30)
	p.para(d.Adopted.Words, body)
	t := table{columns: []column{{title: "Position", width: 22}, {title: "Upper", weight: 1}, {title: "Lower", weight: 1}, {title: "Clearance by the sizes", width: 36},
		{title: "From target", width: 22}, {title: "Fitted", weight: 1}}}
	for _, r := range d.Adopted.Rows {
		t.rows = append(t.rows, row{cells: []cell{strongly(r.Name), plain(r.Upper), plain(r.Lower), plain(r.Clearance), plain(r.Departure), verdict(r.In.Word, r.In.State)}})
	}
	p.table(t)
}

// measuredRule says how the figures came about.
const measuredRule = "Sizes are at 20 °C (ISO 1), with the interval that holds 95 %. Spreads are budgets by JCGM 100, held against trials by JCGM 101. The ovality of a few readings is biased upwards: what a perfectly round part would show stands beside it."

// formWords are ovality, taper and what lies farthest off.
func formWords(m job.MeasuredView) string {
	var out []string
	for _, f := range m.Facts {
		switch f.What {
		case "Ovality", "Taper", "Greatest less least", "Farthest off", "Questioned":
			out = append(out, strings.ToLower(f.What[:1])+f.What[1:]+" "+f.Value+" ("+f.Note+")")
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "Form: " + strings.Join(out, "; ") + "."
}

// explained is what the parts of a position say of its clearance.
func explained(pos job.PositionView) []string {
	var out []string
	if f := pos.FromParts; f != nil {
		out = append(append(out, "From the parts: "+f.Value+" "+f.Spread+", "+f.Way+"."), f.Beside...)
	}
	if e := pos.Excess; e != nil {
		out = append(out, "The strip reads "+e.Title+".")
		if e.Confirmed != "" {
			out = append(out, e.Confirmed)
		}
	}
	if r := pos.Running; r != nil && len(pos.Measured) > 0 {
		out = append(out, "Hot: "+r.Value+". "+r.Words[0])
	}
	return out
}

func anyMeasured(d Data) bool {
	for _, p := range d.View.Positions {
		if len(p.Measured) > 0 {
			return true
		}
	}
	return false
}
