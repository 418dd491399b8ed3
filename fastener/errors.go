// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"fmt"
	"math"
)

// A RangeError says which input lies outside the interval in which a formula
// holds, and what to do about it.
type RangeError struct {
	What   string  // the input, in words
	Got    float64 // as entered
	Unit   string
	Want   string // the interval it was held against, in words
	Advice string // what to do next
}

func (e *RangeError) Error() string {
	s := fmt.Sprintf("%s: %.6g%s is not %s", e.What, e.Got, spaced(e.Unit), e.Want)
	if e.Advice != "" {
		s += "; " + e.Advice
	}
	return s
}

func spaced(unit string) string {
	if unit == "" {
		return ""
	}
	return " " + unit
}

// above returns a *RangeError unless x is a finite number above zero.
func above(what string, x float64, unit, advice string) error {
	if x > 0 && !math.IsInf(x, 0) {
		return nil
	}
	return &RangeError{What: what, Got: x, Unit: unit, Want: "above zero", Advice: advice}
}

// within returns a *RangeError unless lo ≤ x ≤ hi.
func within(what string, x, lo, hi float64, unit, advice string) error {
	if x >= lo && x <= hi {
		return nil
	}
	want := fmt.Sprintf("between %.6g and %.6g%s", lo, hi, spaced(unit))
	return &RangeError{What: what, Got: x, Unit: unit, Want: want, Advice: advice}
}

// firstError returns the first error that is not nil.
func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
