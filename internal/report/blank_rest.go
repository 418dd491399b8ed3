// SPDX-License-Identifier: Apache-2.0

package report

import (
	"fmt"
	"strings"

	"witnessmark/engine"
	"witnessmark/internal/draw"
	"witnessmark/units"
)

// others are the fasteners that do not come at every position, the settings
// and the last look inside.
func (b *blank) others() {
	b.page()
	b.bookmark("Assembly", 0)
	t := type_{size: sizeH2, bold: true}
	b.set(b.left, b.y+t.size, "Assembly", t, draw.Start)
	b.y += t.height() + 1
	b.cautions("assemble")
	for _, f := range b.sheet.Fasteners {
		if !f.PerPosition() {
			b.fastener(f)
		}
	}
	b.settings()
	b.subheading("Last look inside", 20)
	b.ticks(b.left, b.width(), "", "nothing left in", "tools counted", "rags counted", "passages open and oiled")
	b.fields(b.left, b.width(), field{"By", 2}, field{"Time", 2})
	b.subheading("Other parts fitted", 20)
	for range 4 {
		b.fields(b.left, b.width(), field{"Part", 4}, field{"Number, batch", 3}, field{"How many", 1.4})
	}
}

func (b *blank) fastener(f engine.Fastener) {
	h := b.measure(func() { b.oneFastener(f) })
	b.need(min(h, b.bottom-b.top))
	b.oneFastener(f)
}

func (b *blank) oneFastener(f engine.Fastener) {
	b.gap(2)
	how := filled(f.Where, number(f.Count), f.Lubricant, f.Sealant.Product, f.OrderText)
	if f.LoadedWheels {
		how = append(how, "with the vehicle’s weight on its wheels")
	}
	if f.Use.Kind == engine.SingleUse {
		how = append(how, "new bolts, single use")
	}
	b.para(f.Title, strong)
	b.para(strings.Join(how, "; "), label)
	var stages []string
	for _, s := range f.Stages {
		stages = append(stages, stageAsks(f, s.ID, b.o.Units))
	}
	if f.WitnessMark {
		stages = append(stages, "witness marks seen")
	}
	b.ticks(b.left, b.width(), "Done", stages...)
	b.fields(b.left, b.width(), field{"Tools", 2}, field{"Set, new or used", 2}, field{"By, time", 2})
}

func number(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("%d in all", n)
}

// settings and what else is measured once.
func (b *blank) settings() {
	b.subheading("Settings", 20)
	t := table{columns: []column{{title: "Setting", weight: 1.4}, {title: "Allowed", weight: 1}, {title: "Read", width: 34}, {title: "Tool", width: 20}, {title: "By, time", width: 28}}}
	add := func(name, how string, allowed string) {
		t.rows = append(t.rows, row{cells: []cell{append(strongly(name), softly(how)...), plain(allowed), {{text: " ", t: type_{size: sizeH2}}}, nil, nil}})
	}
	for _, s := range b.sheet.Settings {
		places := s.Positions
		if len(places) == 0 {
			add(s.Title, s.How, b.limit(s.Limit.Bounds))
		}
		for _, n := range places {
			add(s.Title+", position "+b.name(n), s.How, b.limit(s.Limit.Bounds))
		}
	}
	if b.sheet.EndFloat.Given() {
		add("End float of the crankshaft", "", b.limit(b.sheet.EndFloat.Bounds()))
	}
	b.table(t)
	if b.sheet.SideClearance.Limit.Given() {
		b.para("Side clearance, per "+b.sheet.SideClearance.Per+": "+b.limit(b.sheet.SideClearance.Limit.Bounds())+". Written at its position, one for a throw that rods share.", label)
	}
}

// run is filling, priming, first start and what follows.
func (b *blank) run() {
	b.page()
	b.bookmark("Running", 0)
	t := type_{size: sizeH2, bold: true}
	b.set(b.left, b.y+t.size, "Running", t, draw.Start)
	b.y += t.height() + 1
	b.cautions("run")
	b.table(table{columns: []column{{title: "Step", width: 50}, {title: "Asked", weight: 1}, {title: "Read, in order?", width: 32}, {title: "By, time", width: 30}}, rows: b.steps()})
	b.subheading("Running in", 15)
	for _, a := range b.sheet.RunningIn.Advice {
		b.para(a.Text, body)
	}
	b.cautions("handover")
	b.subheading("Notes", 30)
	for b.room() > 9 {
		b.y += 8.5
		b.line(b.left, b.y, b.right, b.y, draw.Style{Stroke: draw.InkMark, Width: 0.25})
	}
}

// steps are the run's, as the sheet has them, the level after each.
func (b *blank) steps() []row {
	r, u := b.sheet.Run, b.o.Units
	var out []row
	add := func(what, asked string) {
		out = append(out, row{cells: []cell{strongly(what), plain(asked), {{text: " ", t: type_{size: 5}}}, nil}})
	}
	add("Oil filled", strings.Join(filled(b.grade(), nominal(b.sheet.Oil.Capacity, u), b.sheet.Oil.Filter), ", "))
	add("Primed, starting disabled", r.Priming.Bounds().In(u))
	add("Level after priming", b.sheet.Oil.Level)
	stop := ""
	if r.StopAfter.Given() {
		stop = "stop if there is no pressure within " + r.StopAfter.String()
	}
	add("First start", stop)
	for _, o := range r.PressureCold {
		add("Oil pressure, cold", pressure(o, u))
	}
	add("Level after the first start", "")
	cycles := max(1, int(r.HeatCycles.V))
	for i := range cycles {
		add(fmt.Sprintf("Heat cycle %d of %d", i+1, cycles), heat(r))
		add("Level after it", "")
	}
	for _, o := range r.PressureHot {
		add("Oil pressure, hot", pressure(o, u))
	}
	add("Leak check", "")
	return out
}

func (b *blank) grade() string {
	if len(b.sheet.Oil.Allowed) == 0 {
		return ""
	}
	return b.sheet.Oil.Allowed[0].Grade
}

func pressure(o engine.OilPressure, u units.Preferences) string {
	s := "at " + o.Speed.String()
	if o.Temperature.Given() {
		s += ", " + o.Temperature.String()
	}
	return s + ": " + o.Limit.Bounds().In(u)
}

func heat(r engine.Run) string {
	var parts []string
	if r.WarmTo.Given() {
		parts = append(parts, "warm to "+r.WarmTo.String())
	}
	if r.CoolTo.Given() {
		parts = append(parts, "cool to "+r.CoolTo.String())
	}
	return strings.Join(parts, ", ")
}
