// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"slices"

	"witnessmark/engine"
)

// NextStage is what comes next at one place of a fastener.
type NextStage struct {
	Stage engine.Stage
	Index int // of the stage among those of the tightening, from 1
	Of    int
	Bolts []BoltAt // the bolts that it is next for
	Done  bool     // every stage of the tightening is on
}

// Next is the stage that comes next at a position, 0 for a fastener that
// stands once in the engine, on this tightening with this set of bolts. When
// the bolts of a place are not equally far, it is for those that are behind.
func Next(s State, f engine.Fastener, position int, tightening, set string) NextStage {
	need := stagesOf(f, tightening)
	next := NextStage{Index: len(need), Of: len(need)}
	for _, name := range boltNames(f) {
		place := BoltAt{Position: position, Bolt: name}
		done := 0
		if t := s.Bolts[BoltKey{f.ID, place}].current(math.MaxInt64); t.kind == tightening && t.set == set {
			done = t.reached(need)
		}
		switch {
		case done < next.Index:
			next.Index, next.Bolts = done, []BoltAt{place}
		case done == next.Index && done < len(need):
			next.Bolts = append(next.Bolts, place)
		}
	}
	if next.Index == len(need) {
		next.Done = true
		return next
	}
	next.Stage, _ = f.Stage(need[next.Index])
	next.Index++
	return next
}

// stagesOf are the stages that a tightening needs.
func stagesOf(f engine.Fastener, tightening string) []string {
	if tightening == Measuring && f.Measuring != nil {
		return f.Measuring.Stages
	}
	return stageIDs(f)
}

// reached is how many of the stages needed are on, without a gap.
func (t tightening) reached(need []string) int {
	ids := t.ids()
	for i, id := range need {
		if !slices.Contains(ids, id) {
			return i
		}
	}
	return len(need)
}

// BoltsSeen says what the bolts of one place look like now.
func BoltsSeen(s State, f engine.Fastener, position int) []BoltSeen {
	var out []BoltSeen
	for _, name := range boltNames(f) {
		out = append(out, s.Bolts[BoltKey{f.ID, BoltAt{Position: position, Bolt: name}}].seen(name, f))
	}
	return out
}

// View puts a bolt's place into words.
func (b BoltSeen) View() BoltView { return boltView(b) }

// LastAt is the last entry about the bolts of one place, 0 when there is none.
func LastAt(s State, f engine.Fastener, position int) int64 {
	var last int64
	for _, name := range boltNames(f) {
		b := s.Bolts[BoltKey{f.ID, BoltAt{Position: position, Bolt: name}}]
		if b == nil {
			continue
		}
		if n := len(b.Stages); n > 0 {
			last = max(last, b.Stages[n-1].At.Seq)
		}
		if b.Witness != nil {
			last = max(last, b.Witness.Seq)
		}
	}
	return last
}

// Sets are the sets of bolts that were named for a fastener and a tightening,
// in the order of the record.
func Sets(s State, f engine.Fastener, tightening string) []string {
	first := map[string]int64{}
	for k, b := range s.Bolts {
		if k.Fastener != f.ID {
			continue
		}
		for _, t := range b.Stages {
			if t.Tightening != tightening || t.Set == "" {
				continue
			}
			if at, ok := first[t.Set]; !ok || t.At.Seq < at {
				first[t.Set] = t.At.Seq
			}
		}
	}
	sets := sortedKeys(first)
	slices.SortStableFunc(sets, func(a, b string) int { return int(first[a] - first[b]) })
	return sets
}

// LastTightened is the last stage on any bolt of a fastener whose stage is of
// this kind; any fastener for an empty id, any kind for an empty kind.
func LastTightened(s State, b Basis, fastener string, kind engine.StageKind) (Tightened, bool) {
	var last Tightened
	for k, bolt := range s.Bolts {
		if fastener != "" && k.Fastener != fastener || b.Sheet == nil {
			continue
		}
		f, _ := b.Sheet.Fastener(k.Fastener)
		for _, t := range bolt.Stages {
			st, _ := f.Stage(t.Stage)
			if !t.Loosened && t.At.Seq > last.At.Seq && (kind == "" || st.Kind == kind) {
				last = t
			}
		}
	}
	return last, last.At.Seq > 0
}
