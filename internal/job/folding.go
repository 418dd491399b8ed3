// SPDX-License-Identifier: Apache-2.0

package job

import (
	"maps"
	"slices"

	"witnessmark/record"
)

// Folding is the fold of a log that goes on as the log grows: it takes in what
// is new and nothing twice. Its states are those of [Fold]. It is for one
// goroutine at a time; the states that it gave out are for any.
type Folding struct {
	state State // never given out: a later entry changes it in place
	taken int
	last  string // id of the last entry taken
}

// Fold returns the state of a whole log. If it begins with the log of the call
// before, only the rest is folded, unless a correction is among it: that acts
// on what came before.
func (f *Folding) Fold(log []record.Entry) State {
	taken := f.taken
	f.taken = 0 // until it is done
	if taken == 0 || taken > len(log) || log[taken-1].ID != f.last {
		f.state = Fold(log)
	} else if more := log[taken:]; len(more) > 0 {
		if bodies := decodeAll(more); slices.ContainsFunc(bodies, isCorrection) {
			f.state = Fold(log)
		} else {
			f.state.take(more, bodies)
		}
	}
	if f.taken = len(log); f.taken > 0 {
		f.last = log[f.taken-1].ID
	}
	return f.state.apart()
}

func isCorrection(b Body) bool {
	_, ok := b.(*Correction)
	return ok
}

// apart is the state with nothing in it that a later entry would change, and
// with slices that grow into memory of their own. Bodies are shared: nothing
// ever changes one.
func (s *State) apart() State {
	out := *s
	s.apartMaps(&out)
	out.clip()
	// A later entry answers one of these, or adds to it.
	out.Notes, out.Changes, out.Lengths = slices.Clone(s.Notes), slices.Clone(s.Changes), slices.Clone(s.Lengths)
	for i := range out.Lengths {
		out.Lengths[i].Entries = slices.Clip(out.Lengths[i].Entries)
	}
	return out
}

// clip leaves the lists no room, so that they grow elsewhere.
func (s *State) clip() {
	s.Fittings, s.Readings, s.Roughness = slices.Clip(s.Fittings), slices.Clip(s.Readings), slices.Clip(s.Roughness)
	s.Operations, s.Debris, s.Mains = slices.Clip(s.Operations), slices.Clip(s.Debris), slices.Clip(s.Mains)
	s.Parts, s.Thrust, s.Tools = slices.Clip(s.Parts), slices.Clip(s.Thrust), slices.Clip(s.Tools)
	s.Traces, s.TracesLooked, s.Run = slices.Clip(s.Traces), slices.Clip(s.TracesLooked), slices.Clip(s.Run)
	s.OldParts, s.Decisions, s.Concessions = slices.Clip(s.OldParts), slices.Clip(s.Decisions), slices.Clip(s.Concessions)
	s.FollowUps, s.Seals, s.Authorities = slices.Clip(s.FollowUps), slices.Clip(s.Seals), slices.Clip(s.Authorities)
	s.Stops, s.Time, s.Faults = slices.Clip(s.Stops), slices.Clip(s.Time), slices.Clip(s.Faults)
	s.Unknown, s.Erased, s.Blobs = slices.Clip(s.Unknown), slices.Clip(s.Erased), slices.Clip(s.Blobs)
	s.Photos = slices.Clip(s.Photos)
}

// apartMaps gives out maps of its own, and what they point to.
func (s *State) apartMaps(out *State) {
	out.Details, out.DebrisDealt, out.Settings, out.Gears = maps.Clone(s.Details), maps.Clone(s.DebrisDealt), maps.Clone(s.Settings), maps.Clone(s.Gears)
	out.Refused, out.Bags, out.Marked, out.Found = maps.Clone(s.Refused), maps.Clone(s.Bags), maps.Clone(s.Marked), maps.Clone(s.Found)
	out.Proofs, out.Corrected = maps.Clone(s.Proofs), maps.Clone(s.Corrected)
	for k, v := range out.Proofs {
		out.Proofs[k] = slices.Clip(v)
	}
	for k, v := range out.Corrected {
		out.Corrected[k] = slices.Clip(v)
	}
	out.Positions = apartValues(s.Positions, func(p *Position) {
		p.Wear, p.Journal, p.Asked = slices.Clip(p.Wear), slices.Clip(p.Journal), slices.Clip(p.Asked)
	})
	out.Bolts = apartValues(s.Bolts, func(b *Bolt) { b.Stages, b.Photos = slices.Clip(b.Stages), slices.Clip(b.Photos) })
	out.Supply = apartValues(s.Supply, func(t *PartTrack) {
		t.Ordered, t.Promised, t.Arrived = slices.Clip(t.Ordered), slices.Clip(t.Promised), slices.Clip(t.Arrived)
		t.Checked, t.Returned = slices.Clip(t.Checked), slices.Clip(t.Returned)
	})
	out.Special = apartValues(s.Special, func(*SpecialTool) {})
}

// apartValues copies a map with what its values point to.
func apartValues[K comparable, V any](m map[K]*V, clip func(*V)) map[K]*V {
	if m == nil {
		return nil
	}
	out := make(map[K]*V, len(m))
	for k, v := range m {
		own := *v
		clip(&own)
		out[k] = &own
	}
	return out
}
