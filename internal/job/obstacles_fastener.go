// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"slices"

	"witnessmark/engine"
)

// bolts says what the rod bolts of a position look like.
func (a *assessor) bolts(position int) []BoltSeen {
	f, ok := a.b.Sheet.RodBolts()
	if !ok {
		return []BoltSeen{}
	}
	var out []BoltSeen
	for _, name := range boltNames(f) {
		out = append(out, a.bolt(f.ID, position, name).seen(name, f))
	}
	return out
}

func (a *assessor) bolt(fastener string, position int, name string) *Bolt {
	return a.s.Bolts[BoltKey{fastener, BoltAt{Position: position, Bolt: name}}]
}

// fasteners looks at every fastener of the sheet.
func (a *assessor) fasteners() {
	for _, f := range a.b.Sheet.Fasteners {
		places := []int{0}
		if f.PerPosition() {
			places = nil
			for _, p := range a.b.Sheet.Positions() {
				places = append(places, p.Number)
			}
		}
		for _, p := range places {
			a.fastener(f, p)
		}
	}
}

// fastener looks at the bolts of one fastener at one position.
func (a *assessor) fastener(f engine.Fastener, position int) {
	var missing, order, unseen, measuring []string
	var rests, again, out []int64
	var reused []string
	for _, name := range boltNames(f) {
		b := a.bolt(f.ID, position, name)
		t := b.current(math.MaxInt64)
		rests = append(rests, t.seqs()...)
		if seqs, yes := b.usedAgain(f); yes {
			reused, again = append(reused, name), append(again, seqs...)
		}
		switch {
		case t.kind == Measuring:
			measuring = append(measuring, name)
			continue
		case !t.complete(f):
			missing = append(missing, name)
		case b.Witness == nil && f.WitnessMark:
			unseen = append(unseen, name)
		}
		if t.kind == Final && t.outOfOrder(f) {
			order, out = append(order, name), append(out, t.seqs()...)
		}
	}
	of := Obstacle{Check: closedBy(f), Position: position, Of: f.ID, Title: f.Title}
	a.bolted(of, MeasuringIn, measuring, rests)
	a.bolted(of, StageMissing, missing, rests)
	a.bolted(of, StageOrder, order, out)
	a.bolted(of, BoltReused, reused, again)
	a.bolted(of, WitnessMissing, unseen, rests)
	a.unloaded(f, position)
}

func (a *assessor) bolted(o Obstacle, code Code, bolts []string, rests []int64) {
	if len(bolts) == 0 {
		return
	}
	o.Code, o.Items, o.RestsOn = code, bolts, rests
	a.add(o)
}

// untightened reports whether the cap was not fully tightened for an as
// fitted clearance reading: without that the reading is of nothing. A strip is
// read with the cap off again, so the last tightening before the reading
// counts though it was loosened since; one from before these shells went in,
// or for the reading as found, does not.
func (a *assessor) untightened(position int, readings []int64) bool {
	f, ok := a.b.Sheet.RodBolts()
	if !ok {
		return false
	}
	for _, seq := range readings {
		since := a.fittedSince(position, seq)
		for _, name := range boltNames(f) {
			t := a.bolt(f.ID, position, name).lastOn(seq)
			if t.kind == "" || t.stages[0].At.Seq < since {
				return true
			}
			if f.Measuring != nil && !t.complete(f) {
				return true
			}
		}
	}
	return false
}

// fittedSince is the entry after which what is in the position now can have
// been tightened for a reading as fitted.
func (a *assessor) fittedSince(position int, before int64) int64 {
	since := int64(0)
	for _, r := range a.s.Readings {
		if r.Body.Position == position && r.Body.Of == OfClearance && r.Body.Phase == AsFound && r.At.Seq < before {
			since = r.At.Seq
		}
	}
	if p := a.s.Positions[position]; p != nil && p.Shells != nil && p.Shells.At.Seq < before {
		since = max(since, p.Shells.At.Seq)
	}
	return since
}

// tools looks at every tool that was used and at the day it was used.
func (a *assessor) tools() {
	type key struct {
		tool  string
		trust Trust
	}
	rests := map[key][]int64{}
	var order []key
	for _, u := range a.s.Tools {
		trust := a.b.Tools[u.Tool].TrustOn(Day(u.At.Received, a.b.zone()))
		if trust == Trusted {
			continue
		}
		k := key{u.Tool, trust}
		if rests[k] == nil {
			order = append(order, k)
		}
		rests[k] = append(rests[k], u.At.Seq)
	}
	codes := map[Trust]Code{Overdue: ToolOverdue, Rejected: ToolRejected, NotKnown: ToolUnknown}
	for _, k := range order {
		a.add(Obstacle{Code: codes[k.trust], Check: CloseUp, Of: k.tool, Title: a.b.Tools[k.tool].Title,
			Others: a.touched(rests[k]), RestsOn: rests[k]})
	}
	a.toolRanges()
}

// touched are the positions that entries are about.
func (a *assessor) touched(seqs []int64) []int {
	var ps []int
	for k, b := range a.s.Bolts {
		for _, t := range b.Stages {
			if k.Position != 0 && slices.Contains(seqs, t.At.Seq) {
				ps = append(ps, k.Position)
			}
		}
	}
	for _, r := range a.s.Readings {
		if r.Body.Position != 0 && slices.Contains(seqs, r.At.Seq) {
			ps = append(ps, r.Body.Position)
		}
	}
	slices.Sort(ps)
	return slices.Compact(ps)
}
