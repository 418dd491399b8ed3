// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"fmt"
	"math"
)

// RingModelU is the relative standard uncertainty of what thick rings say of a
// rod and its cap, which are no ring. Assumed, no source.
const RingModelU = 0.15

// CrushGrowth returns what crush adds to the bore inside the shells, mm of
// diameter, with its standard uncertainty, and the fit at the middle of the
// heights.
//
//	g = BoreChange(2·h/π) at the middle of the heights
//	u² = ((g(max) − g(min))²/12) + (RingModelU·g)²
//
// heights are the crush heights of one half shell that the maker allows, mm; the
// same twice for one that was measured. It returns an error for what
// [CrushInterference] and [CrushFit] refuse.
//
// Source: [CrushFit]; JCGM 100:2008, 4.3.7.
func CrushGrowth(heights Limits, s Seat) (Estimate, Crush, error) {
	if heights.Min > heights.Max {
		return Estimate{}, Crush{}, fmt.Errorf("bearing: crush heights from %g to %g mm stand the wrong way round", heights.Min, heights.Max)
	}
	var at [3]Crush
	for i, h := range [3]float64{heights.Min, heights.Mid(), heights.Max} {
		δ, err := CrushInterference(h)
		if err != nil {
			return Estimate{}, Crush{}, err
		}
		if at[i], err = CrushFit(δ, s); err != nil {
			return Estimate{}, Crush{}, err
		}
	}
	g := at[1].BoreChange
	spread := (at[2].BoreChange - at[0].BoreChange) / math.Sqrt(12)
	return Estimate{Value: g, U: math.Hypot(spread, RingModelU*g)}, at[1], nil
}
