// SPDX-License-Identifier: Apache-2.0

package oil

import (
	"fmt"
	"math"
)

// Kelvin is 0 °C in kelvin.
const Kelvin = 273.15

// RangeError says that a value is outside the interval that a rule covers.
type RangeError struct {
	Name, Unit       string
	Value, Low, High float64
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%s: %.6g %s is outside %.6g to %.6g %s", e.Name, e.Value, e.Unit, e.Low, e.High, e.Unit)
}

func within(name, unit string, v, low, high float64) error {
	if v >= low && v <= high {
		return nil
	}
	return &RangeError{name, unit, v, low, high}
}

// Temperatures that the curve is asked for, °C. D341 was drawn from petroleum
// oils well inside these ends.
const (
	ColdestC = -50
	HottestC = 250
)

// Walther is a viscosity-temperature curve of ASTM D341:
//
//	log10 log10 Z = A − B log10 T,  T in kelvin
//
// with Z = ν + 0.7 + exp(−1.47 − 1.84 ν − 0.51 ν²). The last term is small
// from 2 mm²/s up, where the standard lets it go: 3·10⁻⁴ of Z at 2, 10⁻⁵ at 3,
// nothing at 6. It stays here at every ν, for a step at 2 would give two
// viscosities just below and above it the same Z.
type Walther struct{ A, B float64 }

// WaltherThrough returns the curve through two points, temperatures in °C and
// viscosities in mm²/s.
//
// It returns a *RangeError if a viscosity is outside 0.21 to 2e7 mm²/s (where
// the standard's form holds) or a temperature outside −50 to 250 °C, and an
// error if the points do not fall with temperature.
//
// Source: ASTM D341, equation and low-viscosity term, seen in stored text on
// the standard.
func WaltherThrough(t1, v1, t2, v2 float64) (Walther, error) {
	for _, t := range []float64{t1, t2} {
		if err := within("temperature", "°C", t, ColdestC, HottestC); err != nil {
			return Walther{}, err
		}
	}
	for _, v := range []float64{v1, v2} {
		if err := within("kinematic viscosity", "mm²/s", v, 0.21, 2e7); err != nil {
			return Walther{}, err
		}
	}
	if !((t2-t1)*(v2-v1) < 0) {
		return Walther{}, fmt.Errorf("viscosity does not fall with temperature: %g mm²/s at %g °C and %g mm²/s at %g °C; check the order of the two values", v1, t1, v2, t2)
	}
	y1, y2 := math.Log10(math.Log10(zed(v1))), math.Log10(math.Log10(zed(v2)))
	x1, x2 := math.Log10(t1+Kelvin), math.Log10(t2+Kelvin)
	b := (y1 - y2) / (x2 - x1)
	return Walther{A: y1 + b*x1, B: b}, nil
}

func zed(v float64) float64 {
	return v + 0.7 + math.Exp(-1.47-1.84*v-0.51*v*v)
}

// At returns the kinematic viscosity (mm²/s) at t °C, unrounded.
//
// It returns a *RangeError outside −50 to 250 °C, or where the curve falls
// below 0.21 mm²/s.
func (w Walther) At(t float64) (float64, error) {
	if err := within("temperature", "°C", t, ColdestC, HottestC); err != nil {
		return 0, err
	}
	z := math.Pow(10, math.Pow(10, w.A-w.B*math.Log10(t+Kelvin)))
	v := unzed(z)
	if !(v >= 0.21 && v < 1e9) {
		return 0, &RangeError{"kinematic viscosity", "mm²/s", v, 0.21, 1e9}
	}
	return v, nil
}

// unzed inverts zed by Newton; zed rises throughout.
func unzed(z float64) float64 {
	v := z - 0.7
	if v > 8 {
		return v // the term is below 10⁻²⁰
	}
	for range 50 {
		e := math.Exp(-1.47 - 1.84*v - 0.51*v*v)
		d := (v + 0.7 + e - z) / (1 - e*(1.84+1.02*v))
		v -= d
		if math.Abs(d) < 1e-14 {
			break
		}
	}
	return v
}
