// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"slices"
	"sort"

	"witnessmark/engine"
)

// AllBolts stands for every bolt of a fastener whose bolts have no names.
const AllBolts = "all"

// OldSet is the set of bolts that came out of the engine.
const OldSet = "old"

// What a bolt's place looks like now.
const (
	BoltNone      = "none"
	BoltMeasuring = "measuring" // on its measuring tightening
	BoltPartial   = "partial"   // some final stages are missing
	BoltFinal     = "final"     // every final stage is on record
)

// BoltSeen is one bolt's place as the record has it.
type BoltSeen struct {
	Bolt    string   `json:"bolt"`
	State   string   `json:"state"`
	Stages  []string `json:"stages"` // of the tightening that is on now
	Set     string   `json:"set,omitempty"`
	Tool    string   `json:"tool,omitempty"`
	Witness bool     `json:"witness_mark"`
}

// tightening is the stages between two loosenings on one set of bolts.
type tightening struct {
	kind, set string
	stages    []Tightened
}

// tightenings splits what was done to a bolt's place: loosening ends one, and
// so does a change of set or from measuring to final. The last is nil when the
// bolt was loosened since. Only entries up to the sequence count.
func (b *Bolt) tightenings(upTo int64) []tightening {
	var out []tightening
	if b == nil {
		return nil
	}
	open := false
	for _, t := range b.Stages {
		if t.At.Seq > upTo {
			break
		}
		if t.Loosened {
			open = false
			continue
		}
		if n := len(out); !open || out[n-1].kind != t.Tightening || out[n-1].set != t.Set {
			out = append(out, tightening{kind: t.Tightening, set: t.Set})
			open = true
		}
		n := len(out)
		out[n-1].stages = append(out[n-1].stages, t)
	}
	if !open {
		out = append(out, tightening{}) // loosened: nothing is on
	}
	return out
}

func (t tightening) ids() []string {
	ids := []string{}
	for _, s := range t.stages {
		ids = append(ids, s.Stage)
	}
	return ids
}

func (t tightening) seqs() []int64 {
	var seqs []int64
	for _, s := range t.stages {
		seqs = append(seqs, s.At.Seq)
	}
	return seqs
}

// current is the tightening that is on now.
func (b *Bolt) current(upTo int64) tightening {
	n := b.before(upTo)
	if n == 0 || b.Stages[n-1].Loosened {
		return tightening{}
	}
	return b.endingAt(n)
}

// lastOn is the last tightening up to a sequence, loosened since or not.
func (b *Bolt) lastOn(upTo int64) tightening {
	n := b.before(upTo)
	for n > 0 && b.Stages[n-1].Loosened {
		n--
	}
	return b.endingAt(n)
}

// before counts the stages up to a sequence.
func (b *Bolt) before(upTo int64) int {
	if b == nil {
		return 0
	}
	return sort.Search(len(b.Stages), func(i int) bool { return b.Stages[i].At.Seq > upTo })
}

// endingAt is the tightening that ends with the nth stage, as tightenings has
// it; every reading asks for one, so that it looks no further back than it
// must.
func (b *Bolt) endingAt(n int) tightening {
	if n == 0 {
		return tightening{}
	}
	last, from := b.Stages[n-1], n-1
	for from > 0 && !b.Stages[from-1].Loosened && b.Stages[from-1].Tightening == last.Tightening && b.Stages[from-1].Set == last.Set {
		from--
	}
	return tightening{kind: last.Tightening, set: last.Set, stages: b.Stages[from:n:n]}
}

func stageIDs(f engine.Fastener) []string {
	ids := make([]string, len(f.Stages))
	for i, s := range f.Stages {
		ids[i] = s.ID
	}
	return ids
}

// boltNames are the names of the bolts of one set.
func boltNames(f engine.Fastener) []string {
	if len(f.Bolts) > 0 {
		return f.Bolts
	}
	return []string{AllBolts}
}

// complete reports whether every stage that the tightening needs was done.
func (t tightening) complete(f engine.Fastener) bool {
	need := stageIDs(f)
	if t.kind == Measuring && f.Measuring != nil {
		need = f.Measuring.Stages
	}
	ids := t.ids()
	for _, n := range need {
		if !slices.Contains(ids, n) {
			return false
		}
	}
	return t.kind != ""
}

// hadAngle reports whether the bolt was turned by angle or stretch, which
// spends one that is for single use.
func (t tightening) hadAngle(f engine.Fastener) bool {
	for _, id := range t.ids() {
		if s, ok := f.Stage(id); ok && s.Kind != engine.ByTorque {
			return true
		}
	}
	return false
}

// seen says what a bolt's place looks like now.
func (b *Bolt) seen(name string, f engine.Fastener) BoltSeen {
	t := b.current(math.MaxInt64)
	v := BoltSeen{Bolt: name, State: BoltNone, Stages: t.ids(), Set: t.set, Witness: b != nil && b.Witness != nil}
	if n := len(t.stages); n > 0 {
		v.Tool = t.stages[n-1].Tool
	}
	switch {
	case t.kind == Measuring:
		v.State = BoltMeasuring
	case t.kind == Final && t.complete(f):
		v.State = BoltFinal
	case t.kind == Final:
		v.State = BoltPartial
	}
	return v
}

// usedAgain reports whether the bolt that is on now had its uses before, and
// the entries that show it.
func (b *Bolt) usedAgain(f engine.Fastener) ([]int64, bool) {
	ts := b.tightenings(math.MaxInt64)
	if len(ts) == 0 {
		return nil, false
	}
	now := ts[len(ts)-1]
	if now.kind != Final {
		return nil, false
	}
	if now.set == OldSet && f.Use.Kind == engine.SingleUse {
		return now.seqs(), true
	}
	uses, rests := 1, now.seqs()
	for _, t := range ts[:len(ts)-1] {
		if t.set != now.set {
			continue
		}
		if t.uses(f) {
			uses++
			rests = append(rests, t.seqs()...)
		}
	}
	switch f.Use.Kind {
	case engine.SingleUse:
		return rests, uses > 1
	case engine.LimitedUse:
		return rests, uses > f.Use.Times
	}
	return nil, false
}

// uses reports whether a tightening is a use of the bolt.
func (t tightening) uses(f engine.Fastener) bool {
	if t.kind == Measuring {
		return measuringCounts(f)
	}
	return t.hadAngle(f) || t.complete(f)
}

// measuringCounts reports whether a measuring tightening spends a bolt: it
// does unless the sheet lets the same bolts measure and stay.
func measuringCounts(f engine.Fastener) bool {
	return f.Measuring == nil || !slices.Contains(f.Measuring.Bolts, engine.MeasureSame)
}

// outOfOrder reports whether a stage came before one it must follow, or twice.
func (t tightening) outOfOrder(f engine.Fastener) bool {
	last := -1
	order := stageIDs(f)
	for _, id := range t.ids() {
		i := slices.Index(order, id)
		if i < 0 || i <= last {
			return true
		}
		last = i
	}
	return false
}
