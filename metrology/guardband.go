// SPDX-License-Identifier: Apache-2.0

package metrology

import "fmt"

// AcceptanceLimits returns the readings that a gauge with the spread of m (its
// value does not matter) can have and still prove 'within l' with the given
// confidence, in (0, 1), and whether there are any. Their distance from l is
// the guard band; with a confidence under one half they lie outside l.
//
// Errors as [Decide].
//
// Source: JCGM 106:2012, 8.3; for 95 %, ISO 14253-1:2017.
func AcceptanceLimits(m Measurement, l Limits, confidence float64) (accept Limits, possible bool, err error) {
	if err := m.Validate(); err != nil {
		return l, false, err
	}
	if err := l.Validate(); err != nil {
		return l, false, err
	}
	if !(confidence > 0 && confidence < 1) {
		return l, false, fmt.Errorf("%w: %g is not between 0 and 1", ErrConfidence, confidence)
	}
	s := m.spread()
	mid, both := l.Middle()
	if !both { // one limit: the guard band is the one-sided reach
		k := s.reach(1 - confidence)
		return Limits{l.Min + k, l.Max - k}, true, nil
	}
	within := func(y float64) float64 { return s.between(l.Min-y, l.Max-y) }
	if within(mid) < confidence {
		return l, false, nil
	}
	// Falls from the middle outwards; far enough out it is under any confidence.
	in, out := mid, l.Max+s.h+40*s.u
	for range 200 {
		y := in + (out-in)/2
		if y == in || y == out {
			break
		}
		if within(y) >= confidence {
			in = y
		} else {
			out = y
		}
	}
	return Limits{mid - (in - mid), in}, true, nil
}
