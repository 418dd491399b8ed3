// SPDX-License-Identifier: Apache-2.0

package web

import (
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// oneOf starts the view of one of several forms of a page, with a key of its
// own. What was typed comes back in the form that it was typed into.
func (q *request) oneOf(l *shop.Loaded, name string) formView {
	f := formView{Key: q.newKey(), Typed: map[string]string{}, Many: map[string][]string{}}
	if l != nil {
		f.Job = l.ID
	}
	if q.Method == http.MethodPost && q.value("form") == name {
		f.Typed, f.Many, f.Key.ID, f.Key.Saw = q.typed(), q.Form, q.value("id"), q.value("saw")
	}
	f.Typed["form"] = name
	return f
}

// again shows a page once more with what was wrong, when the person at it can
// mend that.
func (q *request) again(err error, render func(status int, problem string) error) error {
	t := troubleOf(err)
	if t.Status != http.StatusUnprocessableEntity || q.wantsJSON() {
		return err
	}
	return render(t.Status, t.Detail+" "+t.Next)
}

// stepCautions are the usual cautions of a step with those of the sheet.
func stepCautions(l *shop.Loaded, at string, usual ...string) []string {
	if l.Basis.Sheet == nil {
		return usual
	}
	for _, c := range l.Basis.Sheet.Cautions {
		if c.At == at {
			usual = append(usual, c.Text)
		}
	}
	return usual
}

// unitOf is the unit that is assumed when none is typed.
func unitOf(l *shop.Loaded, k units.Kind) units.Unit { return l.Voice.Units.Unit(k) }

// toolChoice is a tool that may be chosen for a step.
type toolChoice struct {
	ID, Title string
	Warning   string // why what is done with it would not stand; empty when it would
}

// toolChoices are the tools of some kinds that are in use.
func toolChoices(l *shop.Loaded, today string, kinds ...string) []toolChoice {
	var out []toolChoice
	for _, kind := range kinds {
		for _, id := range allTools(l.Basis.Tools) {
			t := l.Basis.Tools[id]
			if t.Kind != kind || t.Retired != nil {
				continue
			}
			c := toolChoice{ID: id, Title: t.Title}
			if t.TrustOn(today) != job.Trusted {
				c.Warning = t.Standing(today).Word
			}
			out = append(out, c)
		}
	}
	return out
}

// today is the day in the workshop's time zone.
func (s *server) today() string { return job.Day(s.shop.Now(), s.shop.Zone()) }

// sourceOf says where a value of the sheet comes from and whether somebody
// held it against that.
func sourceOf(sheet *engine.Sheet, b engine.Basis) string {
	if b.Checked {
		return sheet.SourceText(b) + ", checked"
	}
	return sheet.SourceText(b) + ", not checked"
}

// positionOptions are the positions of the sheet for a choice.
func positionOptions(l *shop.Loaded) []option {
	var out []option
	for _, p := range l.Assessment.Positions {
		out = append(out, option{strconv.Itoa(p.Position), "position " + l.Basis.Namer()(p.Position)})
	}
	return out
}

// standing are the obstacles of some codes that stand, in words.
func standing(l *shop.Loaded, codes ...job.Code) []job.ObstacleView {
	var out []job.ObstacleView
	for _, o := range l.Assessment.Obstacles {
		for _, c := range codes {
			if o.Code == c && o.Conceded == nil {
				out = append(out, l.Words(o))
			}
		}
	}
	return out
}

// saidAt is what an entry says as it stands now.
func saidAt(l *shop.Loaded, seq int64) string {
	for _, line := range l.Record() {
		if line.Seq == seq {
			return line.Now
		}
	}
	return ""
}

// said are the entries of some kinds as they stand now, in order.
func said(l *shop.Loaded, kinds ...string) []string {
	var out []string
	for _, line := range job.LinesOf(l.Record(), kinds...) {
		out = append(out, line.Now)
	}
	return out
}

// sentenceStart gives words a capital.
func sentenceStart(s string) string { return strings.TrimSuffix(sentence(s), ".") }

// allTools are the ids of the register in order.
func allTools(reg job.Register) []string { return slices.Sorted(maps.Keys(reg)) }

// joinWords says "a, b and c".
func joinWords(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
