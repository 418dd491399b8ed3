// SPDX-License-Identifier: Apache-2.0

package report

import (
	"slices"

	"witnessmark/internal/job"
)

func withUnit(v *job.ValueView) string {
	if v == nil {
		return "–"
	}
	return v.WithUnit
}

func spread(v *job.ValueView) string {
	if v == nil {
		return "–"
	}
	return v.Spread
}

func limit(v *job.ValueView) string {
	if v == nil {
		return "–"
	}
	return v.Limit
}

func chance(v *job.ValueView) string {
	if v == nil {
		return ""
	}
	return v.Chance
}

// valueNotes are what must be said beside the decisions, each once.
func valueNotes(v job.View) []string {
	var notes []string
	for _, p := range v.Positions {
		if p.Fitted == nil {
			continue
		}
		for _, n := range p.Fitted.Notes {
			if !slices.Contains(notes, n) {
				notes = append(notes, n)
			}
		}
	}
	return notes
}
