// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"math"
)

// PairingAdopted chooses shells for positions. Nothing is fitted by it: the page
// of the shells proposes them. A later choice takes its place; it is undone by a
// correction.
type PairingAdopted struct {
	Fits []PairedShells `json:"fits"`
	// What it promised when it was adopted.
	TargetMM           float64 `json:"target_mm"`
	LargestDepartureUM float64 `json:"largest_departure_um"`
	SumOfSquaresUM2    float64 `json:"sum_of_squares_um2"`
	ProvenBest         bool    `json:"proven_best"`
	BoundUM            float64 `json:"bound_um"`
	Aside              []int   `json:"left_aside,omitempty"` // positions that it leaves out
	Reason             string  `json:"reason,omitempty"`
}

// PairedShells are the shells for one position and the clearance they make by
// the sizes that were known then.
type PairedShells struct {
	Position    int     `json:"position"`
	Upper       Shell   `json:"upper"`
	Lower       Shell   `json:"lower"`
	ClearanceMM float64 `json:"clearance_mm"`
}

func (b *PairingAdopted) check() error {
	if len(b.Fits) == 0 {
		return errors.New("no position has shells chosen for it")
	}
	seen := map[int]bool{}
	for _, f := range b.Fits {
		if err := checkPosition(f.Position); err != nil {
			return err
		}
		if seen[f.Position] {
			return fmt.Errorf("position %d stands twice", f.Position)
		}
		seen[f.Position] = true
		for half, s := range map[string]Shell{Upper: f.Upper, Lower: f.Lower} {
			if err := firstError(checkText(half+" shell", s.ID), checkLength("part", s.Part), checkLength("batch", s.Batch)); err != nil {
				return err
			}
		}
		if !(math.Abs(f.ClearanceMM) < 10) {
			return fmt.Errorf("position %d: a clearance of %g mm is none", f.Position, f.ClearanceMM)
		}
	}
	for _, x := range []float64{b.TargetMM, b.LargestDepartureUM, b.SumOfSquaresUM2, b.BoundUM} {
		if !(x >= 0) || math.IsInf(x, 0) {
			return fmt.Errorf("%g is below zero or no number", x)
		}
	}
	return checkLength("reason", b.Reason)
}

func (b *PairingAdopted) apply(s *State, at At) {
	s.Pairing = &Noted[PairingAdopted]{At: at, Body: *b}
}

// For is the choice for one position.
func (b PairingAdopted) For(position int) (PairedShells, bool) {
	for _, f := range b.Fits {
		if f.Position == position {
			return f, true
		}
	}
	return PairedShells{}, false
}

func (b *PairingAdopted) words(name PositionNamer) string {
	var w []string
	for _, f := range b.Fits {
		w = append(w, fmt.Sprintf("position %s %s and %s", name(f.Position), f.Upper.ID, f.Lower.ID))
	}
	return "Shells chosen: " + list(w) + fmt.Sprintf(". Largest departure from target %s µm", micro(b.LargestDepartureUM/1000)) + map[bool]string{true: ", proven best.", false: ", best found."}[b.ProvenBest]
}
