// SPDX-License-Identifier: Apache-2.0

package film

import (
	"errors"
	"fmt"
	"math"
)

// Boundary says where the film of a steady case begins.
type Boundary string

const (
	// Natural: pressure nowhere below zero and nothing else imposed; film may
	// form again upstream of the widest gap. What an orbit uses.
	Natural Boundary = "natural"
	// WidestGap: the film begins at the widest gap with pressure zero. What
	// the tables of Raimondi and Boyd and of ISO 7902 use.
	WidestGap Boundary = "widest_gap"
)

// SteadyNumbers are the numbers of a steady film, dimensionless, as handbooks tabulate them.
type SteadyNumbers struct {
	Eccentricity  float64 // ε
	Attitude      float64 // rad, from the load line to the line of centres in the sense of rotation
	Sommerfeld    float64 // S = (R/c)² μ N / (W/(L D)), N in rev/s
	Friction      float64 // (R/c) f, on the journal, shear over the full turn
	Flow          float64 // Q/(R c N L), into the film where it begins; widest gap only
	SideFlow      float64 // Qs/(R c N L), out of both ends
	PressureRatio float64 // W/(L D) over the greatest pressure
}

// SteadyField solves the two-dimensional film at eccentricity ratio eps in
// [1e-5, 0.9995) for width ratio ld in [0.05, 4] and returns its numbers.
//
// The journal turns, the bearing does not: V = −½ ẑ×ε. With
// W̄ = ∫⟨P⟩ n dθ, S = 1/(π|W̄|); friction from Couette shear around the whole turn,
// ruptured film included, plus W·v; (R/c) f = 2π² S/√(1−ε²) + ½ ε sin φ.
//
// It returns a *RangeError outside the intervals.
func SteadyField(ld, eps float64, b Boundary, g Grid) (SteadyNumbers, error) {
	f, err := NewFieldFilm(ld, g)
	if err != nil {
		return SteadyNumbers{}, err
	}
	return f.steady(eps, b)
}

func (f *FieldFilm) steady(eps float64, b Boundary) (SteadyNumbers, error) {
	if err := within("eccentricity ratio", "", eps, 1e-5, fieldLimit); err != nil {
		return SteadyNumbers{}, err
	}
	r := f.r
	r.round(eps)
	pin := -1
	switch b {
	case Natural:
	case WidestGap:
		pin = r.n / 2
	default:
		return SteadyNumbers{}, fmt.Errorf("boundary %q is not %q or %q", b, Natural, WidestGap)
	}
	v := -eps / 2
	r.seed(0, v)
	f.warm, f.done = true, false
	if !r.underMotion(0, v, pin) {
		return SteadyNumbers{}, &RangeError{Name: "eccentricity ratio", Value: eps, Low: 1e-5, High: fieldLimit, Hint: "the film did not settle"}
	}
	wx, wy := r.load()
	w := math.Hypot(wx, wy)
	s := SteadyNumbers{Eccentricity: eps, Attitude: math.Atan2(-wy, wx), Sommerfeld: 1 / (math.Pi * w)}
	s.friction()
	// Q over 2 ω c R L, to Q over R c N L: 2 ω/N = 4π.
	s.SideFlow = 4 * math.Pi * r.sideFlow()
	if b == WidestGap {
		s.Flow = r.inflow(pin, eps)
	}
	s.PressureRatio = w / 2 / r.peak()
	return s, nil
}

// load returns ∫⟨P⟩ n dθ of the solution.
func (r *reynolds) load() (wx, wy float64) {
	for i := range r.n {
		if r.count[i] == 0 {
			continue
		}
		s := 0.0
		for j, q := range r.qz {
			s += q * r.p[i*r.m+j]
		}
		wx += s * r.nx[i]
		wy += s * r.ny[i]
	}
	return wx, wy
}

// inflow returns Q/(R c N L) past the pinned column: what the journal carries,
// ½ U h L, less what pressure drives back through the face after it.
func (r *reynolds) inflow(pin int, eps float64) float64 {
	next := (pin + 1) % r.n
	back := 0.0
	for j := range r.m {
		back += r.ct[pin*r.m+j] * r.p[next*r.m+j]
	}
	// Q = L c U [½ H − (1/12) ∫H³ ∂θP dZ], U = 2π R N.
	return math.Pi*(1+eps) - math.Pi/6*back
}

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

// ShortSteady returns the numbers of the short film at eccentricity ratio eps in
// (0, 1) and width ratio ld in (0, 1.2].
//
//	S (L/D)² = (1−ε²)²/(π ε √(π²(1−ε²)+16ε²)),  tan φ = π√(1−ε²)/(4ε),  Qs = 2π ε R c N L
//
// It returns a *RangeError outside the intervals.
//
// Source: Ocvirk, NACA TN 2808 (1952); DuBois and Ocvirk, NACA Report 1157
// (1953). Formulas from memory, held against quadrature.
func ShortSteady(ld, eps float64) (SteadyNumbers, error) {
	if !(eps > 0 && eps < 1) {
		return SteadyNumbers{}, &RangeError{Name: "eccentricity ratio", Value: eps, Low: 0, High: 1}
	}
	if !(ld > 0 && ld <= WidthRatioMax) {
		return SteadyNumbers{}, &RangeError{Name: "width over diameter", Value: ld, Low: 0, High: WidthRatioMax}
	}
	return shortSteady(ld, eps), nil
}

func shortSteady(ld, e float64) SteadyNumbers {
	q := 1 - e*e
	root := math.Sqrt(math.Pi*math.Pi*q + 16*e*e)
	n := SteadyNumbers{Eccentricity: e, Attitude: math.Atan2(math.Pi*math.Sqrt(q), 4*e)}
	n.Sommerfeld = q * q / (math.Pi * e * root) / (ld * ld)
	n.SideFlow = 2 * math.Pi * e
	n.Flow = math.Pi * (1 + e)
	n.friction()
	w := 1 / (math.Pi * n.Sommerfeld)
	n.PressureRatio = w / 2 / (6 * ld * ld * shortPeak(e, 0, 0, -e/2))
	return n
}

func (n *SteadyNumbers) friction() {
	e := n.Eccentricity
	n.Friction = 2*math.Pi*math.Pi*n.Sommerfeld/math.Sqrt(1-e*e) + e*math.Sin(n.Attitude)/2
}

// steady finds the load under which the journal of the map stands still:
// M ∥ −ẑ×ε. It turns the load from the line of centres back until M has no
// part along it.
func (f *MapFilm) steady(e float64) (SteadyNumbers, error) {
	at := func(phi float64) (along, against float64) {
		s, c := math.Sincos(phi) // load at −φ from the line of centres
		mxi, meta := f.t.at(e*c, e*s, e*e)
		return mxi*c + meta*s, -mxi*s + meta*c
	}
	lo, hi := 0.0, math.Pi/2
	for range 60 {
		mid := (lo + hi) / 2
		if along, _ := at(mid); along > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	phi := (lo + hi) / 2
	_, against := at(phi)
	w := e / -against // |W̄|/2 · |M| = e/2
	n := SteadyNumbers{Eccentricity: e, Attitude: phi, Sommerfeld: 1 / (math.Pi * w)}
	n.friction()
	p, q := f.t.pressureAndFlow(e*math.Cos(phi), e*e)
	n.PressureRatio = 1 / (2 * p)
	n.SideFlow = 4 * math.Pi * q * e / 2
	return n, nil
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
