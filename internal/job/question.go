// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"strings"

	"witnessmark/bearing"
	"witnessmark/engine"
)

// Question says what seems impossible in a reading before it counts, "" when
// nothing does: a wall of nothing, a journal no smaller than its bore, a gauge
// outside its range, inches or micrometres for millimetres. Such a reading is
// kept only with a reason.
func Question(r Reading, s State, b Basis) string {
	if b.Sheet == nil {
		return ""
	}
	a := &assessor{s: s, b: b}
	switch {
	case (r.Of == OfEndFloat || r.Of == OfSideClearance) && r.Value != nil:
		return questionPlay(r.Value.Value, a.limitFor(r.Of, r.Phase))
	case r.Of == OfClearance && r.Value != nil:
		return a.questionClearance(r.Value.Value)
	case r.Of == OfClearance && r.Strip != nil && (r.Strip.How == StripTyped):
		return a.questionClearance(r.Strip.A.Value)
	case r.Value == nil || a.partLimit(r.Of) == (engine.Bounds{}) && r.Of != OfShellBore:
		return ""
	}
	see := bearing.Sighting{What: ofWords[r.Of], Value: r.Value.Value, Wall: r.Of == OfUpperWall || r.Of == OfLowerWall, Gauge: r.Gauge}
	see.Usual = a.usual(r.Of)
	if t, ok := b.Tools[r.Gauge]; ok {
		in := t.Instrument()
		see.Reads = bearing.Limits{Min: in.Range.Min, Max: in.Range.Max}
	}
	switch r.Of {
	case OfJournal:
		see.Bore = a.lastOf(OfHousingBore, r.Position)
		if shells := a.lastOf(OfShellBore, r.Position); shells > 0 {
			see.Bore = shells
		}
	case OfHousingBore, OfShellBore:
		see.Pin = a.lastOf(OfJournal, r.Position)
	}
	return bearing.Question(see)
}

// questionPlay questions an axial play that a slip of the unit would explain; a
// play that is merely wide is no slip.
func questionPlay(value float64, l engine.Bounds) string {
	lo, hi := l.Range()
	if !l.Given() || math.IsInf(lo, 0) || math.IsInf(hi, 0) || value == 0 {
		return ""
	}
	// Half the greatest: plays vary less than a factor of four.
	q := bearing.QuestionClearance(value, bearing.Limits{Min: lo, Max: hi / 2})
	if !strings.Contains(q, "looks like") {
		return ""
	}
	return q
}

func (a *assessor) questionClearance(value float64) string {
	lo, hi := a.b.Sheet.BigEnd.Clearance.New.Range()
	if math.IsInf(lo, 0) || math.IsInf(hi, 0) {
		return ""
	}
	if in := a.b.Sheet.BigEnd.Clearance.InService; in.Given() {
		if _, most := in.Range(); !math.IsInf(most, 0) {
			hi = math.Max(hi, most)
		}
	}
	return bearing.QuestionClearance(value, bearing.Limits{Min: lo, Max: hi})
}

// usual is the size that the sheet gives a part, undersizes included.
func (a *assessor) usual(of string) bearing.Limits {
	be := a.b.Sheet.BigEnd
	lo, hi := a.partLimit(of).Range()
	if of == OfJournal {
		for _, u := range be.Undersizes {
			if least, _ := u.Journal.Range(); !math.IsInf(least, 0) {
				lo = math.Min(lo, least)
			}
		}
	}
	if of == OfShellBore { // between journal and housing
		lo, _ = be.Journal.Range()
		_, hi = be.HousingBore.Range()
	}
	if math.IsInf(lo, 0) || math.IsInf(hi, 0) || lo > hi {
		return bearing.Limits{}
	}
	return bearing.Limits{Min: lo, Max: hi}
}

// lastOf is what was last read of a part that was not itself questioned.
func (a *assessor) lastOf(of string, position int) float64 {
	for i := len(a.s.Readings) - 1; i >= 0; i-- {
		r := a.s.Readings[i].Body
		if r.Of == of && r.Position == position && r.Value != nil && r.Questioned == "" {
			return r.Value.Value
		}
	}
	return 0
}

// countable leaves out what is impossible and was kept without a reason: it is
// questioned before it counts.
func (a *assessor) countable(of, phase string, position int, read []Noted[Reading]) []Noted[Reading] {
	var out []Noted[Reading]
	var doubts []string
	var rests []int64
	for _, r := range read {
		q := ""
		if r.Body.Reason == "" {
			q = Question(r.Body, before(a.s, r), a.b)
		}
		if q == "" {
			out = append(out, r)
			continue
		}
		doubts, rests = append(doubts, "as "+phase+", "+ofWords[of]+": "+q), append(rests, r.At.Seq)
	}
	if len(doubts) > 0 {
		a.add(Obstacle{Code: Questionable, Check: CloseUp, Position: position, Of: of + "-" + phase, Items: doubts[:1], RestsOn: rests})
	}
	return out
}

// before is the state with the readings up to the one that is looked at.
func before(s State, r Noted[Reading]) State {
	var out State
	for _, x := range s.Readings {
		if x.At.Seq < r.At.Seq {
			out.Readings = append(out.Readings, x)
		}
	}
	return out
}
