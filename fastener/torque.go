// SPDX-License-Identifier: Apache-2.0

package fastener

import "math"

// flank is 1/(2·cos 30°) as ISO 16047 and VDI 2230 print it; unrounded it is
// 0.57735, which moves a torque by 0.02 %.
const flank = 0.577

// threadArm returns the torque in the thread per newton of preload, in mm.
func threadArm(t Thread, muThread float64) float64 {
	return t.Pitch/(2*math.Pi) + flank*t.PitchDiameter()*muThread
}

// headArm returns the friction torque under the head per newton, in mm.
func headArm(bearingDiameter, muHead float64) float64 { return bearingDiameter * muHead / 2 }

// BearingDiameter returns D_km in mm, the mean friction diameter under the
// head: (outer + hole)/2 (VDI 2230 and ISO 16047).
func BearingDiameter(outer, hole float64) float64 { return (outer + hole) / 2 }

// Torque returns the tightening torque in N·m at which a bolt without
// prevailing torque carries a preload of force newtons:
//
//	T = F·(P/2π + 0.577·d2·µ_thread + D_km·µ_head/2)
//
// Frictions are in (0, 1], bearingDiameter is D_km in mm. It returns a
// *RangeError otherwise.
//
// Source: VDI 2230 and ISO 16047:2005, the long form, from memory. The
// rounded form with 0.16·P and 0.58·d2 gives 0.25 % more.
func Torque(t Thread, force, muThread, muHead, bearingDiameter float64) (float64, error) {
	if err := checkTorque(t, muThread, muHead, bearingDiameter); err != nil {
		return 0, err
	}
	return force * (threadArm(t, muThread) + headArm(bearingDiameter, muHead)) / 1000, nil
}

// ForceFromTorque returns the preload in N that a torque in N·m produces: the
// inverse of [Torque], with the same limits.
func ForceFromTorque(t Thread, torqueNm, muThread, muHead, bearingDiameter float64) (float64, error) {
	if err := checkTorque(t, muThread, muHead, bearingDiameter); err != nil {
		return 0, err
	}
	return 1000 * torqueNm / (threadArm(t, muThread) + headArm(bearingDiameter, muHead)), nil
}

func checkTorque(t Thread, muThread, muHead, bearingDiameter float64) error {
	return firstError(
		t.Check(),
		checkFriction("thread", muThread),
		checkFriction("head", muHead),
		above("friction diameter under the head", bearingDiameter, "mm", "give the outer and hole diameters"),
	)
}

func checkFriction(where string, mu float64) error {
	if mu > 0 && mu <= 1 {
		return nil
	}
	return &RangeError{What: "friction of the " + where, Got: mu, Want: "above 0 and at most 1",
		Advice: "oiled steel is commonly between 0.08 and 0.16"}
}

// TorqueCoefficient returns K of T = K·F·d (ISO 16047), from torque in N·m,
// preload in N and nominal diameter in mm.
func TorqueCoefficient(torqueNm, force, d float64) float64 { return 1000 * torqueNm / (force * d) }

// TotalFriction returns µ_tot, the one friction that would explain a torque in
// N·m at a preload in N:
//
//	µ_tot = (T/F − P/2π) / (0.577·d2 + 0.5·D_b)
//
// Source: ISO 16047:2005, from memory.
func TotalFriction(t Thread, torqueNm, force, bearingDiameter float64) float64 {
	return (1000*torqueNm/force - t.Pitch/(2*math.Pi)) / (flank*t.PitchDiameter() + 0.5*bearingDiameter)
}

// ForceFromAngle returns the preload in N that an angle in degrees adds while
// everything is elastic:
//
//	F = θ/360 · P/(δ_S + δ_P)
//
// bolt and joint are δ_S and δ_P in mm/N. No twist, no embedding: see
// [Preload] for both. It returns a *RangeError if the compliances don't add up
// to something above zero.
//
// Source: VDI 2230:2015, annex on angle-controlled tightening, from memory.
func ForceFromAngle(t Thread, angleDeg, bolt, joint float64) (float64, error) {
	if err := above("compliance of bolt and joint", bolt+joint, "mm/N", "give the bolt's segments and the joint's stiffness"); err != nil {
		return 0, err
	}
	return angleDeg / 360 * t.Pitch / (bolt + joint), nil
}

// YieldLoad returns the preload in N at which tension and the torsion of
// tightening together reach the stress yield (MPa) in the section of diameter
// d0 (mm):
//
//	√(σ² + 3τ²) = R,  σ = F/A0,  τ = M_G/(π·d0³/12)
//	F = R·A0 / √(1 + 3·(3/2 · d2/d0 · (P/(π·d2) + 1.154·µ_thread))²)
//
// π·d0³/12 is the torsional section modulus of the fully plastic section.
// Multiplied by 0.9 this is VDI 2230's assembly preload.
//
// Source: VDI 2230:2001, R7 (which rounds 2·0.577 to 1.155), from memory; the values of its table for fine
// threads at 90 % were read in a catalogue and agree within 0.3 %.
func YieldLoad(t Thread, d0, muThread, yield float64) float64 {
	return yield * circleArea(d0) / math.Sqrt(1+3*sq(torsionRatio(t, d0, muThread)))
}

// torsionRatio returns τ/σ while the wrench is on.
func torsionRatio(t Thread, d0, muThread float64) float64 {
	d2 := t.PitchDiameter()
	return 1.5 * d2 / d0 * (t.Pitch/(math.Pi*d2) + 2*flank*muThread)
}

func sq(x float64) float64 { return x * x }
