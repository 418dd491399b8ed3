// SPDX-License-Identifier: Apache-2.0

package report

import (
	"fmt"
	"strings"

	"witnessmark/internal/draw"
	"witnessmark/internal/job"
)

// decisionRule says what a verdict means.
const decisionRule = "A position fits when the probability that its clearance lies within the limits is at least the confidence of the limit; it is too wide or too tight when the probability of lying beyond is; otherwise it is not proven (JCGM 106:2012)."

func (d Data) clearancePart(p *paper) {
	p.heading(d.View.Strip.Title, 70)
	d.strip(p)
	d.stripKey(p)
	p.gap(2)
	t := table{columns: []column{{title: "Position", width: 17}, {title: "As found", width: 20}, {title: "As fitted", width: 20},
		{title: "Good to", width: 19}, {title: "Allowed", width: 33}, {title: "Verdict", width: 25}, {title: "Risk", weight: 1}}}
	for _, pos := range d.View.Positions {
		t.rows = append(t.rows, row{cells: []cell{strongly(pos.Name), plain(withUnit(pos.Found)), plain(withUnit(pos.Fitted)), plain(spread(pos.Fitted)),
			plain(limit(pos.Fitted)), verdict(pos.Verdict.Word, pos.Verdict.State), softly(chance(pos.Fitted))}})
	}
	p.table(t)
	d.sides(p)
	for _, n := range append(valueNotes(d.View), decisionRule) {
		p.para(n, small)
	}
}

// sides are the end float and the side clearances, where they were read, and the
// thrust washers that were chosen.
func (d Data) sides(p *paper) {
	t := table{columns: []column{{title: "Also measured", weight: 1}, {title: "Read", width: 24}, {title: "Good to", width: 22}, {title: "Allowed", width: 36}, {title: "Verdict", width: 25}}}
	add := func(what string, v *job.ValueView) {
		if v != nil {
			t.rows = append(t.rows, row{cells: []cell{strongly(what), plain(v.WithUnit), plain(v.Spread), plain(v.Limit), verdict(v.Verdict.Word, v.Verdict.State)}})
		}
	}
	for _, m := range alsoMeasured(d.View) {
		add(m.What, m.Value)
	}
	p.table(t)
	if w := thrustWords(d.View); w != "" {
		p.para(w, small)
	}
}

// group is a part of a table of entries: the lines of some kinds, or what is
// said when there are none.
type group struct {
	title string
	none  string
	kinds []string
}

// entries writes lines of the record, in groups.
func (d Data) entries(p *paper, groups ...group) {
	t := table{columns: []column{{title: "Entry", width: 11}, {title: "What is on record", weight: 1}, {title: "By", width: 26}, {title: "Received", width: 26}}}
	if len(groups) == 1 && len(job.LinesOf(d.Lines, groups[0].kinds...)) == 0 {
		p.para(groups[0].none, soft)
		return
	}
	for _, g := range groups {
		ls := job.LinesOf(d.Lines, g.kinds...)
		if len(ls) == 0 && g.none == "" {
			continue
		}
		if g.title != "" || len(ls) == 0 {
			b := row{band: g.title}
			if len(ls) == 0 {
				b.note = g.none
			}
			t.rows = append(t.rows, b)
		}
		for _, l := range ls {
			t.rows = append(t.rows, entryRow(l))
		}
	}
	p.table(t)
}

func entryRow(l job.Line) row {
	c := plain(l.Now)
	for _, w := range besides(l) {
		c = append(c, run{text: w, t: small})
	}
	return row{cells: []cell{softly(fmt.Sprint(l.Seq)), c, softly(l.Person), softly(l.Received)}}
}

func (d Data) foundPart(p *paper) {
	p.heading("What was found", 30)
	mains := soft
	if strings.Contains(d.View.Mains, "not") {
		mains = strong
	}
	p.para(d.View.Mains, mains)
	p.gap(1.5)
	d.entries(p,
		group{"The job", "", []string{"job_opened", "sheet_adopted"}},
		group{"On arrival", "The condition on arrival is not on record.", []string{"arrival"}},
		group{"Old shells", "No wear is on record.", []string{"wear_seen"}},
		group{"Journals", "No journal is on record.", []string{"journal_seen"}},
		group{"Main bearings", "", []string{"mains_seen"}},
		group{"Debris", "Nobody looked for debris.", []string{"debris_found", "debris_dealt"}},
		group{"Readings", "No reading is on record.", []string{"reading", "part_measured", "roughness_read", "excess_asked"}})
}

func (d Data) workPart(p *paper) {
	p.heading("What was done and fitted", 30)
	d.entries(p,
		group{"Taken off and refitted", "", []string{"operation_done"}},
		group{"Shells", "No shells are on record.", []string{"shell_fitted"}},
		group{"Thrust washers", "", []string{"thrust_washers"}},
		group{"On its wheels, and lifted", "", []string{"wheels_loaded"}},
		group{"Other parts", "No other part is on record.", []string{"part_fitted"}},
		group{"Bags, and refit proved", "", []string{"bagged", "refit_proved"}},
		group{"Stored faults", "", []string{"faults_read"}},
		group{"Found worn or sound", "", []string{"work_found"}},
		group{"Parts ordered, come and sent back", "", partKinds},
		group{"Special tools", "", toolKinds},
		group{"Old parts", "It is not on record what became of the old parts.", []string{"old_parts"}})
}

// What a report gathers of what was agreed, of parts and of special tools.
var (
	agreeKinds = []string{"estimate_offered", "scope_agreed", "authority_given", "offer_refused", "stop_point", "change_found", "change_answered", "horizon_set"}
	partKinds  = []string{"part_ordered", "part_promised", "part_back_ordered", "part_arrived", "part_checked", "part_returned"}
	toolKinds  = []string{"tool_reserved", "tool_borrowed", "tool_returned"}
)

func (d Data) settingsPart(p *paper) {
	if len(d.View.Settings) == 0 {
		return
	}
	p.heading("Settings", 25)
	t := table{columns: []column{{title: "Setting", weight: 1.3}, {title: "Read", width: 22}, {title: "Allowed", width: 36}, {title: "Source", weight: 1}, {title: "Verdict", width: 27}}}
	for _, s := range d.View.Settings {
		title := strongly(s.Title)
		if s.Backlash != nil {
			title = append(title, softly(s.Backlash.Line)...)
		}
		t.rows = append(t.rows, row{cells: []cell{title, plain(s.Read), plain(s.Limit), softly(s.Source), verdict(s.Verdict.Word, s.Verdict.State)}})
	}
	p.table(t)
}

func (d Data) runPart(p *paper) {
	p.heading("Running", 25)
	d.entries(p, group{"", "The engine has not been run on record.", []string{"last_look", "run_step"}})
}

func (d Data) decisionsPart(p *paper) {
	p.heading("Decisions and what stands in the way", 30)
	t := table{columns: []column{{title: "What", weight: 1}, {title: "What clears it, or who let it stand", weight: 1}}}
	for _, c := range d.View.Checks {
		head := row{band: c.Title, state: draw.Out}
		if c.Ready {
			head.state = draw.Fits
		}
		if len(c.Standing)+len(c.Conceded) == 0 {
			head.note = "Nothing stands in the way."
		}
		t.rows = append(t.rows, head)
		for _, o := range c.Standing {
			t.rows = append(t.rows, row{cells: []cell{plain(o.What), softly(o.How)}})
		}
		for _, o := range c.Conceded {
			t.rows = append(t.rows, row{cells: []cell{plain(o.What), append(plain(o.Conceded), softly(restsOn(o.RestsOn))...)}})
		}
	}
	p.table(t)
	d.entries(p,
		group{"Agreed with the owner", "", agreeKinds},
		group{"Decisions", "No decision is on record.", []string{"decision"}},
		group{"Concessions", "Nothing was conceded.", []string{"concession"}},
		group{"Corrections", "Nothing was corrected.", []string{"correction"}})
	if len(job.LinesOf(d.Lines, "erased")) > 0 {
		d.entries(p, group{title: "Erased", kinds: []string{"erased"}})
	}
}

func (d Data) afterPart(p *paper) {
	p.heading("Running in and follow-up", 25)
	p.bullets(d.Advice, body)
	if len(d.Advice) == 0 {
		p.para("The engine sheet gives no advice for running in.", soft)
	}
	p.gap(1.5)
	d.entries(p, group{"Handover", "The job is not handed over.", []string{"handover"}}, group{"Follow-up", "No follow-up yet.", []string{"follow_up"}})
	if d.HandoverRemark != "" {
		p.para("Said at the handover: "+d.HandoverRemark, body)
	}
	p.subheading("Cautions", 14)
	for _, c := range append([]string{job.Precedence, FilmCaution}, d.Cautions...) {
		d.caution(p, c)
	}
}

// caution writes a caution with a bar at its side.
func (d Data) caution(p *paper, words string) {
	lines := wrap(words, p.width()-5, body)
	h := float64(len(lines)) * body.height()
	p.need(min(h, p.bottom-p.top))
	if h < p.room() {
		p.rect(p.left, p.y, 1.2, h, draw.Style{Fill: draw.InkOut})
	}
	p.column(p.left+4, p.width()-5, words, body)
	p.gap(1.4)
}

func (d Data) notesPart(p *paper) {
	if len(job.LinesOf(d.Lines, "note", "note_resolved")) == 0 {
		return
	}
	p.heading("Notes", 25)
	d.entries(p, group{kinds: []string{"note", "note_resolved"}})
}

func (d Data) restsPart(p *paper) {
	p.heading("What this rests on", 30)
	if d.Sheet.Family == "" {
		p.para("The job has no engine sheet yet.", soft)
	} else {
		p.para(strings.Join(filled("Engine sheet "+d.Sheet.Family, d.Sheet.Title, edition(d.Sheet.Edition)), ", ")+".", body)
		p.para(d.Sheet.Hash, small)
		p.gap(1.5)
	}
	t := table{columns: []column{{title: "Limit", width: 40}, {title: "Value", weight: 1}, {title: "Source", weight: 1.6}, {title: "Checked", width: 30}}}
	for _, l := range d.Sheet.Limits {
		t.rows = append(t.rows, row{cells: []cell{strongly(l.Name), plain(l.Limit), softly(l.Source), softly(l.Checked)}})
	}
	p.table(t)
	d.instrumentsPart(p)
	if len(d.Differences) > 0 {
		p.subheading("Different from what the handover rested on", 12)
		p.bullets(d.Differences, body)
	}
}

func edition(e string) string {
	if e == "" {
		return ""
	}
	return "edition " + e
}

func (d Data) instrumentsPart(p *paper) {
	if len(d.Instruments) == 0 {
		return
	}
	p.subheading("Tools and gauges used", 20)
	t := table{columns: []column{{title: "Tool", width: 14}, {title: "What it is", weight: 1}, {title: "Used", width: 37}, {title: "Calibration on the day of its last use", width: 57}}}
	for _, in := range d.Instruments {
		state := verdict(in.Standing.Word, in.Standing.State)
		if in.Certificate != "" {
			state = append(state, run{text: "certificate " + in.Certificate, t: small})
		}
		t.rows = append(t.rows, row{cells: []cell{strongly(in.ID), append(plain(in.Title), softly(strings.Join(filled(in.Details, in.Study), "; "))...),
			softly(counted(in.Uses, "time", "times") + ", last " + in.Last), state}})
	}
	p.table(t)
}
