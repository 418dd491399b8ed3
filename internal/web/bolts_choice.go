// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// boltChoice is chosen once for many taps: which tightening, which set of
// bolts, with which tools.
type boltChoice struct {
	Tightening, Set        string
	Torque, Angle, Stretch string
}

// chosen is what the page was asked with, else what the last entry had.
func chosen(q *request, l *shop.Loaded, f engine.Fastener, today string) boltChoice {
	last, any := job.LastTightened(l.State, l.Basis, f.ID, "")
	c := boltChoice{Tightening: q.value("tightening"), Set: q.value("set"), Torque: q.value("torque"), Angle: q.value("angle"), Stretch: q.value("stretch")}
	if other := q.value("other_set"); other != "" {
		c.Set = other
	}
	if c.Tightening != job.Measuring && c.Tightening != job.Final {
		c.Tightening = job.Measuring
		if any {
			c.Tightening = last.Tightening
		}
	}
	if c.Set == "" {
		c.Set = setOptions(l, f, c.Tightening)[0].Code
		if any && last.Tightening == c.Tightening {
			c.Set = last.Set
		}
	}
	torque, angle, stretch := stageTools(l, today, f)
	c.Torque = orUsual(l, f, engine.ByTorque, c.Torque, torque)
	c.Angle = orUsual(l, f, engine.ByAngle, c.Angle, angle)
	c.Stretch = orUsual(l, f, engine.ByStretch, c.Stretch, stretch)
	return c
}

// orUsual is the tool asked for, else the one last used for such a stage, else
// the first of the register. One whose work would not stand is never offered
// by itself.
func orUsual(l *shop.Loaded, f engine.Fastener, kind engine.StageKind, asked string, tools []toolChoice) string {
	if asked != "" {
		return asked
	}
	for _, id := range []string{f.ID, ""} {
		last, ok := job.LastTightened(l.State, l.Basis, id, kind)
		if ok && slices.ContainsFunc(tools, func(t toolChoice) bool { return t.ID == last.Tool && t.Warning == "" }) {
			return last.Tool
		}
	}
	for _, t := range tools {
		if t.Warning == "" {
			return t.ID
		}
	}
	return ""
}

// tool is the one for a kind of stage.
func (c boltChoice) tool(kind engine.StageKind) string {
	switch kind {
	case engine.ByAngle:
		return c.Angle
	case engine.ByStretch:
		return c.Stretch
	}
	return c.Torque
}

// query carries the choice to the next page.
func (c boltChoice) query() string {
	v := url.Values{}
	for name, value := range map[string]string{"tightening": c.Tightening, "set": c.Set, "torque": c.Torque, "angle": c.Angle, "stretch": c.Stretch} {
		if value != "" {
			v.Set(name, value)
		}
	}
	return v.Encode()
}

// words say the choice in one line.
func (c boltChoice) words() string {
	w := []string{setWords(c.Set, false)}
	for _, t := range []string{c.Torque, c.Angle, c.Stretch} {
		if t != "" && !slices.Contains(w, t) {
			w = append(w, t)
		}
	}
	return strings.Join(w, " · ")
}

// stageTools are the tools for the stages that a fastener has, none for the
// others.
func stageTools(l *shop.Loaded, today string, f engine.Fastener) (torque, angle, stretch []toolChoice) {
	for _, st := range f.Stages {
		switch st.Kind {
		case engine.ByTorque, engine.ByTorqueAngle:
			torque = toolChoices(l, today, "torque_wrench")
		case engine.ByAngle:
			angle = toolChoices(l, today, "angle_gauge", "torque_wrench")
		case engine.ByStretch:
			stretch = toolChoices(l, today, "stretch_gauge", "micrometer", "dial_indicator")
		}
	}
	return torque, angle, stretch
}

// toolWarning says when what is done with a chosen tool would not stand.
func toolWarning(c boltChoice, lists ...[]toolChoice) string {
	for _, list := range lists {
		for _, t := range list {
			if t.Warning != "" && slices.Contains([]string{c.Torque, c.Angle, c.Stretch}, t.ID) {
				return fmt.Sprintf("%s is %s. What is done with it stands in the way of closing up until it is tested.", t.ID, t.Warning)
			}
		}
	}
	return ""
}

// setOptions are the sets of bolts to choose from: those named before for this
// tightening, those that the sheet lets measure, a new one.
func setOptions(l *shop.Loaded, f engine.Fastener, tightening string) []option {
	var out []option
	add := func(code string) {
		if !slices.ContainsFunc(out, func(o option) bool { return o.Code == code }) {
			out = append(out, option{code, setWords(code, f.Use.Kind == engine.SingleUse && tightening == job.Final)})
		}
	}
	named := job.Sets(l.State, f, tightening)
	if tightening == job.Final {
		if f.Use.Kind == engine.Reusable && len(named) == 0 {
			add(job.OldSet)
		}
		for _, s := range named {
			add(s)
		}
		add(newSet(named))
		add(job.OldSet)
		return out
	}
	for _, s := range named {
		add(s)
	}
	for _, m := range measuringBolts(f) {
		switch m {
		case engine.MeasureOld:
			add(job.OldSet)
		case engine.MeasureMarked:
			add("M1")
		case engine.MeasureSame:
			add(newSet(job.Sets(l.State, f, job.Final)))
		}
	}
	return out
}

// measuringBolts are the ones that the sheet lets measure; all when it is
// silent, so that the page asks.
func measuringBolts(f engine.Fastener) []string {
	if f.Measuring == nil || len(f.Measuring.Bolts) == 0 {
		return []string{engine.MeasureOld, engine.MeasureMarked, engine.MeasureSame}
	}
	return f.Measuring.Bolts
}

func measuringWords(f engine.Fastener) string {
	if f.Measuring == nil {
		return "The engine sheet does not say which bolts may be used for measuring. Ask, and choose the set here."
	}
	words := map[string]string{engine.MeasureOld: "the ones that came out", engine.MeasureMarked: "a marked set kept for measuring", engine.MeasureSame: "the ones that stay in"}
	var may []string
	for _, m := range f.Measuring.Bolts {
		may = append(may, words[m])
	}
	w := "For measuring: " + strings.Join(may, ", or ") + "."
	if f.Measuring.Note != "" {
		w += " " + sentence(f.Measuring.Note)
	}
	return w
}

// newSet is the next name for new bolts.
func newSet(named []string) string {
	for i := 1; ; i++ {
		if n := fmt.Sprintf("N%d", i); !slices.Contains(named, n) {
			return n
		}
	}
}

// setWords names a set of bolts.
func setWords(code string, spent bool) string {
	switch {
	case code == job.OldSet && spent:
		return "old bolts (single use: they will stand in the way)"
	case code == job.OldSet:
		return "old bolts, that came out"
	case strings.HasPrefix(code, "M"):
		return "marked set " + code + ", for measuring only"
	case strings.HasPrefix(code, "N"):
		return "new set " + code
	}
	return "set " + code
}
