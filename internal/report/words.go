// SPDX-License-Identifier: Apache-2.0

package report

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark/internal/draw"
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

// commas puts what is not empty side by side.
func commas(texts ...string) string { return strings.Join(filled(texts...), ", ") }

func onArrival(odometer string) string {
	if odometer == "" {
		return ""
	}
	return odometer + " on arrival"
}

func stateOf(c job.CheckView) string {
	if c.Ready {
		return draw.Fits
	}
	return draw.Out
}

// standingWords says how many things stand in the way of a check.
func standingWords(c job.CheckView) string {
	switch {
	case !c.Ready:
		return counted(len(c.Standing), "thing stands", "things stand") + " in the way"
	case len(c.Conceded) > 0:
		return counted(len(c.Conceded), "thing", "things") + " let stand by concession"
	}
	return "nothing stands in the way"
}

// besides is what is said below an entry: what it said at first, a clock that
// was off, its photos.
func besides(l job.Line) []string {
	var out []string
	for _, r := range l.Replaced {
		out = append(out, fmt.Sprintf("Corrected by entry %d. It first said: %s", r.Seq, l.Words))
	}
	if l.ClockOff != "" {
		out = append(out, l.ClockOff)
	}
	if n := len(l.Photos); n > 0 {
		out = append(out, counted(n, "photo", "photos")+", see the contact sheet")
	}
	return out
}

func restsOn(entries string) string {
	if entries == "" {
		return ""
	}
	return "It rests on " + entries + "."
}
