// SPDX-License-Identifier: Apache-2.0

package fastener

import "math"

// PistonAcceleration returns the piston's acceleration towards the crankshaft
// in m/s² at a crank angle in degrees after top dead centre, exactly, without
// offset:
//
//	x = r(1−cos α) + l(1−s),  s = √(1 − λ²sin²α),  λ = r/l
//	x″ = rω²·[cos α + λ·cos 2α/s + λ³·sin²2α/(4s³)]
//
// r and l are crank radius and rod length in mm with 0 < r < l, rpm is above
// zero. NaN outside.
//
// Source: slider-crank kinematics, derived in docs/fastener.md by
// differentiating x twice; a computer algebra system gives the same.
func PistonAcceleration(angleDeg, r, l, rpm float64) float64 {
	if !(r > 0 && r < l && rpm > 0) {
		return math.NaN()
	}
	a := angleDeg * math.Pi / 180
	lambda := r / l
	s := math.Sqrt(1 - sq(lambda*math.Sin(a)))
	unit := math.Cos(a) + lambda*math.Cos(2*a)/s + lambda*lambda*lambda*sq(math.Sin(2*a))/(4*s*s*s)
	return r / 1000 * sq(omega(rpm)) * unit
}

// omega returns rad/s.
func omega(rpm float64) float64 { return rpm * math.Pi / 30 }

// PartingForce returns the force in N that pulls cap and rod apart at top dead
// centre of the gas exchange, when no gas pressure helps:
//
//	F = [m_rec·(1+λ) + m_rot − m_cap]·r·ω²
//
// Masses in kg: reciprocating (piston, pin, rings, the rod's upper share),
// rotating (the rod's lower share, cap, shells and bolts included), and the
// cap with what stays on its side of the parting line. r and l in mm.
//
// It returns a *RangeError for a mass below zero, a cap heavier than the
// rotating mass, r not in (0, l), or a speed not above zero.
//
// Source: slider-crank at α = 0, where x″ = rω²(1+λ) exactly.
func PartingForce(reciprocating, rotating, cap, r, l, rpm float64) (float64, error) {
	err := firstError(
		above("reciprocating mass", reciprocating, "kg", "piston, rings, pin and the rod's upper share"),
		above("rotating mass", rotating, "kg", "the rod's lower share with cap, shells and bolts"),
		within("cap mass", cap, 0, rotating, "kg", "it is part of the rotating mass"),
		above("crank radius", r, "mm", "half the stroke"),
		above("speed", rpm, "rev/min", "give the rated speed"),
	)
	if err == nil && !(l > r) {
		err = &RangeError{What: "rod length", Got: l, Unit: "mm", Want: "above the crank radius", Advice: "it is measured between the eyes' centres"}
	}
	if err != nil {
		return 0, err
	}
	lambda := r / l
	return (reciprocating*(1+lambda) + rotating - cap) * r / 1000 * sq(omega(rpm)), nil
}
