// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"slices"

	"witnessmark/engine"
)

// wheelsAt is what the record has of the wheels up to a sequence; nil while
// nobody said anything, which is as good as lifted.
func (s State) wheelsAt(upTo int64) *Noted[WheelsLoaded] {
	var last *Noted[WheelsLoaded]
	for i := range s.Wheels {
		if s.Wheels[i].At.Seq <= upTo {
			last = &s.Wheels[i]
		}
	}
	return last
}

func standing(n *Noted[WheelsLoaded]) bool { return n != nil && *n.Body.Loaded }

// Wheels is the last entry about the wheels, nil without one, and whether the
// vehicle stands on them by it.
func Wheels(s State) (*Noted[WheelsLoaded], bool) {
	last := s.wheelsAt(math.MaxInt64)
	return last, standing(last)
}

// WaitsForWheels reports whether stages of a fastener are held back until the
// vehicle stands on its wheels.
func WaitsForWheels(s State, f engine.Fastener) bool {
	_, loaded := Wheels(s)
	return f.LoadedWheels && !loaded
}

// closedBy is the check that a fastener is tight for. One that is tightened
// only on the wheels comes after the engine is closed and the vehicle let
// down, and before the engine is started.
func closedBy(f engine.Fastener) Check {
	if f.LoadedWheels {
		return Start
	}
	return CloseUp
}

// unloaded asks that what the sheet has tightened on the wheels was: a final
// stage made before the wheels were loaded on record counts, but stands in
// the way, for a joint tightened hanging free is wound up on the road.
func (a *assessor) unloaded(f engine.Fastener, position int) {
	if !f.LoadedWheels {
		return
	}
	var stages []string
	var rests []int64
	for _, name := range boltNames(f) {
		t := a.bolt(f.ID, position, name).current(math.MaxInt64)
		if t.kind != Final {
			continue
		}
		for _, st := range t.stages {
			if standing(a.s.wheelsAt(st.At.Seq)) {
				continue
			}
			rests = append(rests, st.At.Seq)
			if title := StageTitle(f, st.Stage); !slices.Contains(stages, title) {
				stages = append(stages, title)
			}
		}
	}
	a.bolted(Obstacle{Check: Start, Position: position, Of: f.ID, Title: f.Title}, WheelsFree, stages, rests)
}

// waits reports whether an obstacle is about a fastener that is held back.
func (v *shower) waits(o Obstacle) bool {
	if v.basis.Sheet == nil {
		return false
	}
	f, ok := v.basis.Sheet.Fastener(o.Of)
	return ok && WaitsForWheels(v.s, f)
}
