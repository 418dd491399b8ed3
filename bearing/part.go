// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"fmt"
	"math"
)

// Part is one of the four parts whose sizes make a clearance.
type Part int

// The parts, in the order in which they are named, listed and preferred.
const (
	HousingBore Part = iota
	Journal
	UpperShell
	LowerShell
	partCount
)

var partNames = [partCount]string{"housing_bore", "journal", "upper_shell", "lower_shell"}

// Parts lists the four parts in their fixed order.
func Parts() []Part { return []Part{HousingBore, Journal, UpperShell, LowerShell} }

// String returns the part's name as files write it: housing_bore, journal,
// upper_shell or lower_shell.
func (p Part) String() string {
	if p < 0 || p >= partCount {
		return fmt.Sprintf("part(%d)", int(p))
	}
	return partNames[p]
}

// ParsePart returns the part of that name, as [Part.String] writes it.
func ParsePart(name string) (Part, error) {
	for i, n := range partNames {
		if n == name {
			return Part(i), nil
		}
	}
	return 0, fmt.Errorf("bearing: unknown part %q: the parts are housing_bore, journal, upper_shell and lower_shell", name)
}

// sign is the part's sign in the clearance.
func (p Part) sign() float64 {
	if p == HousingBore {
		return 1
	}
	return -1
}

// Estimate is a value with its standard uncertainty, both in mm.
type Estimate struct{ Value, U float64 }

// Limits is an interval in mm, Min below Max.
type Limits struct{ Min, Max float64 }

// Mid returns the middle of the limits in mm.
func (l Limits) Mid() float64 { return l.Min + (l.Max-l.Min)/2 }

// Has says whether v lies within the limits. A billionth of a millimetre is
// forgiven, since 0.1 and its like have no exact double.
func (l Limits) Has(v float64) bool { return v >= l.Min-slack && v <= l.Max+slack }

// variance is that of a part spread evenly over its tolerance:
// (max − min)²/12, JCGM 100:2008, 4.3.7.
func (l Limits) variance() float64 { return (l.Max - l.Min) * (l.Max - l.Min) / 12 }

// slack is the rounding of doubles that comparisons forgive, in mm.
const slack = 1e-9

func (l Limits) check(what string) error {
	if !finite(l.Min) || !finite(l.Max) {
		return fmt.Errorf("bearing: %s: limits must be finite numbers", what)
	}
	if l.Min >= l.Max {
		return fmt.Errorf("bearing: %s: the least, %g mm, is not below the greatest, %g mm", what, l.Min, l.Max)
	}
	return nil
}

func (e Estimate) check(what string) error {
	if !finite(e.Value) || !finite(e.U) {
		return fmt.Errorf("bearing: %s: value and uncertainty must be finite numbers", what)
	}
	if e.U < 0 {
		return fmt.Errorf("bearing: %s: the uncertainty %g mm is below zero", what, e.U)
	}
	return nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
