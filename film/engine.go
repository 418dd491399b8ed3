// SPDX-License-Identifier: Apache-2.0

package film

import (
	"fmt"
	"math"
)

// Engine is one cylinder's slider-crank with its gas. Every cylinder of an
// engine with like parts sees the same cycle, shifted by its firing interval.
type Engine struct {
	Crank
	Bore              float64 // m
	ReciprocatingMass float64 // kg: piston, pin, rings and the rod's share at the pin
	RotatingMass      float64 // kg: the rod's share at the crankpin
	Strokes           int     // 4 or 2
	Gas               Gas
}

// Check returns an error naming what cannot be used, or nil.
func (e Engine) Check() error {
	if err := e.Crank.Check(); err != nil {
		return err
	}
	if e.Strokes != 2 && e.Strokes != 4 {
		return fmt.Errorf("strokes: %d is neither 2 nor 4", e.Strokes)
	}
	for _, err := range []error{
		within("bore", "mm", 1e3*e.Bore, 1, 2000),
		within("reciprocating mass", "kg", e.ReciprocatingMass, 0, 1000),
		within("rotating mass of the rod", "kg", e.RotatingMass, 0, 1000),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// Instant is the big end at one crank angle. Forces are what the load on the
// journal is: the pin's force on the rod.
type Instant struct {
	Angle    float64 // rad from firing top dead centre
	Pressure float64 // Pa absolute, in the cylinder
	Fx, Fy   float64 // N, rod's frame: x along the rod to the piston, y 90° ahead
	Px, Py   float64 // N, crankpin's frame: x outward along the crank's radius
	Spin     float64 // ω̄/ω in the rod's frame
	Motion
}

// Instants returns the loads at even crank angles over one working cycle at
// speed (rad/s), the last repeating the first.
//
//	S = (m_rec ẍ + A (p − p_atm))/cos ψ      along the rod, pressing the pin
//	W = m_rot a_pin + S u,  u = (cos ψ, −sin ψ),  a_pin = −r ω² (cos θ, sin θ)
//
// in the axes of the cylinder, then turned into the rod's frame, whose x axis is
// u. Friction of the piston and the rod's turning inertia beyond the two masses
// are left out.
//
// Source: statics of the rod by hand; held against a published-input teaching
// problem recomputed, and a symbolic derivative.
func (e Engine) Instants(speed float64) ([]Instant, error) {
	if err := e.Check(); err != nil {
		return nil, err
	}
	if err := within("speed", "rev/min", speed*30/math.Pi, 0, 1e5); err != nil {
		return nil, err
	}
	p, err := e.Gas.pressures(e.Crank, e.Bore, e.Strokes)
	if err != nil {
		return nil, err
	}
	area := math.Pi / 4 * e.Bore * e.Bore
	out := make([]Instant, len(p))
	for i := range out {
		theta := 2 * math.Pi * float64(i) / gasSteps
		m := e.Crank.At(theta)
		sp, cp := math.Sincos(m.Psi)
		thrust := (e.ReciprocatingMass*m.X2*speed*speed + area*(p[i]-atmosphere)) / cp
		// Cylinder axes: x to the piston, y 90° ahead in the sense of rotation.
		a := -e.RotatingMass * e.Radius * speed * speed
		wx, wy := a*m.CosTheta+thrust*cp, a*m.SinTheta-thrust*sp
		out[i] = Instant{
			Angle: theta, Pressure: p[i], Spin: m.Spin(), Motion: m,
			Fx: wx*cp - wy*sp, Fy: wx*sp + wy*cp,
			Px: wx*m.CosTheta + wy*m.SinTheta, Py: -wx*m.SinTheta + wy*m.CosTheta,
		}
	}
	return out, nil
}

// Cycle returns the big end's load cycle at speed (rad/s), in the rod's frame.
func (e Engine) Cycle(speed float64) (*Cycle, error) {
	in, err := e.Instants(speed)
	if err != nil {
		return nil, err
	}
	n := len(in)
	angle, fx, fy, spin := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i, v := range in {
		angle[i], fx[i], fy[i], spin[i] = v.Angle, v.Fx, v.Fy, v.Spin
	}
	// Full turns bring rounding of the order of 1e-13; the last row is the first.
	fx[n-1], fy[n-1], spin[n-1] = fx[0], fy[0], spin[0]
	return NewCycle(angle, fx, fy, spin)
}

// OnUpperHalf says whether a direction on the bearing, from x towards the
// piston, lies in the rod's own half (the upper shell) rather than the cap's.
func OnUpperHalf(direction float64) bool { return math.Cos(direction) >= 0 }
