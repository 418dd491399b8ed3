// SPDX-License-Identifier: Apache-2.0

package film

import (
	"errors"
	"fmt"
	"math"
)

// SteadyCase is a load that stands still on a journal that turns in a bearing at
// rest.
type SteadyCase struct {
	Bearing   Bearing
	Viscosity float64 // Pa·s
	Speed     float64 // rad/s
	Load      float64 // N, towards +x
	Method    Method
	Boundary  Boundary // empty means [Natural]
	Grid      Grid     // of the field method
}

// SteadyResult is what came out, SI units.
type SteadyResult struct {
	SteadyNumbers
	Method      Method
	Boundary    Boundary
	MinFilm     float64 // m
	Direction   float64 // rad from +x: where the least film is
	MaxPressure float64 // Pa
	Friction    float64 // W
	SideFlow    float64 // m³/s
	ShearRate   float64 // 1/s, journal speed over gap, mean round the bearing
}

// Check returns an error naming what cannot be used, or nil.
func (c *SteadyCase) Check() error {
	if err := c.Bearing.Check(); err != nil {
		return err
	}
	for _, err := range []error{
		within("viscosity", "mPa·s", 1e3*c.Viscosity, 1e-2, 1e5),
		within("speed", "rev/min", c.Speed*30/math.Pi, 1e-3, 1e5),
		within("load", "N", c.Load, 1e-6, 1e9),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// SolveSteady returns the steady film. The eccentricity is found to 1e-10.
//
// The short film is Ocvirk's closed form and begins at the widest gap in any
// case; the map knows the natural boundary only. Errors: *RangeError,
// *OverloadError with the load that the method could just hold.
func SolveSteady(c SteadyCase) (SteadyResult, error) {
	if c.Boundary == "" {
		c.Boundary = Natural
	}
	if err := c.Check(); err != nil {
		return SteadyResult{}, err
	}
	at, limit, err := c.numbers()
	if err != nil {
		return SteadyResult{}, err
	}
	rc, r := c.Bearing.radial()
	// S = (R/c)² μ N L D/W.
	scale := (r / rc) * (r / rc) * c.Viscosity * c.Speed / (2 * math.Pi) * c.Bearing.Width * c.Bearing.Diameter
	n, err := eccentricityFor(at, scale/c.Load, limit)
	if err != nil {
		var over *OverloadError
		if errors.As(err, &over) {
			over.Method, over.Load, over.Held = c.Method, c.Load, scale/over.Held
		}
		return SteadyResult{}, err
	}
	u := c.Speed * r
	res := SteadyResult{
		SteadyNumbers: n, Method: c.Method, Boundary: c.Boundary,
		MinFilm: rc * (1 - n.Eccentricity), Direction: n.Attitude,
		MaxPressure: c.Load / (c.Bearing.Width * c.Bearing.Diameter) / n.PressureRatio,
		Friction:    n.Friction * rc / r * c.Load * u,
		SideFlow:    n.SideFlow * r * rc * c.Speed / (2 * math.Pi) * c.Bearing.Width,
		ShearRate:   u / rc / math.Sqrt(1-n.Eccentricity*n.Eccentricity),
	}
	return res, nil
}

// numbers returns the method's steady numbers as a function of eccentricity.
func (c *SteadyCase) numbers() (at func(e float64) (SteadyNumbers, error), limit float64, err error) {
	ld := c.Bearing.Ratio()
	if c.Boundary != Natural && c.Boundary != WidestGap {
		return nil, 0, fmt.Errorf("boundary %q is not %q or %q", c.Boundary, Natural, WidestGap)
	}
	switch c.Method {
	case Short:
		return func(e float64) (SteadyNumbers, error) { return shortSteady(ld, e), nil }, mapLimit, nil
	case Map:
		if c.Boundary != Natural {
			return nil, 0, fmt.Errorf("method %q knows the boundary %q only; use method %q for %q", Map, Natural, Field, c.Boundary)
		}
		f, err := NewMapFilm(ld)
		if err != nil {
			return nil, 0, err
		}
		return f.steady, mapLimit * (1 - 1e-9), nil
	case Field:
		f, err := NewFieldFilm(ld, c.Grid)
		if err != nil {
			return nil, 0, err
		}
		return func(e float64) (SteadyNumbers, error) { return f.steady(e, c.Boundary) }, fieldLimit * (1 - 1e-9), nil
	}
	return nil, 0, fmt.Errorf("method %q is not one of %q, %q, %q", c.Method, Short, Map, Field)
}

// eccentricityFor finds ε with S(ε) = want by the Illinois method on log S
// against log(ε/(1−ε)), in which it is nearly straight. S falls with ε.
func eccentricityFor(at func(float64) (SteadyNumbers, error), want, limit float64) (SteadyNumbers, error) {
	eval := func(x float64) (SteadyNumbers, float64, error) {
		e := 1 / (1 + math.Exp(-x))
		n, err := at(e)
		return n, math.Log(n.Sommerfeld / want), err
	}
	lo, hi := math.Log(1e-4), math.Log(limit/(1-limit))
	nl, fl, err := eval(lo)
	if err != nil {
		return nl, err
	}
	if fl < 0 { // lighter still: ε falls in proportion
		k := nl.Sommerfeld / want
		nl.Eccentricity *= k
		nl.Sommerfeld = want
		nl.SideFlow *= k
		nl.friction()
		return nl, nil
	}
	nh, fh, err := eval(hi)
	if err != nil {
		return nh, err
	}
	if fh > 0 {
		return nh, &OverloadError{Eccentricity: limit, Held: nh.Sommerfeld}
	}
	side := 0
	for range 100 {
		x := (lo*fh - hi*fl) / (fh - fl)
		n, f, err := eval(x)
		if err != nil {
			return n, err
		}
		if math.Abs(f) < 1e-11 || hi-lo < 1e-12 {
			return n, nil
		}
		if f > 0 {
			lo, fl = x, f
			if side == 1 {
				fh /= 2
			}
			side = 1
		} else {
			hi, fh = x, f
			if side == -1 {
				fl /= 2
			}
			side = -1
		}
		nl = n
	}
	return nl, nil
}
