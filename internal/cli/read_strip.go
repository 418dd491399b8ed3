// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// reader turns flags into a reading. Its first problem is kept, with where,
// what was entered, what it was held against and what to do.
type reader struct {
	f    readFlags
	l    *shop.Loaded
	tool job.Tool
	err  error
}

// understand makes the reading that the flags say.
func (f readFlags) understand(l *shop.Loaded) (job.Reading, error) {
	r := &reader{f: f, l: l}
	r.place()
	out := job.Reading{Of: f.of, Phase: f.phase, Position: f.position, Gauge: f.gauge, CrankMoved: f.moved, Plane: f.plane, Reason: f.reason}
	how := r.how()
	switch {
	case r.err != nil:
	case how == "value":
		out.Value = r.quantity("value", f.value, units.KindLength)
		out.U = r.quantity("u", f.u, units.KindLength)
		out.HalfWidth = r.quantity("half-width", f.half, units.KindLength)
	default:
		r.stripGauge()
		out.Gauge = r.tool.ID
		out.Strip = r.strip(how)
		out.Rear = r.rear()
	}
	out.Angle = r.quantity("angle", f.angle, units.KindAngle)
	out.PartTemperature = r.quantity("part-temperature", f.temperature, units.KindTemperature)
	return out, r.err
}

// refuse keeps the first problem: what was entered, what it was held against,
// and what to do.
func (r *reader) refuse(entered, against, todo string) {
	if r.err != nil {
		return
	}
	at := "read " + r.l.ID
	if r.known() {
		at += ", position " + r.l.Basis.Namer()(r.f.position)
	}
	r.err = usagef("%s: %s: %s. %s.", at, entered, against, todo)
}

// known reports whether the engine sheet has the position.
func (r *reader) known() bool {
	if r.l.Basis.Sheet == nil {
		return false
	}
	_, ok := r.l.Basis.Sheet.Position(r.f.position)
	return ok
}

// place holds position and phase against the engine sheet.
func (r *reader) place() {
	f := r.f
	if f.phase != job.AsFound && f.phase != job.AsFitted {
		r.refuse(fmt.Sprintf("--phase %q", f.phase), "a reading is taken as found or as fitted", "Write --phase found or --phase fitted")
	}
	switch {
	case f.of == job.OfEndFloat && f.position != 0:
		r.refuse(fmt.Sprintf("--position %d", f.position), "end float belongs to the crankshaft", "Leave --position out")
	case f.of == job.OfEndFloat:
	case r.l.Basis.Sheet == nil && f.position == 0:
		r.refuse("no --position", "a reading belongs to one", "Count it from the front, from 1")
	case r.l.Basis.Sheet != nil && !r.known():
		n := len(r.l.Basis.Sheet.Positions())
		r.refuse(fmt.Sprintf("--position %d", f.position), fmt.Sprintf("engine family %s has positions 1 to %d, counted from the front", r.l.Basis.Sheet.Family, n), "Give one of them")
	}
}

// how says which of the ways to read was used.
func (r *reader) how() string {
	var given []string
	for _, w := range []struct{ flag, typed string }{
		{"bar", r.f.bar}, {"between", r.f.between}, {"or-more", r.f.orMore}, {"or-less", r.f.orLess},
		{"width", r.f.width}, {"value", r.f.value},
	} {
		if w.typed != "" {
			given = append(given, w.flag)
		}
	}
	switch {
	case len(given) == 0:
		r.refuse("no reading", "one is needed", "Give --bar, --between, --or-more, --or-less or --width for a strip, else --value")
	case len(given) > 1:
		r.refuse("--"+strings.Join(given, " and --"), "they are two readings", "Enter them one after the other")
	default:
		return given[0]
	}
	return ""
}

// stripGauge finds the gauge: the one named, or the only one that there is.
func (r *reader) stripGauge() {
	var ids []string
	for id, t := range r.l.Basis.Tools {
		if len(t.Graduations) > 0 && t.Retired == nil {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	switch {
	case slices.Contains(ids, r.f.gauge):
		r.tool = r.l.Basis.Tools[r.f.gauge]
	case r.f.gauge == "" && len(ids) == 1:
		r.tool = r.l.Basis.Tools[ids[0]]
	case len(ids) == 0:
		r.refuse(fmt.Sprintf("--gauge %q", r.f.gauge), "the tool register has no strip gauge with its scale", "Add it to the register, or enter --value with its --u")
	default:
		r.refuse(fmt.Sprintf("--gauge %q", r.f.gauge), "the strip gauges of the tool register are "+strings.Join(ids, ", "), "Name one of them")
	}
}

func (r *reader) strip(how string) *job.StripRead {
	f := r.f
	switch how {
	case "bar":
		return r.one("bar", f.bar, job.StripOne)
	case "between":
		return r.two("between", f.between)
	case "or-more":
		return r.end("or-more", f.orMore, job.StripOrMore)
	case "or-less":
		return r.end("or-less", f.orLess, job.StripOrLess)
	case "width":
		if f.diameter == "" {
			r.refuse("--width "+f.width, "a width says nothing without the strip it was", "Give the --diameter of the strip before it was flattened")
		}
		if w := r.quantity("width", f.width, units.KindLength); w != nil {
			return &job.StripRead{How: job.StripWidth, A: *w, Diameter: r.quantity("diameter", f.diameter, units.KindLength)}
		}
	}
	return nil
}

// rear is the rear end, nil where the ends do not differ.
func (r *reader) rear() *job.StripRead {
	switch {
	case r.f.rearBar != "" && r.f.rearBetw != "":
		r.refuse("--rear-bar and --rear-between", "the rear end has one reading", "Give one of them")
	case r.f.rearBar != "":
		return r.one("rear-bar", r.f.rearBar, job.StripOne)
	case r.f.rearBetw != "":
		return r.two("rear-between", r.f.rearBetw)
	}
	return nil
}

// one is one bar of the scale.
func (r *reader) one(flag, typed, how string) *job.StripRead {
	if b, _ := r.bar(flag, typed); b != nil {
		return &job.StripRead{How: how, A: *b}
	}
	return nil
}

// end is a reading at an end of the scale.
func (r *reader) end(flag, typed, how string) *job.StripRead {
	g := r.tool.Graduations
	if typed != endOfScale || len(g) == 0 {
		return r.one(flag, typed, how)
	}
	if how == job.StripOrLess {
		return &job.StripRead{How: how, A: g[0]}
	}
	return &job.StripRead{How: how, A: g[len(g)-1]}
}

// two are two neighbouring bars, the lower one first.
func (r *reader) two(flag, typed string) *job.StripRead {
	low, high, ok := strings.Cut(typed, ";")
	if !ok && strings.Count(typed, ",") == 1 {
		low, high, ok = strings.Cut(typed, ",")
	}
	if !ok {
		r.refuse(fmt.Sprintf("--%s %q", flag, typed), "two bars are needed", "Write them as 0.051,0.064; with decimal commas as 0,051;0,064")
		return nil
	}
	a, i := r.bar(flag, low)
	b, j := r.bar(flag, high)
	if r.err != nil {
		return nil
	}
	if j != i+1 {
		r.refuse(fmt.Sprintf("--%s %s", flag, typed), "these are not neighbours in rising order on "+r.scale(), "Give two neighbours, or one --bar")
		return nil
	}
	return &job.StripRead{How: job.StripBetween, A: *a, B: b}
}

// bar finds a bar on the gauge's scale, to a tenth of a micrometre.
func (r *reader) bar(flag, typed string) (*units.Read, int) {
	got := r.quantity(flag, strings.TrimSpace(typed), units.KindLength)
	if got == nil {
		r.refuse(fmt.Sprintf("--%s %q", flag, typed), "a bar is missing", "Give one of "+r.scale())
		return nil, 0
	}
	for i, g := range r.tool.Graduations {
		if math.Abs(g.Value-got.Value) < 1e-4 {
			return got, i
		}
	}
	r.refuse(fmt.Sprintf("--%s %s", flag, got), "there is no such bar on "+r.scale(), "Give a bar that is there, or the two that it lies --between")
	return nil, 0
}

// scale names the gauge with its bars.
func (r *reader) scale() string {
	var bars []string
	for _, g := range r.tool.Graduations {
		bars = append(bars, g.String())
	}
	return r.tool.ID + " (" + strings.Join(bars, ", ") + ")"
}

// quantity reads what was typed for a flag, nil when nothing was. A bare
// number is in the workshop's unit.
func (r *reader) quantity(flag, typed string, kind units.Kind) *units.Read {
	if typed == "" || r.err != nil {
		return nil
	}
	got, err := units.Parse(kind, typed, r.l.Voice.Units.Unit(kind))
	if err != nil {
		var p *units.ParseError
		against, todo := err.Error(), "Write it with its unit"
		if errors.As(err, &p) {
			against = p.Reason
			if p.Suggestion != "" {
				todo = strings.ToUpper(p.Suggestion[:1]) + p.Suggestion[1:]
			}
		}
		r.refuse(fmt.Sprintf("--%s %q", flag, typed), against, todo)
		return nil
	}
	return &got
}
