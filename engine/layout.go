// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"cmp"
	"slices"
	"strconv"

	"witnessmark/units"
)

// Kind is how the cylinders lie.
type Kind string

// The kinds of layout.
const (
	Inline Kind = "inline"
	Vee    Kind = "vee"
	Flat   Kind = "flat"
)

// Layout maps positions along the crankshaft to the maker's cylinders and to
// the throws that carry them.
type Layout struct {
	Kind        Kind               `yaml:"kind,required"`
	BankAngle   Value[units.Angle] `yaml:"bank_angle"`
	Rotation    string             `yaml:"rotation"`  // "clockwise" or "anticlockwise", seen from the front
	Numbering   string             `yaml:"numbering"` // the maker's way to count, in words
	Positions   []Position         `yaml:"positions,required"`
	AccessOrder []int              `yaml:"access_order"` // positions; empty: as the throws come round
	FiringOrder []string           `yaml:"firing_order"` // the maker's cylinders
	Basis       `yaml:"-"`
}

// Position is one big end.
type Position struct {
	Number   int         `yaml:"number,required"`   // from the front, 1 to 16
	Cylinder string      `yaml:"cylinder,required"` // the maker's number or name
	Throw    int         `yaml:"throw,required"`    // from the front, 1 and up
	Angle    units.Angle `yaml:"angle,required"`    // see [Sheet.AccessOrder]
}

// Name returns "4 cyl B2": the position, and the cylinder beside it.
func (p Position) Name() string {
	return strconv.Itoa(p.Number) + " cyl " + p.Cylinder
}

// Positions returns the positions from the front.
func (s *Sheet) Positions() []Position { return slices.Clone(s.Layout.Positions) }

// Position returns position n.
func (s *Sheet) Position(n int) (Position, bool) {
	for _, p := range s.Layout.Positions {
		if p.Number == n {
			return p, true
		}
	}
	return Position{}, false
}

// Throws returns the positions that share each throw, from the front.
func (s *Sheet) Throws() [][]int {
	most := 0
	for _, p := range s.Layout.Positions {
		most = max(most, p.Throw)
	}
	out := make([][]int, most)
	for _, p := range s.Layout.Positions {
		out[p.Throw-1] = append(out[p.Throw-1], p.Number)
	}
	return out
}

// AccessOrder returns the positions in the order in which a technician comes
// to them. It is the sheet's own order, else the order in which the throws
// come round: a position's angle is how far the crank turns in its running
// direction from where throw 1 stands lowest until this throw does. Positions
// at the same angle follow from the front.
func (s *Sheet) AccessOrder() []int {
	if len(s.Layout.AccessOrder) > 0 {
		return slices.Clone(s.Layout.AccessOrder)
	}
	ps := s.Positions()
	slices.SortStableFunc(ps, func(a, b Position) int {
		if x, y := a.Angle, b.Angle; x != y {
			return cmp.Compare(x, y)
		}
		return a.Number - b.Number
	})
	out := make([]int, len(ps))
	for i, p := range ps {
		out[i] = p.Number
	}
	return out
}
