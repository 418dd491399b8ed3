// SPDX-License-Identifier: Apache-2.0

package report

import (
	"fmt"
	"slices"
	"strings"

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

// counted says "1 photo" or "3 photos".
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// filled are the texts that are not empty.
func filled(texts ...string) []string {
	var out []string
	for _, t := range texts {
		if t != "" {
			out = append(out, t)
		}
	}
	return out
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
