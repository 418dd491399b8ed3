// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// fastenerFacts is what the sheet says of a fastener, in a line or two.
func fastenerFacts(l *shop.Loaded, f engine.Fastener) fastenerWords {
	w := fastenerWords{ID: f.ID, Title: f.Title, Source: sourceOf(l.Basis.Sheet, f.Basis), Unchecked: !f.Checked}
	add := func(text string) {
		if text != "" {
			w.Facts = append(w.Facts, text)
		}
	}
	thread := string(f.Thread)
	if f.Class != "" {
		thread += ", class " + f.Class
	}
	add(thread)
	if f.Count > 0 {
		add(fmt.Sprintf("%d of them", f.Count))
	}
	add(f.Use.String())
	if f.Lubricant == "" {
		add("lubricant: the sheet does not say")
	} else {
		add("lubricant: " + f.Lubricant)
	}
	if f.Sealant.Product != "" {
		s := "sealant: " + f.Sealant.Product
		if f.Sealant.Cure.Given() {
			s += ", cures " + f.Sealant.Cure.String() + " before oil may touch it"
		}
		add(s)
	}
	if len(f.Order) > 1 {
		add("order: " + strings.Join(f.Order, ", then "))
	}
	add(f.OrderText)
	if f.ToolRange.Given() {
		add("tool range " + f.ToolRange.String())
	}
	if f.LoadedWheels {
		add("tightened only with the vehicle’s weight on its wheels")
	}
	add(f.Note)
	for _, st := range f.Stages {
		w.Stages = append(w.Stages, asks(st))
	}
	return w
}

// asks is what a stage asks for: "30 Nm", "90° (85° to 95°)".
func asks(st engine.Stage) string {
	var w []string
	for _, a := range []string{st.Torque.String(), st.Angle.String(), st.Stretch.String()} {
		if a != "" {
			w = append(w, a)
		}
	}
	if st.Note != "" {
		w = append(w, st.Note)
	}
	if len(w) == 0 {
		return st.ID
	}
	return strings.Join(w, ", then ")
}

// placeWords says what is on at a place, once where its bolts agree.
func placeWords(seen []job.BoltSeen) string {
	var words []string
	for _, b := range seen {
		w := b.View().Words
		if b.State != job.BoltNone && b.Set != "" {
			w += ", " + setWords(b.Set, false)
		}
		words = append(words, w)
	}
	if same := slices.Compact(slices.Clone(words)); len(same) == 1 {
		return sentenceStart(same[0])
	}
	for i, b := range seen {
		words[i] = b.Bolt + ": " + words[i]
	}
	return strings.Join(words, "; ")
}

// otherView is a fastener that stands once in the engine.
func (s *server) otherView(q *request, l *shop.Loaded, f engine.Fastener) otherView {
	v := otherView{Cures: job.Cures(l.State, l.Basis, f, l.Voice, s.shop.Now()), F: fastenerFacts(l, f), Form: q.oneOf(l, f.ID), Sets: setOptions(l, f, job.Final)}
	v.OnWheels, v.Waits = f.LoadedWheels, job.WaitsForWheels(l.State, f) && !tight(l, f)
	seen := job.BoltsSeen(l.State, f, 0)
	v.State = seen[0].View()
	set := v.Sets[0].Code
	if last, ok := job.LastTightened(l.State, l.Basis, f.ID, ""); ok {
		set = last.Set
	}
	v.Form.Typed["set"] = set
	next := job.Next(l.State, f, 0, job.Final, set)
	if !next.Done {
		torque, angle, stretch := stageTools(l, s.today(), f)
		v.Tools = map[engine.StageKind][]toolChoice{engine.ByAngle: angle, engine.ByStretch: stretch}[next.Stage.Kind]
		if next.Stage.Kind == engine.ByTorque || next.Stage.Kind == engine.ByTorqueAngle {
			v.Tools = torque
		}
		tap := stageTap(q, f, next, boltChoice{})
		v.Tap = &tap
		v.Form.Typed["tool"] = orUsual(l, f, next.Stage.Kind, "", v.Tools)
	}
	var places, unseen []string
	for _, b := range seen {
		at := place(job.BoltAt{Bolt: b.Bolt})
		if b.State != job.BoltNone {
			places = append(places, at)
		}
		if b.State == job.BoltFinal && f.WitnessMark && !b.Witness {
			unseen = append(unseen, at)
		}
	}
	if len(places) > 0 {
		v.Loosen = &boltTap{Fastener: f.ID, Places: places, Key: q.newKey(), Label: "Loosened"}
		v.Wrong = fmt.Sprintf("%s/record/%d/correct", jobPath(l.ID), job.LastAt(l.State, f, 0))
	}
	if len(unseen) > 0 {
		v.Witness = &boltTap{Fastener: f.ID, Places: unseen, Key: q.newKey(), Label: "Witness marks seen on all"}
	}
	return v
}

// tapName is what a button says to somebody who only hears it.
func tapName(t boltTap) string {
	at := ""
	if n := positionsIn(t.Places); n == 1 {
		if p, _, _ := cut(t.Places[0]); p != "0" {
			at = "position " + p + ", "
		}
	}
	return sentenceStart(strings.TrimSuffix(at+t.Label+", "+t.Says, ", "))
}

func currentIf(yes bool) string {
	if yes {
		return "true"
	}
	return "false"
}

func boltClass(state string) string {
	return map[string]string{job.BoltFinal: "is-fits", job.BoltPartial: "is-unproven"}[state]
}

// choiceForm lets the choice fill a form's selects.
func choiceForm(c boltChoice) formView {
	return formView{Typed: map[string]string{"torque": c.Torque, "angle": c.Angle, "stretch": c.Stretch}}
}
