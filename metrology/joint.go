// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
)

// Joint is the chance that several things all lie within their limits.
//
// Independent is the product, right when the spreads have nothing in common.
// Whatever they have in common (one gauge, one batch of strip), the chance is
// between AtLeast and AtMost.
type Joint struct{ Independent, AtLeast, AtMost float64 }

// JointWithin returns the chance that all of ps happen, each in [0, 1]:
//
//	Independent = Πp,  AtLeast = max(0, 1 − Σ(1−p)),  AtMost = min p
//
// The bounds are Bonferroni's inequality and the rarest of them; none of ps
// gives 1. It returns an error wrapping [ErrInput] for p outside [0, 1].
func JointWithin(ps []float64) (Joint, error) {
	j := Joint{1, 1, 1}
	for i, p := range ps {
		if !(p >= 0 && p <= 1) {
			return Joint{}, fmt.Errorf("%w: probability %d is %g, not between 0 and 1", ErrInput, i+1, p)
		}
		j.Independent *= p
		j.AtLeast -= 1 - p
		j.AtMost = math.Min(j.AtMost, p)
	}
	j.AtLeast = math.Max(0, j.AtLeast)
	return j, nil
}
