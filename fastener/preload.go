// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"fmt"
	"math"
)

// Interval is what comes out: the 2.5 and 97.5 % quantiles. Nineteen of twenty
// such bolts lie between.
type Interval struct{ Min, Max float64 }

// Result is the clamp load that a case's stages produce.
type Result struct {
	PitchDiameter float64 // d2, mm
	StressArea    float64 // A_s, mm²

	Snug  Interval // N, before the first angle or stretch stage
	Final Interval // N
	// Likely is the median of the final load, N.
	Likely float64
	// Yield is the load, N, at which the weakest bolt that the material allows
	// yields while being tightened, at the middle friction of the thread.
	Yield float64
	// Utilisation is √(σ²+3τ²) with the wrench on, in percent of the least yield
	// strength: VDI 2230's ν. A bolt stronger than its minimum goes past 100.
	Utilisation Interval
	// Service is the same with half of the torsion left, as the wrench comes off.
	Service Interval
	// PastYield: more than half of such bolts are past their own yield.
	PastYield bool
	// PastYieldShare is the share of bolts past their own yield, 0 to 1.
	PastYieldShare float64

	Stretch   Interval // mm, of the bolt's length, under load
	Permanent Interval // mm, what stays after loosening
	// ScatterRatio is Final.Max over Final.Min.
	ScatterRatio float64

	BoltCompliance Compliance
	Joint          Interval // δ_P, mm/N, least and greatest
	Assumptions    []string // in plain words
	Notes          []string // what the reader should know of this case
}

// Preload returns the clamp load that the case's stages produce, by Monte
// Carlo over friction, stiffness, yield strength and, where given, tools.
//
// For every draw, with F the load so far, F_y the yield load (see [YieldLoad]),
// δ = δ_S + δ_P and k_G the thread's torque per newton:
//
//	torque   F ← min(F_y, max(F, T/(k_G + D_km·µ_head/2)))            (1)
//	angle    F ← min(F_y, F + (θ − 2π·f_Z/P)/(2π·δ/P + k_G·φ/M))      (2)
//	stretch  F ← min(F_y, (s − permanent)/δ_stretch)                  (3)
//
// In (2) the divisor is the turn of the head per newton: what stretches bolt
// and joint, and what twists the shank. The embedding f_Z comes off the first
// angle. Turn and stretch beyond F_y make the bolt permanently longer.
//
// The same case and seed give the same result. It returns the error of
// [Case.Check]. It ignores prevailing torque, bending, strain hardening,
// heat and later relaxation.
//
// Source: VDI 2230:2015 (R7, R8, 5.1, 5.4), from memory; JCGM 101:2008 for the
// propagation. docs/fastener.md derives it.
func Preload(c Case) (Result, error) {
	if err := c.Check(); err != nil {
		return Result{}, err
	}
	m, err := newModel(c)
	if err != nil {
		return Result{}, err
	}
	s := m.run()
	t := c.Bolt.Thread
	r := Result{
		PitchDiameter:  t.PitchDiameter(),
		StressArea:     t.StressArea(),
		Yield:          YieldLoad(t, m.d0, c.FrictionThread.Middle(), c.Material.Yield),
		PastYieldShare: float64(s.past) / float64(len(s.final)),
		BoltCompliance: m.bolt,
		Joint:          Interval(c.jointCompliance(m.bolt)),
	}
	r.PastYield = r.PastYieldShare > 0.5
	r.Snug, _ = quantiles(s.snug)
	r.Final, r.Likely = quantiles(s.final)
	r.Utilisation, _ = quantiles(s.tight)
	r.Service, _ = quantiles(s.service)
	r.Stretch, _ = quantiles(s.stretch)
	r.Permanent, _ = quantiles(s.permanent)
	r.ScatterRatio = r.Final.Max / r.Final.Min
	r.Assumptions = assumptions(c)
	r.Notes = notes(c, r, s)
	return r, nil
}

// TorqueAlone returns the same bolt tightened by torque alone, and the torque
// in N·m: the one that takes the slipperiest, weakest bolt to 90 % of its
// yield, which is how VDI 2230 sets a tightening torque.
//
// It is what the final angle is held against: see docs/fastener.md.
func TorqueAlone(c Case) (Result, float64, error) {
	if err := c.Check(); err != nil {
		return Result{}, 0, err
	}
	t, mu, head := c.Bolt.Thread, c.FrictionThread.Min, c.FrictionHead.Min
	force := 0.9 * YieldLoad(t, c.Bolt.SmallestDiameter(), mu, c.Material.Yield*c.yieldFactor().Min)
	torque, err := Torque(t, force, mu, head, BearingDiameter(c.BearingOuter, c.BearingHole))
	if err != nil {
		return Result{}, 0, err
	}
	alone := Stage{TorqueNm: torque}
	for _, s := range c.Stages {
		alone.TorqueTolerance = math.Max(alone.TorqueTolerance, s.TorqueTolerance)
	}
	c.Stages = []Stage{alone}
	r, err := Preload(c)
	return r, torque, err
}

func assumptions(c Case) []string {
	y := c.yieldFactor()
	list := []string{
		"friction anywhere between its least and greatest, equally likely; thread and head independent",
		fmt.Sprintf("yield strength from %.3g to %.3g times the least that the class allows (assumed)", y.Min, y.Max),
		"half of the torsion remains once the wrench is off (VDI 2230)",
		"past yield the load stays on the plastic plateau",
	}
	if c.SameFriction {
		list[0] = "friction anywhere between its least and greatest, equally likely; the same draw for thread and head"
	}
	if hasAngle(c.Stages) {
		list = append(list, fmt.Sprintf("shank twist and %.3g µm of embedding are taken off the angle", 1000*c.embedding()))
	}
	return list
}

func hasAngle(stages []Stage) bool {
	for _, s := range stages {
		if s.AngleDeg > 0 {
			return true
		}
	}
	return false
}

func notes(c Case, r Result, s samples) []string {
	var list []string
	t := c.Bolt.Thread
	if !t.Listed {
		list = append(list, fmt.Sprintf("%s: the pitch of %.4g mm is not in the list of ISO 261 (or UNC, UNF); taken as given", t.Name, t.Pitch))
	}
	if share := r.PastYieldShare; share > 0.025 {
		list = append(list, fmt.Sprintf("about %.0f of 100 such bolts end past their own yield: treat them as single use unless the maker says otherwise", 100*share))
	}
	if short := float64(s.short) / float64(len(s.final)); short > 0.025 {
		list = append(list, fmt.Sprintf("about %.0f of 100 such bolts yield before the torque is reached: they would go on turning", 100*short))
	}
	if c.Bolt.Thread.System == Unified && c.Material.Class != "" {
		list = append(list, "ISO 898-1 classes are for metric bolts; check the strength of an inch bolt")
	}
	return list
}
