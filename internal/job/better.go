// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"slices"

	"witnessmark/metrology"
)

// better says which gauge of the register, in place of the one that drives the
// spread most, would shrink it, and to what; else what one of half the spread
// would do.
func (a *assessor) better(b Budgeted, parts []*Measured) *Better {
	r := metrology.BudgetResult{U: b.U}
	for _, l := range b.Lines {
		r.Lines = append(r.Lines, metrology.Line{Input: metrology.Input{Name: l.Name, U: l.U}, Sensitivity: l.Sensitivity, Contribution: l.ContributionMM})
	}
	var best *Better
	most := 0.0
	for _, m := range parts {
		if len(m.Gauges) != 1 {
			continue
		}
		in := a.b.Tools[m.Gauges[0]].Instrument()
		names := []string{ofWords[m.Part]}
		for _, s := range a.shared(in) {
			names = append(names, s.Name)
		}
		var lines []int
		now := 0.0
		for i, l := range b.Lines {
			if slices.Contains(names, l.Name) {
				lines = append(lines, i)
				now = math.Hypot(now, l.ContributionMM)
			}
		}
		if now <= most || len(lines) == 0 {
			continue
		}
		most = now
		best = &Better{Line: ofWords[m.Part], Gauge: in.Tool, U: r.UReplacing(lines, now/2)}
		if id, u := a.finer(m, now); id != "" {
			best.With, best.U = id, r.UReplacing(lines, u)
		}
	}
	if largest := driver(b); best != nil && largest != nil && largest.ContributionMM > most {
		return nil // no gauge would help most
	}
	return best
}

// finer is a gauge of the register that reads the part with less spread.
func (a *assessor) finer(m *Measured, now float64) (string, float64) {
	best, least := "", now
	for _, id := range sortedKeys(a.b.Tools) {
		t := a.b.Tools[id]
		if t.Retired != nil || slices.Contains(m.Gauges, id) || !slices.Contains(t.Measures(), m.Part) {
			continue
		}
		in := t.Instrument()
		read, err := in.Read(m.SizeMM)
		if err != nil || !in.InRange(m.SizeMM) {
			continue
		}
		if u := read.StandardUncertainty(); u < least {
			best, least = id, u
		}
	}
	return best, least
}

// driver is the line that brings most.
func driver(b Budgeted) *BudgetLine {
	var best *BudgetLine
	for i := range b.Lines {
		if best == nil || b.Lines[i].ContributionMM > best.ContributionMM {
			best = &b.Lines[i]
		}
	}
	return best
}
