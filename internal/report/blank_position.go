// SPDX-License-Identifier: Apache-2.0

package report

import (
	"fmt"
	"strings"

	"witnessmark/engine"
	"witnessmark/internal/draw"
	"witnessmark/internal/job"
	"witnessmark/units"
)

// What can be ticked of a shell and a journal, by the words of their entries.
var (
	shellFeatures   = []string{"scored", "embedded", "wiped", "flaked", "corroded", "cavitated", "edge_loaded", "fretted", "spun"}
	journalFeatures = []string{"clean", "polished_line", "scored", "pick_up", "blued", "ridge", "cracked"}
	featureWords    = strings.NewReplacer("edge_loaded", "edge-worn", "pick_up", "pick-up", "_", " ")
)

func ticked(codes []string) []string {
	out := make([]string, len(codes))
	for i, c := range codes {
		out[i] = featureWords.Replace(c)
	}
	return out
}

// positions draws a box for every position, in the order along the crank.
func (b *blank) positions() {
	b.page()
	b.bookmark("Positions", 0)
	for _, p := range b.sheet.Positions() {
		if h := b.measure(func() { b.position(p) }) - positionGap; h < b.bottom-b.top {
			b.need(h)
		}
		b.bookmark("Position "+b.name(p.Number), 1)
		b.position(p)
	}
}

const positionGap = 4.0

func (b *blank) position(p engine.Position) {
	t := type_{size: 6.4, bold: true}
	number := fmt.Sprint(p.Number)
	b.set(b.left, b.y+t.size, number, t, draw.Start)
	x := b.left + wide(number, t) + 2.5
	b.set(x, b.y+t.size, "cylinder "+p.Cylinder, type_{size: sizeH2}, draw.Start)
	b.set(b.right, b.y+t.size, "Clearance allowed: "+b.limit(b.sheet.BigEnd.Clearance.New.Bounds()), body, draw.End)
	b.y += t.size + 1.8
	b.line(b.left, b.y, b.right, b.y, draw.Style{Stroke: draw.InkText, Width: 0.5})
	b.y += 1.6
	b.strips()
	b.wear()
	b.shells()
	b.bolts()
	b.y += positionGap
}

func (b *blank) limit(x engine.Bounds) string {
	if !x.Given() {
		return "the sheet does not say"
	}
	return x.In(b.o.Units)
}

// strips are the gauge's bars: once as found, twice as fitted.
func (b *blank) strips() {
	gap := 4.0
	w := (b.width() - 2*gap) / 3
	top, low := b.y, b.y
	for i, title := range []string{"As found", "As fitted", "Second strip, as fitted"} {
		x := b.left + float64(i)*(w+gap)
		b.y = top
		b.set(x, b.y+sizeBody*1.02, title, strong, draw.Start)
		void := "void"
		b.set(x+w, b.y+sizeBody*1.02, void, label, draw.End)
		b.rect(x+w-wide(void, label)-tickSide-1, b.y, tickSide, tickSide, draw.Style{Stroke: draw.InkText, Width: 0.3})
		b.y += body.height() + 0.4
		b.bars(x, w, strings.Join(filled("whole or front", b.o.Gauge.Unit), ", "))
		b.bars(x, w, "rear, if the ends differ")
		b.fields(x, w, field{strings.TrimSpace("Gauge " + b.o.Gauge.ID), 1}, field{"By, time", 1.4})
		low = max(low, b.y)
	}
	b.y = low + 0.2
}

// bars are the gauge's own, to circle: one, or two neighbours for between.
func (b *blank) bars(x, w float64, name string) {
	b.set(x, b.y+label.size, name, label, draw.Start)
	b.y += label.height() - 0.4
	n, high := len(b.o.Gauge.Bars), 6.0
	if n == 0 {
		n = 5
	}
	bw := w / float64(n)
	for i := range n {
		b.rect(x+float64(i)*bw, b.y, bw, high, draw.Style{Stroke: draw.InkText, Width: 0.25})
		if i < len(b.o.Gauge.Bars) {
			t := body
			if k := (bw - 0.8) / wide(b.o.Gauge.Bars[i], t); k < 1 {
				t.size *= k
			}
			b.set(x+(float64(i)+0.5)*bw, b.y+high/2+t.size*0.36, b.o.Gauge.Bars[i], t, draw.Middle)
		}
	}
	b.y += high + 0.7
}

func (b *blank) wear() {
	levels := make([]string, 0, 5)
	for i := range 5 {
		levels = append(levels, fmt.Sprint(i))
	}
	half := (b.width() - 4) / 2
	top, low := b.y, b.y
	for i, name := range []string{"Upper shell", "Lower shell"} {
		x := b.left + float64(i)*(half+4)
		b.y = top
		b.ticks(x, half, name+": wear", levels...)
		b.ticks(x, half, "", ticked(shellFeatures)...)
		low = max(low, b.y)
	}
	b.y = low
	b.ticks(b.left, b.width(), "Journal", ticked(journalFeatures)...)
	b.fields(b.left, b.width(), field{"Journal, bore, walls as measured", 6}, field{"Side clearance", 2})
}

// shells are what went in, with the seven looks.
func (b *blank) shells() {
	b.fields(b.left, b.width(), field{"Upper fitted: mark, part, batch", 3}, field{"Lower fitted: mark, part, batch", 3}, field{"Lubricant", 2})
	b.ticks(b.left, b.width(), "Looked at", (&job.ShellFitted{}).Missing()...)
}

// bolts are the stages of the measuring and of the final tightening, as the
// sheet has them.
func (b *blank) bolts() {
	f, ok := b.sheet.RodBolts()
	if !ok {
		return
	}
	b.y += 0.4
	half := (b.width() - 4) / 2
	top := b.y
	measuring, note := []string{}, "Measuring: the sheet does not say how; ask"
	if f.Measuring != nil {
		measuring, note = f.Measuring.Stages, "Measuring, "+strings.Join(f.Measuring.Bolts, " or ")+" bolts"
	}
	b.stages(b.left, half, note, f, measuring)
	low := b.y
	b.y = top
	var final []string
	for _, s := range f.Stages {
		final = append(final, s.ID)
	}
	if f.WitnessMark {
		final = append(final, "witness mark seen")
	}
	b.stages(b.left+half+4, half, "Final", f, final)
	b.y = max(b.y, low)
}

// stages is a grid of boxes to tick: one line per bolt, one column per stage.
func (b *blank) stages(x, w float64, title string, f engine.Fastener, ids []string) {
	for _, l := range clipped(title+": "+f.Title, w, strong, 1) {
		b.set(x, b.y+sizeBody*1.02, l, strong, draw.Start)
	}
	b.y += body.height() + 0.4
	names := f.Bolts
	if len(names) == 0 {
		names = []string{"all"}
	}
	const first = 14.0
	cw := (w - first) / float64(max(1, len(ids)))
	b.stageHeads(x+first, cw, f, ids)
	const row = 5.6
	for _, n := range names {
		b.set(x, b.y+row/2+1, clip(n, first-1, body), body, draw.Start)
		for i := range ids {
			b.rect(x+first+float64(i)*cw, b.y, cw, row, draw.Style{Stroke: draw.InkText, Width: 0.25})
		}
		b.y += row
	}
	b.fields(x, w, field{"Set", 1}, field{"Tools", 1.3}, field{"By, time", 1.4})
}

func (b *blank) stageHeads(x, cw float64, f engine.Fastener, ids []string) {
	heads, most := make([][]string, len(ids)), 0
	for i, id := range ids {
		heads[i] = wrap(stageAsks(f, id, b.o.Units), cw-1, label)
		most = max(most, len(heads[i]))
	}
	for i := range ids {
		y := b.y
		for _, l := range heads[i] {
			b.set(x+float64(i)*cw+0.6, y+label.size, l, label, draw.Start)
			y += label.height()
		}
	}
	b.y += float64(most)*label.height() + 0.6
}

// stageAsks is a stage with what the sheet asks of it, in the reader's units.
func stageAsks(f engine.Fastener, id string, u units.Preferences) string {
	s, ok := f.Stage(id)
	if !ok {
		return id
	}
	asks := filled(nominal(s.Torque, u), nominal(s.Angle, u), nominal(s.Stretch, u))
	return strings.TrimSpace(id + " " + strings.Join(asks, ", then "))
}

// nominal is a value of the sheet with its limits, in the reader's units.
func nominal[Q units.Quantity](n engine.Nominal[Q], u units.Preferences) string {
	r := n.Bounds().In(u)
	if n.Text == "" {
		return r
	}
	var q Q
	text := n.Text
	if read, err := units.Parse(q.Kind(), text, units.Unit{}); err == nil {
		text = u.Format(read.Value, q.Kind(), read.Resolution)
	}
	if r == "" {
		return text
	}
	return text + " (" + r + ")"
}
