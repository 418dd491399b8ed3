// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"fmt"
	"math"
	"slices"
)

// Washer is a thrust washer or shim at hand, thickness in mm.
type Washer struct {
	ID        string
	Thickness float64
}

// FloatChoice is one way to put washers in and the end float that results, mm.
type FloatChoice struct {
	IDs      []string
	EndFloat float64
	Within   bool
}

// ChooseWashers returns the ways to fit count washers so that the end float lies
// within the limits, or nearest to them, the nearest to the middle first.
//
//	end float = gap − Σ thickness
//
// gap is the free width in mm that washers and float share: the float measured
// with the present washers plus their thickness. count is 1 or 2 (both sides of
// one thrust bearing, or one shim); each washer is used once. limits are of the
// float, mm. Ways with equal float come in the order of the input. It returns an
// error for a gap or a thickness that is not above zero, and for too few washers.
//
// Common practice, no source.
func ChooseWashers(gap float64, limits Limits, washers []Washer, count int) ([]FloatChoice, error) {
	if err := limits.check("end float"); err != nil {
		return nil, err
	}
	if !positive(gap) {
		return nil, fmt.Errorf("bearing: the gap must be above zero, got %g mm", gap)
	}
	if count < 1 || count > 2 {
		return nil, fmt.Errorf("bearing: one or two washers can be chosen, not %d", count)
	}
	if len(washers) < count {
		return nil, fmt.Errorf("bearing: %d washers are needed, %d are there", count, len(washers))
	}
	var list []FloatChoice
	add := func(ws ...Washer) {
		c := FloatChoice{EndFloat: gap}
		for _, w := range ws {
			c.IDs = append(c.IDs, w.ID)
			c.EndFloat -= w.Thickness
		}
		c.Within = limits.Has(c.EndFloat)
		list = append(list, c)
	}
	for i, w := range washers {
		if !positive(w.Thickness) {
			return nil, fmt.Errorf("bearing: washer %s: thickness must be above zero, got %g mm", w.ID, w.Thickness)
		}
		if count == 1 {
			add(w)
			continue
		}
		for _, v := range washers[i+1:] {
			add(w, v)
		}
	}
	off := func(c FloatChoice) float64 { return math.Abs(c.EndFloat - limits.Mid()) }
	slices.SortStableFunc(list, func(a, b FloatChoice) int {
		switch d := off(a) - off(b); {
		case math.Abs(d) <= slack:
			return 0
		case d < 0:
			return -1
		}
		return 1
	})
	return list, nil
}

// SideClearance returns the side clearance on a throw from measured widths, mm.
//
//	side clearance = width of the throw − Σ widths of the rods on it
//
// throw is the journal's width between its cheeks; rods are one, or two where
// two rods share a throw (they then share the clearance too). u² = Σ u². It
// returns an error if a width is not above zero, there is no rod or more than
// two, or the rods do not fit.
func SideClearance(throw Estimate, rods ...Estimate) (Estimate, error) {
	if len(rods) < 1 || len(rods) > 2 {
		return Estimate{}, fmt.Errorf("bearing: one or two rods stand on a throw, got %d", len(rods))
	}
	c := throw
	for i, w := range append([]Estimate{throw}, rods...) {
		if err := w.check("width"); err != nil {
			return Estimate{}, err
		}
		if w.Value <= 0 {
			return Estimate{}, fmt.Errorf("bearing: a width must be above zero, got %g mm", w.Value)
		}
		if i > 0 {
			c.Value -= w.Value
			c.U = math.Hypot(c.U, w.U)
		}
	}
	if c.Value < 0 {
		return Estimate{}, fmt.Errorf("bearing: the rods are %g mm wider than their throw", -c.Value)
	}
	return c, nil
}
