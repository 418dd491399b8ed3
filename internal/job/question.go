// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"sort"
	"strings"

	"witnessmark/bearing"
	"witnessmark/engine"
)

// Question says what seems impossible in a reading before it counts, "" when
// nothing does: a wall of nothing, a journal no smaller than its bore, a gauge
// outside its range, inches or micrometres for millimetres. Such a reading is
// kept only with a reason. Of the state, what was read so far counts.
func Question(r Reading, s State, b Basis) string {
	a := &assessor{s: s, b: b}
	return a.question(r, math.MaxInt64)
}

// question is [Question] as of before an entry.
func (a *assessor) question(r Reading, before int64) string {
	b := a.b
	if b.Sheet == nil {
		return ""
	}
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
		see.Bore = a.lastOf(OfHousingBore, r.Position, before)
		if shells := a.lastOf(OfShellBore, r.Position, before); shells > 0 {
			see.Bore = shells
		}
	case OfHousingBore, OfShellBore:
		see.Pin = a.lastOf(OfJournal, r.Position, before)
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

// partAt is a part of a position.
type partAt struct {
	of       string
	position int
}

// lastOf is what was last read of a part before an entry, and was not itself
// questioned. Every reading asks, so that they are sorted once.
func (a *assessor) lastOf(of string, position int, before int64) float64 {
	if a.sized == nil {
		a.sized = map[partAt][]int{}
		for i := range a.s.Readings {
			if r := &a.s.Readings[i].Body; r.Value != nil && r.Questioned == "" {
				k := partAt{r.Of, r.Position}
				a.sized[k] = append(a.sized[k], i)
			}
		}
	}
	read := a.sized[partAt{of, position}]
	n := sort.Search(len(read), func(i int) bool { return a.s.Readings[read[i]].At.Seq >= before })
	if n == 0 {
		return 0
	}
	return a.s.Readings[read[n-1]].Body.Value.Value
}

// countable leaves out what is impossible and was kept without a reason: it is
// questioned before it counts.
func (a *assessor) countable(of, phase string, position int, read []*Noted[Reading]) []*Noted[Reading] {
	out := make([]*Noted[Reading], 0, len(read))
	var doubts []string
	var rests []int64
	for _, r := range read {
		q := ""
		if r.Body.Reason == "" {
			q = a.question(r.Body, r.At.Seq)
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
