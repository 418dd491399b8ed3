// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
)

// Limits is a closed interval of what is allowed; an absent limit is infinite.
// The zero value allows exactly 0: make Limits with [Between], [AtMost] or
// [AtLeast].
type Limits struct{ Min, Max float64 }

// Between allows min to max, both included.
func Between(min, max float64) Limits { return Limits{min, max} }

// AtMost allows everything up to max.
func AtMost(max float64) Limits { return Limits{math.Inf(-1), max} }

// AtLeast allows everything from min.
func AtLeast(min float64) Limits { return Limits{min, math.Inf(1)} }

// HasMin says whether there is a lower limit.
func (l Limits) HasMin() bool { return !math.IsInf(l.Min, -1) }

// HasMax says whether there is an upper limit.
func (l Limits) HasMax() bool { return !math.IsInf(l.Max, 1) }

// Middle returns the middle of two limits and whether there are two.
func (l Limits) Middle() (float64, bool) {
	return l.Min + (l.Max-l.Min)/2, l.HasMin() && l.HasMax()
}

// Validate returns an error that wraps [ErrLimits] unless there is at least
// one limit, none is NaN, and they stand the right way round.
func (l Limits) Validate() error {
	switch {
	case math.IsNaN(l.Min) || math.IsNaN(l.Max):
		return fmt.Errorf("%w: a limit is not a number", ErrLimits)
	case math.IsInf(l.Min, 1) || math.IsInf(l.Max, -1):
		return fmt.Errorf("%w: nothing would be allowed", ErrLimits)
	case !l.HasMin() && !l.HasMax():
		return fmt.Errorf("%w: at least one limit is needed", ErrLimits)
	case l.Min > l.Max:
		return fmt.Errorf("%w: the lower limit %g is above the upper limit %g", ErrLimits, l.Min, l.Max)
	}
	return nil
}
