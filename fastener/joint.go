// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"fmt"
	"math"
)

// RodJoint is a big end's parting line with its bolts.
type RodJoint struct {
	Reciprocating, Rotating, Cap float64 // masses, kg; see [PartingForce]
	CrankRadius, RodLength       float64 // mm
	Bolts                        int     // 0: two
	Preload                      Interval
	Thread                       Thread
	Material                     Material
	// FrictionThread sets the torsion left in the bolt.
	FrictionThread Spread
	// BoltCompliance and JointCompliance are δ_S and δ_P, mm/N.
	BoltCompliance, JointCompliance float64
	// LoadIntroduction is n of VDI 2230, how far up the clamped parts the load
	// enters, in (0, 1]; 0: 1, all of them under the head, which is the worst
	// for the bolt. For the parting line n → 0 is the worst: see Closed.
	LoadIntroduction float64
	// CrushLoad is what the shells' crush takes from each bolt before the
	// parting faces touch, N (package bearing computes it).
	CrushLoad float64
	// RolledAfterHeat says that the thread was rolled after heat treatment.
	RolledAfterHeat bool
}

// JointResult is the joint at one speed. All loads are per bolt, N.
type JointResult struct {
	RPM          float64
	PartingForce float64 // of the whole rod, N
	WorkingLoad  float64 // F_A
	LoadFactor   float64 // Φ
	BoltShare    float64 // Φ·F_A, what the bolt gets of it
	ClampAtRest  float64 // least preload less crush
	ClampLeft    float64 // on the parting line at that speed; below 0 it opens
	// Separation is the factor against opening: over 1 the joint stays closed.
	Separation float64
	Closed     bool
	// StressAmplitude and FatigueLimit are MPa in the stress area; Fatigue is
	// limit over amplitude.
	StressAmplitude, FatigueLimit, Fatigue float64
	// YieldUse is √(σ²+3(τ/2)²) at the greatest preload and the full working
	// load, in percent of the least yield strength.
	YieldUse    float64
	Assumptions []string
}

// JointAtSpeed returns whether a big-end joint stays closed at a speed in
// rev/min, and how far its bolts are from fatigue.
//
//	F_A  = [m_rec(1+λ) + m_rot − m_cap]·rω²/bolts           working load      (1)
//	Φ    = n·δ_P/(δ_S+δ_P)                                  load factor       (2)
//	F_K  = F_M,min − F_crush − (1−Φ)·F_A                    clamp left        (3)
//	S    = (F_M,min − F_crush)/((1−Φ)·F_A)                  separation        (4)
//	σ_a  = Φ·F_A/(2·A_s)                                    amplitude         (5)
//	σ_AS = 0.85·(150/d + 45)                                rolled, then heat treated (6)
//	σ_AS·(2 − F_m/F_0.2)                                    heat treated, then rolled (7)
//
// In (7) the factor is held between 1 and 2 − 0.3; F_m is the mean bolt load.
//
// It returns a *RangeError for an input outside its interval. It ignores
// bending of cap and bolt, which in a big end can be larger than what is
// computed here, heat, and embedding after assembly: a calculation, not an
// approval.
//
// Source: VDI 2230:2015, R3, R9 and 5.5.3 (fatigue limit for d from 6 to
// 40 mm), from memory.
func JointAtSpeed(j RodJoint, rpm float64) (JointResult, error) {
	bolts := float64(j.Bolts)
	if j.Bolts == 0 {
		bolts = 2
	}
	if err := j.check(); err != nil {
		return JointResult{}, err
	}
	force, err := PartingForce(j.Reciprocating, j.Rotating, j.Cap, j.CrankRadius, j.RodLength, rpm)
	if err != nil {
		return JointResult{}, err
	}
	r := JointResult{RPM: rpm, PartingForce: force, WorkingLoad: force / bolts}                  // (1)
	r.LoadFactor = j.introduction() * j.JointCompliance / (j.BoltCompliance + j.JointCompliance) // (2)
	r.BoltShare = r.LoadFactor * r.WorkingLoad
	r.ClampAtRest = j.Preload.Min - j.CrushLoad
	unload := r.WorkingLoad - r.BoltShare
	r.ClampLeft = r.ClampAtRest - unload  // (3)
	r.Separation = r.ClampAtRest / unload // (4)
	r.Closed = r.ClampLeft > 0
	j.fatigue(&r)
	r.YieldUse = j.yieldUse(r)
	r.Assumptions = j.assumptions(bolts)
	return r, nil
}

func (j RodJoint) introduction() float64 {
	if j.LoadIntroduction == 0 {
		return 1
	}
	return j.LoadIntroduction
}

func (j RodJoint) check() error {
	return firstError(
		j.Thread.Check(),
		j.Material.Check(),
		checkFrictions("thread", j.FrictionThread),
		within("bolts", float64(j.Bolts), 0, 8, "", "a big end has two or four"),
		above("least preload", j.Preload.Min, "N", "compute it from the stages"),
		within("greatest preload", j.Preload.Max, j.Preload.Min, 1e7, "N", "it can't be below the least"),
		above("compliance of the bolt", j.BoltCompliance, "mm/N", ""),
		above("compliance of the joint", j.JointCompliance, "mm/N", ""),
		within("load introduction", j.introduction(), 1e-6, 1, "", "1 is the worst for the bolt"),
		within("crush load", j.CrushLoad, 0, 1e7, "N", "0 if the shells have none"),
		within("thread diameter", j.Thread.Diameter, 5, 40, "mm", "the fatigue limit holds for these"),
	)
}

// fatigue fills in equations (5) to (7). The bolt's load swings between rest
// and the full pull once a turn of the cycle.
func (j RodJoint) fatigue(r *JointResult) {
	as := j.Thread.StressArea()
	r.StressAmplitude = r.BoltShare / (2 * as)           // (5)
	r.FatigueLimit = 0.85 * (150/j.Thread.Diameter + 45) // (6)
	if j.RolledAfterHeat {
		mean := (j.Preload.Max + r.BoltShare/2) / (j.Material.Yield * as)
		r.FatigueLimit *= math.Max(1, math.Min(2-mean, 1.7)) // (7)
	}
	r.Fatigue = r.FatigueLimit / r.StressAmplitude
}

func (j RodJoint) yieldUse(r JointResult) float64 {
	t := j.Thread
	sigma := (j.Preload.Max + r.BoltShare) / t.StressArea()
	tau := j.Preload.Max / t.StressArea() * torsionRatio(t, t.StressDiameter(), j.FrictionThread.Middle()) / 2
	return 100 * math.Sqrt(sigma*sigma+3*tau*tau) / j.Material.Yield
}

func (j RodJoint) assumptions(bolts float64) []string {
	return []string{
		"top dead centre of the gas exchange, no gas pressure",
		fmt.Sprintf("the pull is shared evenly by %.0f bolts and does not bend them", bolts),
		fmt.Sprintf("load introduction n = %.3g (VDI 2230)", j.introduction()),
		"the least preload stands against separation, the greatest against yield",
		"fatigue limit of VDI 2230 for a thread " + map[bool]string{true: "rolled after", false: "rolled before"}[j.RolledAfterHeat] + " heat treatment",
		"a calculation, not an approval",
	}
}
