// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"fmt"
	"math"
)

// StretchCase is a bolt's free length and its length under load, read with the
// same gauge.
type StretchCase struct {
	Bolt     Bolt
	Material Material
	// FreeNew is the length as delivered, mm; 0: not known.
	FreeNew float64
	// FreeBefore is the free length before this tightening, mm.
	FreeBefore float64
	// Tight is the length under load, mm; 0: not read.
	Tight float64
	// FreeAfter is the free length after loosening, mm; 0: not read.
	FreeAfter float64
	// LengthLimit is the greatest free length at which the bolt may be used
	// again, mm; 0: the sheet has none.
	LengthLimit float64
	// UsesMade and UsesAllowed count tightenings; UsesAllowed 0: no such limit.
	UsesMade, UsesAllowed int
	// LengthU is the standard uncertainty of one length reading, mm; 0: not
	// known. The stretch is a difference of two and gets √2 of it.
	LengthU float64
}

// StretchResult is what the lengths say. A field that its readings are missing
// for is NaN, UsesLeft is −1.
type StretchResult struct {
	Stretch         float64 // Tight − FreeBefore, mm
	Preload         float64 // N
	PreloadU        float64 // standard uncertainty from LengthU, N
	PastYield       bool    // the stretch is more than elastic: Preload is the least yield load
	PermanentGrowth float64 // since new (or since FreeBefore), mm
	LengthLeft      float64 // LengthLimit less the free length, mm
	UsesLeft        int     // −1: nothing limits it
	Spent           bool    // over its limit: using it again is an obstacle
	Why             string  // in words, when Spent
}

// StretchPreload returns the preload from a bolt's measured stretch, its
// permanent growth, and the uses left.
//
//	F = (l_tight − l_free)/δ_stretch,  at most the yield load in pure tension
//
// The uses left are the fewer of UsesAllowed − UsesMade and the number of times
// that the growth of the last use fits into the length left to the limit.
//
// Lengths are above zero; under load the bolt isn't shorter than free. It
// returns an error otherwise. It doesn't allow for a bolt that was warm at one
// reading: 10 K are 12 µm on 100 mm of steel, as much as some stretches.
//
// Source: Hooke's law with the compliance of [Bolt.Compliance] (VDI 2230); the
// count of uses is common practice, no source.
func StretchPreload(c StretchCase) (StretchResult, error) {
	b, err := c.Bolt.Compliance()
	if err == nil {
		err = c.Material.Check()
	}
	if err != nil {
		return StretchResult{}, err
	}
	r, err := Growth(c)
	if err != nil || c.Tight == 0 {
		return r, err
	}
	r.Preload = r.Stretch / b.Stretch()
	r.PreloadU = math.Sqrt2 * c.LengthU / b.Stretch()
	// Torsion half gone or wholly: pure tension is the most it can hold.
	if yield := c.Material.Yield * circleArea(c.Bolt.SmallestDiameter()); r.Preload > yield {
		r.Preload, r.PastYield = yield, true
	}
	return r, nil
}

// Growth is [StretchPreload] without the preload: it needs neither the bolt's
// shape nor its material.
func Growth(c StretchCase) (StretchResult, error) {
	if err := c.check(); err != nil {
		return StretchResult{}, err
	}
	nan := math.NaN()
	r := StretchResult{Stretch: nan, Preload: nan, PreloadU: nan, PermanentGrowth: nan, LengthLeft: nan, UsesLeft: -1}
	if c.Tight > 0 {
		r.Stretch = c.Tight - c.FreeBefore
	}
	c.growth(&r)
	c.uses(&r)
	return r, nil
}

func (c StretchCase) check() error {
	err := above("free length before", c.FreeBefore, "mm", "measure the bolt before it is tightened")
	if err == nil && c.Tight != 0 {
		err = within("length under load", c.Tight, c.FreeBefore, 1.1*c.FreeBefore, "mm",
			fmt.Sprintf("the free length is %.6g mm; measure again", c.FreeBefore))
	}
	if err == nil && c.FreeAfter != 0 {
		err = within("free length after", c.FreeAfter, 0.999*c.FreeBefore, 1.1*c.FreeBefore, "mm",
			fmt.Sprintf("it was %.6g mm before; measure again", c.FreeBefore))
	}
	if err == nil && !(c.LengthU >= 0) {
		err = above("uncertainty of a length", c.LengthU, "mm", "leave it out if it isn't known")
	}
	return err
}

// growth fills in what stayed.
func (c StretchCase) growth(r *StretchResult) {
	now := c.now()
	switch {
	case c.FreeNew > 0:
		r.PermanentGrowth = now - c.FreeNew
	case c.FreeAfter > 0:
		r.PermanentGrowth = c.FreeAfter - c.FreeBefore
	}
	if c.LengthLimit > 0 {
		r.LengthLeft = c.LengthLimit - now
	}
}

// now is the last free length read.
func (c StretchCase) now() float64 {
	if c.FreeAfter > 0 {
		return c.FreeAfter
	}
	return c.FreeBefore
}

// uses fills in how often the bolt may be used again.
func (c StretchCase) uses(r *StretchResult) {
	if c.UsesAllowed > 0 {
		r.UsesLeft = max(0, c.UsesAllowed-c.UsesMade)
		if r.UsesLeft == 0 {
			r.Spent = true
			r.Why = fmt.Sprintf("tightened %d times, %d allowed; use a new bolt", c.UsesMade, c.UsesAllowed)
		}
	}
	if c.LengthLimit <= 0 {
		return
	}
	if r.LengthLeft < 0 {
		r.UsesLeft, r.Spent = 0, true
		r.Why = fmt.Sprintf("%.4g mm long, %.4g mm allowed; use a new bolt", c.now(), c.LengthLimit)
		return
	}
	if last := c.FreeAfter - c.FreeBefore; c.FreeAfter > 0 && last > 0 {
		left := int(math.Min(r.LengthLeft/last, 1000))
		if r.UsesLeft < 0 || left < r.UsesLeft {
			r.UsesLeft = left
		}
		if r.UsesLeft == 0 && !r.Spent {
			r.Spent = true
			r.Why = fmt.Sprintf("grew %.4g mm last time and %.4g mm are left to its limit; use a new bolt", last, r.LengthLeft)
		}
	}
}
