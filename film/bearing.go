// SPDX-License-Identifier: Apache-2.0

package film

import (
	"fmt"
	"math"
)

// Bearing is the geometry of one bearing, in metres. Clearance is diametral.
type Bearing struct {
	Diameter, Width, Clearance float64
}

// WidthRatioMin and WidthRatioMax bound L/D: the range that the mobility table
// and the checks cover.
const (
	WidthRatioMin = 0.15
	WidthRatioMax = 1.2
)

// Ratio returns L/D.
func (b Bearing) Ratio() float64 { return b.Width / b.Diameter }

// radial returns the radial clearance c and the radius R.
func (b Bearing) radial() (c, r float64) { return b.Clearance / 2, b.Diameter / 2 }

// Check returns a *RangeError naming what is wrong, or nil.
func (b Bearing) Check() error {
	if err := within("bearing diameter", "mm", 1e3*b.Diameter, 1, 2000); err != nil {
		return err
	}
	if err := within("bearing width", "mm", 1e3*b.Width, 0.1, 2000); err != nil {
		return err
	}
	if !(b.Clearance > 0) || math.IsInf(b.Clearance, 0) {
		return &RangeError{Name: "diametral clearance", Unit: "µm", Value: 1e6 * b.Clearance, Low: 0, High: 1e4 * b.Diameter,
			Hint: "a bearing without clearance has no film to compute"}
	}
	// Thin-film theory wants c/R of order 0.001; 0.02 is a generous end.
	if b.Clearance > 0.02*b.Diameter {
		return &RangeError{Name: "diametral clearance", Unit: "µm", Value: 1e6 * b.Clearance, Low: 0, High: 2e4 * b.Diameter,
			Hint: "check the unit: clearance is diametral and small against the diameter"}
	}
	if l := b.Ratio(); l < WidthRatioMin || l > WidthRatioMax {
		return &RangeError{Name: "width over diameter", Value: l, Low: WidthRatioMin, High: WidthRatioMax,
			Hint: "the calculation covers no narrower or wider bearing"}
	}
	return nil
}

// RangeError says that a value is outside the interval that the method covers.
type RangeError struct {
	Name, Unit       string
	Value, Low, High float64
	Hint             string
}

func (e *RangeError) Error() string {
	unit := e.Unit
	if unit != "" {
		unit = " " + unit
	}
	s := fmt.Sprintf("%s: %.4g%s is outside %.4g to %.4g%s", e.Name, e.Value, unit, e.Low, e.High, unit)
	if e.Hint != "" {
		s += "; " + e.Hint
	}
	return s
}

// within returns a *RangeError unless low <= v <= high; a NaN is outside.
func within(name, unit string, v, low, high float64) error {
	if v >= low && v <= high {
		return nil
	}
	return &RangeError{Name: name, Unit: unit, Value: v, Low: low, High: high}
}

// OverloadError says that the method cannot hold the load.
type OverloadError struct {
	Method       Method
	Load         float64 // N, the load on the journal where it failed
	Angle        float64 // rad, where in the cycle
	Eccentricity float64 // the greatest eccentricity ratio that the method covers
	Held         float64 // N, the steady load that it could just hold; 0 in a cycle
}

func (e *OverloadError) Error() string {
	if e.Held > 0 {
		return fmt.Sprintf("the film cannot carry %.0f N: method %q holds no more than %.0f N, at an eccentricity ratio of %.4g; use thicker oil, a smaller clearance or less load",
			e.Load, e.Method, e.Held, e.Eccentricity)
	}
	return fmt.Sprintf("the film cannot carry the load: at %.1f° the load of %.0f N drives the journal beyond %.4g of the clearance, the limit of method %q; use thicker oil, a smaller clearance or less load",
		e.Angle*180/math.Pi, e.Load, e.Eccentricity, e.Method)
}
