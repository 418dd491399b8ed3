// SPDX-License-Identifier: Apache-2.0

package report

import (
	"fmt"

	"witnessmark/internal/draw"
	"witnessmark/internal/job"
)

// squeeze is how much of the summary is left out so that it fits one side; the
// following pages have it all.
type squeeze struct {
	standing int // obstacles per check
	advice   int
	lines    int // per sentence
	strip    bool
}

var squeezes = []squeeze{
	{100, 100, 100, true}, {14, 100, 12, true}, {12, 10, 12, true}, {10, 10, 10, true}, {8, 10, 8, true}, {6, 8, 6, true}, {4, 5, 4, true},
	{3, 4, 3, true}, {3, 3, 3, false}, {1, 2, 2, false}, {0, 0, 1, false},
}

// summaryPage is for the owner and fits one side.
func (d Data) summaryPage(p *paper) {
	p.bookmark("Summary", 0)
	for i, s := range squeezes {
		if i == len(squeezes)-1 || p.measure(func() { d.summaryWith(p, s) }) <= p.room() {
			d.summaryWith(p, s)
			return
		}
	}
}

func (d Data) summaryWith(p *paper, s squeeze) {
	d.title(p)
	d.facts(p, min(s.lines, 3))
	d.panel(p)
	for _, n := range d.View.Notices {
		if n != job.InventedNotice { // which stands at the head of every page
			p.boxed(n, draw.InkWait, body)
		}
	}
	lead := type_{size: sizeLead}
	for _, text := range append(d.Summary, filled(d.View.AllFit)...) {
		d.sentence(p, text, lead, s.lines)
	}
	p.y += 2
	if s.strip {
		p.set(p.left, p.y+sizeH3, d.View.Strip.Title, type_{size: sizeH3, bold: true}, draw.Start)
		p.y += sizeH3 * 1.6
		d.strip(p)
		d.stripKey(p)
		p.y += 1
	}
	d.standing(p, s)
	d.ahead(p, s)
	d.sealed(p)
}

func (d Data) title(p *paper) {
	p.set(p.left, p.y+5, clip(d.Workshop, p.width()*0.62, type_{size: sizeLead, bold: true}), type_{size: sizeLead, bold: true}, draw.Start)
	p.set(p.right, p.y+5, "Report for the owner", type_{size: sizeLead, ink: draw.InkSoft}, draw.End)
	p.y += 8
	t := type_{size: 8.4, bold: true}
	p.set(p.left, p.y+t.size, clip("Job "+d.View.Number, p.width(), t), t, draw.Start)
	p.y += 11.2
	lead := type_{size: sizeLead, ink: draw.InkSoft}
	for _, l := range clipped(d.Purpose, p.width(), lead, 2) {
		p.set(p.left, p.y+lead.size, l, lead, draw.Start)
		p.y += lead.height()
	}
	p.y += 1.6
	p.line(p.left, p.y, p.right, p.y, draw.Style{Stroke: draw.InkText, Width: 0.6})
	p.y += 2.4
}

// facts are what the job is about, in two columns.
func (d Data) facts(p *paper, most int) {
	sheet := ""
	if d.Sheet.Family != "" {
		sheet = d.Sheet.Family + ", " + d.Sheet.Title
	}
	all := [][2]string{{"Vehicle", d.View.Vehicle}, {"Plate", d.Vehicle.Plate}, {"VIN", d.Vehicle.Identity},
		{"On arrival", d.View.Odometer}, {"Owner", d.Owner.Name}, {"Engine sheet", sheet}, {"Opened", d.Opened}, {"Handed over", d.HandedOver}}
	var have [][2]string
	for _, f := range all {
		if f[1] != "" {
			have = append(have, f)
		}
	}
	const label = 27.0
	col := (p.width() - 6) / 2
	half := (len(have) + 1) / 2
	top, low := p.y, p.y
	for i, f := range have {
		x := p.left
		if i >= half {
			x += col + 6
		}
		if i == half {
			p.y = top
		}
		p.set(x, p.y+sizeBody*1.02, f[0], soft, draw.Start)
		for _, l := range clipped(f[1], col-label, body, most) {
			p.set(x+label, p.y+sizeBody*1.02, l, body, draw.Start)
			p.y += body.height()
		}
		p.y += 0.5
		low = max(low, p.y)
	}
	p.y = low + 2
}

// panel shows how far the job is: the three checks side by side.
func (d Data) panel(p *paper) {
	n := float64(len(d.View.Checks))
	if n == 0 {
		return
	}
	const gap = 3.0
	w, h := (p.width()-gap*(n-1))/n, 11.5
	for i, c := range d.View.Checks {
		x := p.left + float64(i)*(w+gap)
		state, words := stateOf(c), standingWords(c)
		p.rect(x, p.y, w, h, draw.Style{Stroke: stateInk(state), Width: 0.4})
		p.mark(x+4, p.y+4.2, state)
		t := type_{size: sizeLead, bold: true, ink: stateInk(state)}
		p.set(x+7.4, p.y+5.4, clip(c.Title, w-9, t), t, draw.Start)
		p.set(x+7.4, p.y+9.4, clip(words, w-9, small), small, draw.Start)
	}
	p.y += h + 3
}

// sentence writes one sentence of the summary as a point.
func (d Data) sentence(p *paper, text string, t type_, most int) {
	indent := t.size * 1.5
	for i, l := range clipped(text, p.width()-indent, t, most) {
		if i == 0 {
			p.set(p.left+0.6, p.y+t.size*1.02, "•", t.of(draw.InkSoft), draw.Start)
		}
		p.set(p.left+indent, p.y+t.size*1.02, l, t, draw.Start)
		p.y += t.height()
	}
	p.y += 0.7
}

// standing lists what is still in the way of each check.
func (d Data) standing(p *paper, s squeeze) {
	for _, c := range d.View.Checks {
		if c.Ready {
			continue
		}
		p.y += 1
		p.set(p.left, p.y+sizeBody*1.02, c.Title+", this still stands in the way:", strong.of(draw.InkOut), draw.Start)
		p.y += strong.height() + 0.4
		for i, o := range c.Standing {
			if i == s.standing {
				d.sentence(p, fmt.Sprintf("and %d more, "+d.under("Decisions and what stands in the way"), len(c.Standing)-i), body, 1)
				break
			}
			d.sentence(p, o.What, body, min(s.lines, 3))
		}
	}
}

// ahead is what the owner has to do.
func (d Data) ahead(p *paper, s squeeze) {
	if d.HandedOver == "" || s.advice == 0 {
		return
	}
	p.y += 1
	p.set(p.left, p.y+sizeBody*1.02, "Running in", strong, draw.Start)
	p.y += strong.height() + 0.4
	if d.HandoverRemark != "" {
		d.sentence(p, d.HandoverRemark, body, min(s.lines, 3))
	}
	for i, a := range d.Advice {
		if i == s.advice {
			d.sentence(p, "and more, "+d.under("Running in and follow-up"), body, 1)
			break
		}
		d.sentence(p, a, body, min(s.lines, 3))
	}
}

func (d Data) sealed(p *paper) {
	p.y += 1
	if len(d.Seals) == 0 {
		p.para("This record is not sealed yet: it can still be changed without anybody noticing.", strong.of(draw.InkOut))
		return
	}
	s, where := d.Seals[len(d.Seals)-1], "The last page"
	if d.alone {
		where = "The full report"
	}
	p.para(fmt.Sprintf("Sealed %s, entries 1 to %d. Fingerprint %s. %s says how anybody can verify it.", s.Time, s.Covers, s.Fingerprint, where), strong)
}

// under says where the rest stands.
func (d Data) under(heading string) string {
	if d.alone {
		return "in the full report under “" + heading + "”."
	}
	return "under “" + heading + "”."
}
