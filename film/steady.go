// SPDX-License-Identifier: Apache-2.0

package film

import (
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
