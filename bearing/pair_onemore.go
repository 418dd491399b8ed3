// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"cmp"
	"slices"
)

// Help is what one more shell of a grade, or of a wall at hand, would change.
type Help struct {
	Half               Half
	ID                 string // of the grade, or of the first shell with that wall
	Wall               float64
	LargestDepartureUM float64 // with one more
	SumOfSquaresUM2    float64
	GainUM             float64 // largest departure now less with one more
	GainUM2            float64 // sum of squares now less with one more
	ProvenBest         bool    // both sides of the gains are proven
}

// OneMore returns, for every grade and every wall at hand, how much one more
// such shell would help: the most helpful first, in order of the largest
// departure, then the sum of squares, then half and wall. base is the pairing
// without it. Each case may take the whole budget.
//
// A gain is never below zero for a proven pairing, since a spare may stay a
// spare.
func OneMore(in PairingInput, base Pairing, budget Budget) ([]Help, error) {
	var list []Help
	for _, h := range []Half{Upper, Lower} {
		for _, s := range in.kinds(h) {
			more := in
			more.Grades = append(slices.Clone(in.Grades), Grade{ID: "\x00one more", Wall: s.Wall, Count: 1, Half: h})
			p, err := Pair(more, budget)
			if err != nil {
				return nil, err
			}
			list = append(list, Help{
				Half: h, ID: s.ID, Wall: s.Wall,
				LargestDepartureUM: p.LargestDepartureUM, SumOfSquaresUM2: p.SumOfSquaresUM2,
				GainUM:     base.LargestDepartureUM - p.LargestDepartureUM,
				GainUM2:    base.SumOfSquaresUM2 - p.SumOfSquaresUM2,
				ProvenBest: base.ProvenBest && p.ProvenBest,
			})
		}
	}
	slices.SortStableFunc(list, func(a, b Help) int {
		return cmp.Or(cmp.Compare(b.GainUM, a.GainUM), cmp.Compare(b.GainUM2, a.GainUM2))
	})
	return list, nil
}

// kinds lists the different walls of one half, the thickest first, each by the
// first shell or grade that has it.
func (in PairingInput) kinds(h Half) (list []Shell) {
	shells := in.Uppers
	if h == Lower {
		shells = in.Lowers
	}
	list = slices.Clone(shells)
	for _, g := range in.Grades {
		if g.Half == h {
			list = append(list, Shell{g.ID, g.Wall})
		}
	}
	slices.SortStableFunc(list, func(a, b Shell) int { return cmp.Compare(b.Wall, a.Wall) })
	return slices.CompactFunc(list, func(a, b Shell) bool { return b.Wall-a.Wall < slack && a.Wall-b.Wall < slack })
}
