// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"fmt"
	"math"
	"slices"
)

// Washer is a thrust washer or shim at hand.
type Washer struct {
	ID        string
	Thickness Estimate
	// Count is how many are at hand; 0 stands for as many as are asked for.
	Count int
}

// FloatChoice is one way to put washers in and the end float that results.
type FloatChoice struct {
	IDs      []string
	EndFloat Estimate
	Within   bool // the value alone; its spread is for a decision rule
}

// FloatGap returns the free width, mm, that washers and end float share.
//
//	gap = float + Σ thickness;  u² = Σ u²
//
// float is the end float measured with the present washers in, at least 0, and
// present are their thicknesses, each above 0, one or two of them. It returns an
// error for anything else. Wear of the faces that the washers run on is in the
// gap already; what pressing or cleaning new washers adds is not.
//
// Common practice, no source.
func FloatGap(float Estimate, present ...Estimate) (Estimate, error) {
	if err := float.check("end float"); err != nil {
		return Estimate{}, err
	}
	if float.Value < 0 {
		return Estimate{}, fmt.Errorf("bearing: an end float is at least 0 mm, got %g", float.Value)
	}
	if len(present) < 1 || len(present) > 2 {
		return Estimate{}, fmt.Errorf("bearing: one or two washers share an end float, got %d", len(present))
	}
	gap := float
	for _, t := range present {
		if err := checkThickness("present washer", t); err != nil {
			return Estimate{}, err
		}
		gap = Estimate{gap.Value + t.Value, math.Hypot(gap.U, t.U)}
	}
	return gap, nil
}

// NeededThickness returns how thick washers must be together, mm, for an end
// float in the middle of the limits; below zero where the gap is too narrow.
//
//	Σ thickness = gap − (Min + Max)/2
//
// gap is in mm, see [FloatGap]; limits are of the float. Common practice, no
// source.
func NeededThickness(gap float64, limits Limits) float64 { return gap - limits.Mid() }

// ChooseWashers returns the ways to fit count washers, the one whose end float
// lies nearest to the middle of the limits first.
//
//	end float = gap − Σ thickness;  u² = u(gap)² + Σ u²
//
// gap is the free width that washers and float share, see [FloatGap]. count is 1
// or 2 (both sides of one thrust bearing, or one shim); no washer is used more
// often than it is at hand. limits are of the float, mm. Ways with equal float
// come in the order of the input; one whose float would be below zero does not go
// in, and is listed all the same, so that nobody wonders where it is. It returns an
// error for a gap or a thickness that is not above zero, a count below zero, and
// for too few washers.
//
// Common practice, no source.
func ChooseWashers(gap Estimate, limits Limits, washers []Washer, count int) ([]FloatChoice, error) {
	if err := checkWashers(gap, limits, washers, count); err != nil {
		return nil, err
	}
	var list []FloatChoice
	add := func(ws ...Washer) {
		c := FloatChoice{EndFloat: gap}
		for _, w := range ws {
			c.IDs = append(c.IDs, w.ID)
			c.EndFloat = Estimate{c.EndFloat.Value - w.Thickness.Value, math.Hypot(c.EndFloat.U, w.Thickness.U)}
		}
		c.Within = limits.Has(c.EndFloat.Value)
		list = append(list, c)
	}
	for i, w := range washers {
		if count == 1 {
			add(w)
			continue
		}
		if w.Count != 1 {
			add(w, w)
		}
		for _, v := range washers[i+1:] {
			add(w, v)
		}
	}
	off := func(c FloatChoice) float64 { return math.Abs(c.EndFloat.Value - limits.Mid()) }
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

func checkWashers(gap Estimate, limits Limits, washers []Washer, count int) error {
	if err := limits.check("end float"); err != nil {
		return err
	}
	if err := gap.check("gap"); err != nil {
		return err
	}
	if !positive(gap.Value) {
		return fmt.Errorf("bearing: the gap must be above zero, got %g mm", gap.Value)
	}
	if count < 1 || count > 2 {
		return fmt.Errorf("bearing: one or two washers can be chosen, not %d", count)
	}
	have := 0
	for _, w := range washers {
		if err := checkThickness("washer "+w.ID, w.Thickness); err != nil {
			return err
		}
		switch {
		case w.Count < 0:
			return fmt.Errorf("bearing: washer %s: %d are at hand", w.ID, w.Count)
		case w.Count == 0:
			have += count
		default:
			have += w.Count
		}
	}
	if have < count {
		return fmt.Errorf("bearing: %d washers are needed, %d are there", count, have)
	}
	return nil
}

func checkThickness(what string, t Estimate) error {
	if err := t.check(what); err != nil {
		return err
	}
	if !positive(t.Value) {
		return fmt.Errorf("bearing: %s: thickness must be above zero, got %g mm", what, t.Value)
	}
	return nil
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
