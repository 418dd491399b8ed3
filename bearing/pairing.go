// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"fmt"
	"math"
)

// Bore is one position to be fitted: measured housing bore and journal, mm.
// Growth is what the crush adds to the bore ([Crush.BoreChange]); zero if it is
// left out of the account.
type Bore struct {
	Position             int
	HousingBore, Journal float64
	Growth               float64
}

// Shell is one half shell with its measured wall at the crown, mm.
type Shell struct {
	ID   string
	Wall float64
}

// Half says which half of a bearing a shell is for.
type Half string

// The two halves.
const (
	Upper Half = "upper"
	Lower Half = "lower"
)

// Grade is a number of like shells known by their grade's wall, mm.
type Grade struct {
	ID    string
	Wall  float64
	Count int
	Half  Half
}

// Fitting puts two shells in a position.
type Fitting struct {
	Position     int
	Upper, Lower string
}

// PairingInput is a set of positions and the shells to choose from.
//
// Pairs are shells that must stay together: both halves in one position, or
// both left over. Committed are positions already decided.
type PairingInput struct {
	Target         float64 // clearance, mm
	Limits         *Limits // of the clearance, mm; nil if there are none
	JournalLimits  *Limits // of a sound journal, mm; nil if not known
	Bores          []Bore
	Uppers, Lowers []Shell
	Grades         []Grade
	Pairs          [][2]string // upper, lower
	Committed      []Fitting
	// Undersizes are the steps to which journals can be ground, mm; nil means
	// [CommonUndersizes].
	Undersizes []float64
	// Ground are the sizes of sound journals that were ground to an undersize.
	Ground []Ground
	// UndersizeOf is the undersize, mm, of the journals that a shell or grade is
	// for; standard where it names none.
	UndersizeOf map[string]float64
}

// Ground is the size of a journal that was ground to an undersize, mm.
type Ground struct {
	Undersize float64
	Journal   Limits
}

// Fit is what a pairing puts in one position and the clearance that results.
type Fit struct {
	Position     int
	Upper, Lower string
	Clearance    float64 // mm
	Departure    float64 // clearance less target, mm
	WithinLimits bool    // true when there are no limits
}

// Pairing is the best assignment found, in the order of the input's positions.
type Pairing struct {
	LargestDepartureUM float64
	SumOfSquaresUM2    float64
	// ProvenBest: no assignment has a smaller largest departure, and none with
	// the same one a smaller sum of squares.
	ProvenBest bool
	// BoundUM is a proven lower bound of the largest departure, and SquaresBound
	// one of the sum of squares at the largest departure found.
	BoundUM          float64
	SquaresBoundUM2  float64
	Fits             []Fit
	ResolutionUM     float64 // the unit in which the search counts
	Steps            int64   // what the search took
	AllWithin        bool    // every position within the limits
	LimitsAttainable Answer  // whether any assignment keeps every position within the limits
	// Within is an assignment that keeps every position within the limits,
	// given when Fits does not and one was found.
	Within []Fit
}

// Answer is yes, no, or not known within the budget.
type Answer string

// The answers.
const (
	Yes     Answer = "yes"
	No      Answer = "no"
	Unknown Answer = "unknown"
)

// Budget limits a search by a count of steps, never by time. A step is one
// look at a possible fit; a few million pass in 10 ms.
type Budget struct{ Steps int64 }

// DefaultBudget ends the hardest searches within about a second.
var DefaultBudget = Budget{Steps: 30_000_000}

// Pair assigns an upper and a lower shell to every position so that the largest
// departure of a clearance from target is least and, among those assignments,
// the sum of the squared departures is least. Spare shells may be left over.
//
//	departure = housing bore + growth − journal − upper wall − lower wall − target
//
// This is numerical 3-dimensional matching, NP-hard in general (Garey and
// Johnson, SP16). The method is exact where the budget allows: bounds from
// majorisation and from Lagrange multipliers on the shells, a local search for
// good assignments, and branch and bound for the rest. When the budget ends
// first, ProvenBest is false and the bounds say how much is left.
//
// Lengths are mm; walls and bores count in steps of the coarsest of 1, 0.1,
// 0.01 and 0.001 µm that fits them all, and are rounded to 0.001 µm. The same
// input and budget give the same answer on every machine; equal walls are
// handed out in the order of the input.
//
// It returns an error, wrapping [ErrTooFewShells] where that is the reason, if
// there are fewer shells than positions, an id stands twice or is unknown, or a
// size is not a positive number. A budget of zero means [DefaultBudget].
func Pair(in PairingInput, budget Budget) (Pairing, error) {
	p, err := newProblem(in)
	if err != nil {
		return Pairing{}, err
	}
	if budget.Steps <= 0 {
		budget = DefaultBudget
	}
	s := newSearch(p, budget.Steps)
	s.solve()
	return s.result(in)
}

func (in PairingInput) check() error {
	if !positive(in.Target) {
		return fmt.Errorf("bearing: target clearance must be above zero, got %g mm", in.Target)
	}
	if in.Limits != nil {
		if err := in.Limits.check("clearance limits"); err != nil {
			return err
		}
	}
	if len(in.Bores) == 0 {
		return fmt.Errorf("bearing: no positions")
	}
	seen := map[int]bool{}
	for _, b := range in.Bores {
		if seen[b.Position] {
			return fmt.Errorf("bearing: position %d stands twice", b.Position)
		}
		seen[b.Position] = true
		if err := b.check(); err != nil {
			return err
		}
	}
	return in.checkShells()
}

func (b Bore) check() error {
	switch {
	case !positive(b.HousingBore) || !positive(b.Journal) || !finite(b.Growth):
		return fmt.Errorf("bearing: position %d: housing bore and journal must be above zero", b.Position)
	case b.Journal >= b.HousingBore:
		return fmt.Errorf("bearing: position %d: the journal, %g mm, is not smaller than its housing bore, %g mm", b.Position, b.Journal, b.HousingBore)
	}
	return nil
}

func (in PairingInput) checkShells() error {
	for half, shells := range map[Half][]Shell{Upper: in.Uppers, Lower: in.Lowers} {
		for _, s := range shells {
			if s.ID == "" {
				return fmt.Errorf("bearing: an %s shell has no id", half)
			}
			if !positive(s.Wall) {
				return fmt.Errorf("bearing: %s shell %s: the wall must be above zero, got %g mm", half, s.ID, s.Wall)
			}
		}
	}
	for _, g := range in.Grades {
		switch {
		case g.Half != Upper && g.Half != Lower:
			return fmt.Errorf("bearing: grade %s: half must be upper or lower, got %q", g.ID, g.Half)
		case !positive(g.Wall):
			return fmt.Errorf("bearing: grade %s: the wall must be above zero, got %g mm", g.ID, g.Wall)
		case g.Count < 0:
			return fmt.Errorf("bearing: grade %s: the count %d is below zero", g.ID, g.Count)
		}
	}
	return nil
}

func positive(v float64) bool { return v > 0 && !math.IsInf(v, 0) }
