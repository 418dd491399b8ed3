// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"witnessmark/engine"
)

// Sections of a report that are more than what the job's page shows.

// TighteningView is one bolt's place with the stages that are on it.
type TighteningView struct {
	Fastener string
	Place    string // "position 4 (B2), bolt a"
	Set      string
	Stages   []StageView
	State    string
	Words    string
}

// StageView is one stage as it was done.
type StageView struct {
	Stage  string // with what the sheet asks: "2, 45°"
	Tool   string
	Person string
	Time   string
}

// Tightenings lists the final stages of every fastener of the sheet, by
// position.
func Tightenings(s State, b Basis, voice Voice) []TighteningView {
	if b.Sheet == nil {
		return nil
	}
	v := &shower{s: s, basis: b, voice: voice}
	var out []TighteningView
	for _, f := range b.Sheet.Fasteners {
		places := []int{0}
		if f.PerPosition() {
			places = places[:0]
			for _, p := range b.Sheet.Positions() {
				places = append(places, p.Number)
			}
		}
		for _, p := range places {
			for _, name := range boltNames(f) {
				out = append(out, v.tightening(f, p, name))
			}
		}
	}
	return out
}

func (v *shower) tightening(f engine.Fastener, position int, name string) TighteningView {
	bolt := v.s.Bolts[BoltKey{f.ID, BoltAt{Position: position, Bolt: name}}]
	now := bolt.current(math.MaxInt64)
	seen := boltView(bolt.seen(name, f))
	t := TighteningView{Fastener: f.Title, Place: name, Set: now.set, State: seen.State, Words: seen.Words}
	switch {
	case position != 0:
		t.Place = "position " + positionName(position, v.basis.cylinder(position)) + ", bolt " + name
	case name == AllBolts:
		t.Place = "all"
	}
	for _, s := range now.stages {
		t.Stages = append(t.Stages, StageView{Stage: StageTitle(f, s.Stage), Tool: s.Tool, Person: v.person(s.At.Person), Time: v.clock(s.At.Received)})
	}
	return t
}

// StageTitle is a stage with what the sheet asks of it: "2 · 30 Nm".
func StageTitle(f engine.Fastener, id string) string {
	st, ok := f.Stage(id)
	if !ok {
		return id + " · not in the sheet"
	}
	var asks []string
	for _, a := range []string{st.Torque.String(), st.Angle.String(), st.Stretch.String()} {
		if a != "" {
			asks = append(asks, a)
		}
	}
	if len(asks) == 0 {
		return id
	}
	return id + " · " + strings.Join(asks, ", then ")
}

// Summary says in a few plain sentences, for the owner, what was done and what
// came out.
func Summary(a Assessment, s State, b Basis, voice Voice) []string {
	v := &shower{a: a, s: s, basis: b, voice: voice}
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	by := map[string][]int{}
	for _, p := range a.Positions {
		word, _ := verdictWords(p.Fitted)
		by[word] = append(by[word], p.Position)
	}
	n := len(a.Positions)
	switch fits := len(by["fits"]); {
	case n == 0:
		add("No engine sheet is adopted yet, so nothing is decided.")
	case fits == n:
		add("The clearance of all %d connecting-rod bearings was measured as fitted, and all of them fit.", n)
	default:
		add("%d of %d connecting-rod bearings were measured as fitted and fit.", fits, n)
	}
	for _, word := range []string{"too wide", "too tight", "not proven", "not measured"} {
		if ps := by[word]; len(ps) > 0 {
			out = append(out, sentence(positions(ps)+": "+word))
		}
	}
	if w := v.wornShells(); w != "" {
		out = append(out, w)
	}
	if countConceded(a) > 0 {
		add("%s stand by concession, with the reason in this report.", count(countConceded(a), "thing was let", "things were let"))
	}
	if a.MainsInspected {
		add("Main bearings were inspected.")
	} else {
		add("Main bearings were not inspected.")
	}
	return out
}

func countConceded(a Assessment) int {
	n := 0
	for _, o := range a.Obstacles {
		if o.Conceded != nil {
			n++
		}
	}
	return n
}

// wornShells names the shells that came out worn through or damaged.
func (v *shower) wornShells() string {
	var bad []string
	for _, p := range v.a.Positions {
		at := v.s.Positions[p.Position]
		if at == nil {
			continue
		}
		for _, half := range []string{Upper, Lower} {
			if w := at.lastWear(half); w != nil && wearView(w.Body, v.basis).State == stateOut {
				bad = append(bad, half+" shell of position "+positionName(p.Position, p.Cylinder)+" "+wearWords(w.Body, v.basis))
			}
		}
	}
	if len(bad) == 0 {
		return ""
	}
	return "Of the old shells, these stood out: " + list(bad) + "."
}

// Advice is what the sheet says about running in, in words.
func Advice(b Basis) []string {
	if b.Sheet == nil {
		return nil
	}
	r := b.Sheet.RunningIn
	var out []string
	for _, a := range r.Advice {
		w := strings.TrimSuffix(a.Text, ".")
		if a.Until.Given() {
			w += ", until " + a.Until.String()
		}
		if a.Speed.Given() {
			w += ", at most " + a.Speed.String()
		}
		out = append(out, sentence(w))
	}
	if r.FirstOil.Given() {
		out = append(out, "First change of oil and filter at "+r.FirstOil.String()+".")
	}
	if r.Recheck.Given() {
		out = append(out, "Torque recheck at "+r.Recheck.String()+".")
	}
	return out
}

// LinesOf picks the entries of some kinds that still stand, as they stand now.
func LinesOf(lines []Line, kinds ...string) []Line {
	var out []Line
	for _, l := range lines {
		if slices.Contains(kinds, l.Kind) && !l.Withdrawn {
			out = append(out, l)
		}
	}
	return out
}
