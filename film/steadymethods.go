// SPDX-License-Identifier: Apache-2.0

package film

import "math"

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
		mxi, meta, _ := f.t.velocity(e*c, e*s, 1, 0, 2)
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
