// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// reading understands the form: bars tapped, or a value typed by hand or by a
// gauge.
func (q *request) reading(l *shop.Loaded, v positionView) (job.Reading, error) {
	r := job.Reading{Of: job.OfClearance, Phase: v.Phase, Position: v.Position, Gauge: v.Gauge, CrankMoved: q.checked("crank_moved")}
	unit := l.Voice.Units.Unit(units.KindLength)
	if t := q.value("part_temperature"); t != "" {
		read, err := units.Parse(units.KindTemperature, t, units.UnitCelsius)
		if err != nil {
			return r, err
		}
		r.PartTemperature = &read
	}
	tool := l.Basis.Tools[v.Gauge]
	if bars := q.Form["bar"]; len(bars) > 0 {
		front, err := stripOf(tool, bars)
		if err != nil {
			return r, err
		}
		r.Strip = front
		if rear := q.Form["rear"]; len(rear) > 0 {
			r.Rear, err = stripOf(tool, rear)
		}
		return r, err
	}
	typed := q.value("typed")
	if typed == "" {
		return r, errors.New("nothing was entered: tap a bar, two for between, or type the value")
	}
	if len(tool.Graduations) > 0 {
		strip, err := typedStrip(tool, typed, unit)
		r.Strip = strip
		return r, err
	}
	value, err := units.Parse(units.KindLength, typed, unit)
	if err != nil {
		return r, err
	}
	r.Value = &value
	if u := q.value("u"); u != "" {
		read, err := units.Parse(units.KindLength, u, unit)
		if err != nil {
			return r, err
		}
		r.U = &read
	}
	return r, nil
}

// stripOf turns one bar, or two neighbours, into what was read.
func stripOf(tool job.Tool, chosen []string) (*job.StripRead, error) {
	var at []int
	for _, c := range chosen {
		i := slices.IndexFunc(tool.Graduations, func(g units.Read) bool { return g.Digits == c })
		if i < 0 {
			return nil, fmt.Errorf("bar %s is not on the scale of gauge %s", c, tool.ID)
		}
		at = append(at, i)
	}
	slices.Sort(at)
	g := tool.Graduations
	switch {
	case len(at) == 1 && at[0] == 0:
		return &job.StripRead{How: job.StripOrLess, A: g[0]}, nil
	case len(at) == 1 && at[0] == len(g)-1:
		return &job.StripRead{How: job.StripOrMore, A: g[len(g)-1]}, nil
	case len(at) == 1:
		return &job.StripRead{How: job.StripOne, A: g[at[0]]}, nil
	case len(at) == 2 && at[1] == at[0]+1:
		return &job.StripRead{How: job.StripBetween, A: g[at[0]], B: &g[at[1]]}, nil
	case len(at) == 2:
		return nil, fmt.Errorf("%s and %s are not neighbours on the scale: tap one bar, or two neighbours for between", g[at[0]].Digits, g[at[1]].Digits)
	}
	return nil, fmt.Errorf("%d bars were tapped: tap one, or two neighbours for between", len(at))
}

var between = regexp.MustCompile(`^(.+?)\s*(?:–|—|-|to|…|\.\.\.?)\s*(.+)$`)

// typedStrip reads "0.051", "0.051-0.064" or any clearance in between.
func typedStrip(tool job.Tool, typed string, unit units.Unit) (*job.StripRead, error) {
	if m := between.FindStringSubmatch(typed); m != nil {
		var chosen []string
		for _, part := range m[1:] {
			read, err := units.Parse(units.KindLength, strings.TrimSpace(part), unit)
			if err != nil {
				return nil, err
			}
			chosen = append(chosen, onScale(tool, read))
		}
		return stripOf(tool, chosen)
	}
	read, err := units.Parse(units.KindLength, typed, unit)
	if err != nil {
		return nil, err
	}
	if c := onScale(tool, read); c != read.Digits || slices.ContainsFunc(tool.Graduations, func(g units.Read) bool { return g.Digits == c }) {
		return stripOf(tool, []string{c})
	}
	return &job.StripRead{How: job.StripTyped, A: read}, nil
}

// onScale is the bar of the same clearance, in the scale's own digits.
func onScale(tool job.Tool, read units.Read) string {
	for _, g := range tool.Graduations {
		if g.Value == read.Value {
			return g.Digits
		}
	}
	return read.Digits
}

// sent is what the reading was understood from, in a steady order, to be sent
// again when it is kept.
func (v positionView) sent() []sentField {
	var out []sentField
	for _, name := range slices.Sorted(maps.Keys(v.Form)) {
		for _, value := range v.Form[name] {
			if value != "" && !slices.Contains(notReadings, name) {
				out = append(out, sentField{name, value})
			}
		}
	}
	return out
}
