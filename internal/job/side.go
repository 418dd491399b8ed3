// SPDX-License-Identifier: Apache-2.0

package job

import (
	"cmp"
	"slices"
	"strconv"
)

// Side is the side clearance of one rod, or of the rods that share a throw,
// which have one between them.
type Side struct {
	Throw     int        `json:"throw"`
	Positions []int      `json:"positions"`
	Per       string     `json:"per"` // rod or throw
	Read      *Clearance `json:"read,omitempty"`
}

// sides decides every side clearance. One reading at any position of a shared
// throw is that of the throw.
func (a *assessor) sides() []Side {
	var out []Side
	throw := a.b.Sheet.PerThrow()
	for i, ps := range a.b.Sheet.Throws() {
		if throw && len(ps) > 0 {
			out = append(out, Side{Throw: i + 1, Positions: ps, Per: "throw", Read: a.sideOf(ps)})
			continue
		}
		for _, p := range ps {
			out = append(out, Side{Throw: i + 1, Positions: []int{p}, Per: "rod", Read: a.sideOf([]int{p})})
		}
	}
	return out
}

// sideOf combines what was read at the positions of one throw.
func (a *assessor) sideOf(ps []int) *Clearance {
	var read []*Noted[Reading]
	for _, p := range ps {
		read = append(read, a.countable(OfSideClearance, AsFitted, p, a.readings(OfSideClearance, AsFitted, p))...)
	}
	slices.SortFunc(read, func(x, y *Noted[Reading]) int { return cmp.Compare(x.At.Seq, y.At.Seq) })
	return a.combined(OfSideClearance, AsFitted, ps[0], read)
}

// side is the side clearance that a position shares in.
func (a *assessor) side(position int) *Clearance {
	for _, s := range a.out.Sides {
		if slices.Contains(s.Positions, position) {
			return s.Read
		}
	}
	return nil
}

// playObstacles ask for end float and side clearance where the sheet limits
// them, and hold what was read against that.
func (a *assessor) playObstacles() {
	var missing []string
	for _, s := range a.out.Sides {
		switch {
		case s.Read != nil:
			a.limitObstacleOf(*s.Read, s.Positions, OfSideClearance)
		case a.b.Sheet.SideClearance.Limit.Given():
			missing = append(missing, a.sideName(s))
		}
	}
	if len(missing) > 0 {
		a.add(Obstacle{Code: PlayMissing, Check: CloseUp, Of: OfSideClearance, Items: missing})
	}
	switch {
	case a.out.EndFloat != nil:
		a.limitObstacle(*a.out.EndFloat, 0, OfEndFloat)
	case a.b.Sheet.EndFloat.Given():
		a.add(Obstacle{Code: PlayMissing, Check: CloseUp, Of: OfEndFloat})
	}
}

func (a *assessor) sideName(s Side) string { return sideName(s.Throw, s.Positions, s.Per, a.b.Namer()) }

// sideName is "throw 2" or "position 3 (A2)".
func sideName(throw int, ps []int, per string, name PositionNamer) string {
	if per == "throw" {
		return "throw " + strconv.Itoa(throw)
	}
	return "position " + name(ps[0])
}
