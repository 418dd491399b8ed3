// SPDX-License-Identifier: Apache-2.0

package life

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/optimize"
)

// Look is one thing that was looked at once.
type Look struct {
	Run    float64 // distance since new, above 0
	Needed bool    // it was found worn: its life lies at or before Run
}

// What a fit needs before it is made, and the shapes that it may have. Common
// practice, no source: fewer of one sort say almost nothing about the shape.
const (
	LeastLooks = 8
	LeastEach  = 3
	leastShape = 0.3
	mostShape  = 15
)

// ErrTooFew says that what was found does not tell a distribution.
var ErrTooFew = errors.New("life: not enough was found to tell how long it lasts")

// Fit returns the Weibull distribution under which what was found is most
// likely:
//
//	ln L = Σ_{found worn} ln[1 − S(x)] + Σ_{found sound} ln S(x)
//
// The maximum is looked for by the simplex of Nelder and Mead in ln β and ln η.
//
// It returns a *[RangeError] for a distance that is not above 0, and an error
// that wraps [ErrTooFew] below [LeastLooks] looks or [LeastEach] of either sort,
// or where the most likely shape is none of wear: all that is sound ran less
// than all that is worn, or the longer something ran the sounder it is.
//
// Source: W. Nelson, Applied Life Data Analysis (1982), parts inspected once
// (from memory).
func Fit(looks []Look) (Weibull, error) {
	worn, mean := 0, 0.0
	for _, l := range looks {
		if !(l.Run > 0) || math.IsInf(l.Run, 0) {
			return Weibull{}, &RangeError{"distance run", l.Run, "above 0"}
		}
		if l.Needed {
			worn++
		}
		mean += l.Run / float64(len(looks))
	}
	if len(looks) < LeastLooks || worn < LeastEach || len(looks)-worn < LeastEach {
		return Weibull{}, fmt.Errorf("%w: %d looked at, %d of them worn; it takes %d, and %d of either sort", ErrTooFew, len(looks), worn, LeastLooks, LeastEach)
	}
	at := func(x []float64) Weibull { return Weibull{Shape: math.Exp(x[0]), Scale: mean * math.Exp(x[1])} }
	problem := optimize.Problem{Func: func(x []float64) float64 { return -at(x).likelihood(looks) }}
	settings := &optimize.Settings{Converger: &optimize.FunctionConverge{Absolute: 1e-13, Relative: 1e-13, Iterations: 60}}
	r, err := optimize.Minimize(problem, []float64{math.Log(2), 0}, settings, &optimize.NelderMead{})
	if err != nil {
		return Weibull{}, fmt.Errorf("%w: %w", ErrTooFew, err)
	}
	w := at(r.X)
	if !(w.Shape >= leastShape && w.Shape <= mostShape) {
		return Weibull{}, fmt.Errorf("%w: wear and distance do not go together, or part at one distance (shape %.3g)", ErrTooFew, w.Shape)
	}
	return w, nil
}

// likelihood is ln L; -Inf where what was found can't be.
func (w Weibull) likelihood(looks []Look) float64 {
	if w.check() != nil {
		return math.Inf(-1)
	}
	sum := 0.0
	for _, l := range looks {
		h := w.cumulative(l.Run)
		if l.Needed {
			sum += math.Log(-math.Expm1(-h))
		} else {
			sum -= h
		}
	}
	return max(sum, -1e300) // the simplex wants numbers
}
