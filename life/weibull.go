// SPDX-License-Identifier: Apache-2.0

package life

import (
	"fmt"
	"math"
)

// Weibull is a distribution of lives:
//
//	S(x) = exp[−(x/η)^β]
//
// Shape β tells wear-out (above 1) from chance (1) and early failures (below
// 1). Scale η is the characteristic life, which 1 − 1/e = 63.2 % do not reach.
type Weibull struct {
	Shape float64 // β, above 0
	Scale float64 // η, above 0, in the unit of distance
}

// RangeError says that a figure is outside the interval that it may have.
type RangeError struct {
	What  string
	Value float64
	Want  string
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("life: %s is %g; it is %s", e.What, e.Value, e.Want)
}

func (w Weibull) check() error {
	switch {
	case !(w.Shape > 0) || math.IsInf(w.Shape, 0):
		return &RangeError{"shape", w.Shape, "above 0"}
	case !(w.Scale > 0) || math.IsInf(w.Scale, 0):
		return &RangeError{"characteristic life", w.Scale, "above 0"}
	}
	return nil
}

// cumulative is the cumulative hazard H(x) = (x/η)^β, so that S = exp(−H).
func (w Weibull) cumulative(x float64) float64 { return math.Pow(x/w.Scale, w.Shape) }

// Survival returns the share S(x) that lasts longer than x, in [0, 1]. x is not
// below 0.
//
// It returns a *[RangeError] if x, shape or scale is outside its interval.
func (w Weibull) Survival(x float64) (float64, error) {
	if err := w.check(); err != nil {
		return 0, err
	}
	if !(x >= 0) {
		return 0, &RangeError{"distance", x, "not below 0"}
	}
	return math.Exp(-w.cumulative(x)), nil
}

// Within returns the chance that what has lasted run is needed before it has
// run further as well:
//
//	p = 1 − S(d+h)/S(d) = 1 − exp[(d/η)^β − ((d+h)/η)^β]
//
// d is run and h further, both not below 0, in the unit of the scale. p is in
// [0, 1]: 0 for h = 0, and for β = 1 the same whatever has been run.
//
// It returns a *[RangeError] if a figure is outside its interval.
//
// Source: conditional reliability of the Weibull distribution, any textbook of
// reliability; W. Nelson, Applied Life Data Analysis (1982), from memory.
func (w Weibull) Within(run, further float64) (float64, error) {
	if err := w.check(); err != nil {
		return 0, err
	}
	if !(run >= 0) || math.IsInf(run, 0) {
		return 0, &RangeError{"distance run", run, "not below 0"}
	}
	if !(further >= 0) {
		return 0, &RangeError{"distance still to run", further, "not below 0"}
	}
	before, after := w.cumulative(run), w.cumulative(run+further)
	if after == before { // also where both are too large to tell apart
		return map[bool]float64{true: 0, false: 1}[further == 0 || !math.IsInf(after, 1)], nil
	}
	return -math.Expm1(before - after), nil
}

// Quantile returns the distance that the share p does not reach, x = η
// [−ln(1−p)]^(1/β): B10 for p = 0.1. p is in [0, 1).
//
// It returns a *[RangeError] if a figure is outside its interval.
func (w Weibull) Quantile(p float64) (float64, error) {
	if err := w.check(); err != nil {
		return 0, err
	}
	if !(p >= 0 && p < 1) {
		return 0, &RangeError{"share", p, "from 0 to below 1"}
	}
	return w.Scale * math.Pow(-math.Log1p(-p), 1/w.Shape), nil
}

// FromQuantiles returns the distribution of which the share p1 does not reach
// x1 and the share p2 does not reach x2, such as B10 and B50:
//
//	β = ln[ln(1−p2)/ln(1−p1)] / ln(x2/x1),  η = x1 / [−ln(1−p1)]^(1/β)
//
// 0 < p1 < p2 < 1 and 0 < x1 < x2.
//
// It returns a *[RangeError] otherwise. Derived by hand from S(x).
func FromQuantiles(p1, x1, p2, x2 float64) (Weibull, error) {
	switch {
	case !(p1 > 0 && p1 < 1):
		return Weibull{}, &RangeError{"the smaller share", p1, "between 0 and 1"}
	case !(p2 > p1 && p2 < 1):
		return Weibull{}, &RangeError{"the larger share", p2, fmt.Sprintf("between %g and 1", p1)}
	case !(x1 > 0):
		return Weibull{}, &RangeError{"the shorter distance", x1, "above 0"}
	case !(x2 > x1) || math.IsInf(x2, 0):
		return Weibull{}, &RangeError{"the longer distance", x2, fmt.Sprintf("above %g", x1)}
	}
	a, b := -math.Log1p(-p1), -math.Log1p(-p2)
	shape := math.Log(b/a) / math.Log(x2/x1)
	w := Weibull{Shape: shape, Scale: x1 / math.Pow(a, 1/shape)}
	return w, w.check()
}
