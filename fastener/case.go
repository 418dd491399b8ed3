// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"fmt"
	"math"
)

// Spread is what is known of an input: anything between Min and Max, equally
// likely. Min = Max is a value known exactly.
type Spread struct{ Min, Max float64 }

// Exactly is the spread of a value without doubt.
func Exactly(x float64) Spread { return Spread{x, x} }

// Middle returns the middle of the spread, which is also its median.
func (s Spread) Middle() float64 { return s.Min + (s.Max-s.Min)/2 }

// at maps u in [0, 1) onto the spread.
func (s Spread) at(u float64) float64 { return s.Min + (s.Max-s.Min)*u }

func (s Spread) check(what string) error {
	if s.Min <= s.Max {
		return nil
	}
	return fmt.Errorf("%s: min %g is above max %g; swap them", what, s.Min, s.Max)
}

// Stage is one step of tightening. A torque with an angle is torque first,
// then angle. Exactly one of torque, angle, torque then angle, and stretch is
// above zero.
type Stage struct {
	TorqueNm  float64 // to this torque
	AngleDeg  float64 // on by this angle
	StretchMM float64 // to this stretch of the bolt's length

	// Tool scatter, each ± about the nominal, anything between equally likely
	// (the reading of a maximum permissible deviation that JCGM 100, 4.3.7,
	// gives); 0: no tool is given and none enters.
	TorqueTolerance  float64 // a fraction: 0.04 for 4 %
	AngleTolerance   float64 // degrees
	StretchTolerance float64 // mm
}

// DefaultYieldFactor is how far above its minimum a bolt's yield strength may
// lie. Assumed: a class has no upper limit.
var DefaultYieldFactor = Spread{1, 1.2}

// DefaultEmbedding is f_Z in mm where none is given: thread 3 µm, head 2.5 µm,
// one inner joint 1.5 µm (VDI 2230:2015, table 5, roughness below 10 µm, from
// memory).
const DefaultEmbedding = 0.007

// Case is a bolt, what it clamps, and how it is tightened.
type Case struct {
	Bolt     Bolt
	Material Material
	// BearingOuter and BearingHole are the diameters of the ring under the
	// head, mm.
	BearingOuter, BearingHole float64

	FrictionThread, FrictionHead Spread
	// SameFriction says that thread and head share one draw (one oil, one
	// batch); else they are independent.
	SameFriction bool

	// JointStiffness is k_P in N/mm. If its Max is zero, StiffnessRatio, joint
	// over bolt, k_P/k_S, is used.
	JointStiffness, StiffnessRatio Spread

	YieldFactor Spread  // zero value: DefaultYieldFactor
	Embedding   float64 // f_Z, mm, taken off the angle; NaN: DefaultEmbedding

	Stages []Stage
	Draws  int    // 0: 100,000
	Seed   uint64 // of the draws; the same seed gives the same result
}

// Draws that [Preload] makes unless a case asks for another number.
const defaultDraws = 100_000

// Check returns the first thing wrong with the case.
func (c Case) Check() error {
	err := firstError(
		c.Bolt.check(),
		c.Material.Check(),
		c.checkHead(),
		checkFrictions("thread", c.FrictionThread),
		checkFrictions("head", c.FrictionHead),
		c.checkJoint(),
		c.yieldFactor().check("yield factor"),
		above("yield factor", c.yieldFactor().Min, "", "1 to 1.2 is usual"),
	)
	if err != nil {
		return err
	}
	if e := c.embedding(); !(e >= 0 && e <= 0.1) {
		return within("embedding", e, 0, 0.1, "mm", "VDI 2230 has about 7 µm for a bolt in one machined joint")
	}
	if c.Draws < 0 || c.Draws > 5_000_000 {
		return within("draws", float64(c.Draws), 0, 5e6, "", "100,000 are plenty")
	}
	return checkStages(c.Stages)
}

func (c Case) checkHead() error {
	d := c.Bolt.Thread.Diameter
	return firstError(
		within("under the head: hole diameter", c.BearingHole, 0.7*d, 2*d, "mm", "check it against the thread"),
		within("under the head: outer diameter", c.BearingOuter, c.BearingHole, 5*d, "mm", "it is the outside of the ring that bears, above the hole"),
	)
}

func checkFrictions(where string, s Spread) error {
	return firstError(checkFriction(where, s.Min), checkFriction(where, s.Max), s.check("friction of the "+where))
}

func (c Case) checkJoint() error {
	what, s := "joint stiffness", c.JointStiffness
	unit, advice := "N/mm", "give joint stiffness, or stiffness_ratio, joint over bolt"
	if s.Max == 0 {
		what, s, unit = "stiffness ratio", c.StiffnessRatio, ""
	}
	return firstError(above(what, s.Min, unit, advice), above(what, s.Max, unit, advice), s.check(what))
}

func checkStages(stages []Stage) error {
	if len(stages) == 0 {
		return fmt.Errorf("stages: none; give at least one torque or stretch")
	}
	if len(stages) > 20 {
		return fmt.Errorf("stages: %d are more than the 20 allowed", len(stages))
	}
	snug := false
	for i, s := range stages {
		what := fmt.Sprintf("stage %d", i+1)
		if err := s.check(what); err != nil {
			return err
		}
		snug = snug || s.TorqueNm > 0 || s.StretchMM > 0
		if s.AngleDeg > 0 && !snug {
			return fmt.Errorf("%s: an angle of %g° without a snug torque before it starts nowhere; put the snug torque first", what, s.AngleDeg)
		}
	}
	return nil
}

func (s Stage) check(what string) error {
	for _, x := range []float64{s.TorqueNm, s.AngleDeg, s.StretchMM, s.TorqueTolerance, s.AngleTolerance, s.StretchTolerance} {
		if !(x >= 0) || math.IsInf(x, 0) {
			return fmt.Errorf("%s: %g can't be; give a number above zero", what, x)
		}
	}
	switch {
	case s.TorqueNm == 0 && s.AngleDeg == 0 && s.StretchMM == 0:
		return fmt.Errorf("%s: nothing to do; give torque, angle, torque then angle, or stretch, above zero", what)
	case s.StretchMM > 0 && (s.TorqueNm > 0 || s.AngleDeg > 0):
		return fmt.Errorf("%s: stretch stands alone; make the torque or angle a stage of its own", what)
	}
	return firstError(
		within(what+": angle", s.AngleDeg, 0, 1080, "°", "three turns are the most that make sense"),
		within(what+": torque tolerance", s.TorqueTolerance, 0, 0.5, "", "4 % is 0.04"),
		within(what+": angle tolerance", s.AngleTolerance, 0, 90, "°", "check the tool"),
	)
}

func (c Case) yieldFactor() Spread {
	if c.YieldFactor == (Spread{}) {
		return DefaultYieldFactor
	}
	return c.YieldFactor
}

func (c Case) embedding() float64 {
	if math.IsNaN(c.Embedding) {
		return DefaultEmbedding
	}
	return c.Embedding
}

// jointCompliance returns the spread of δ_P in mm/N.
func (c Case) jointCompliance(bolt Compliance) Spread {
	if c.JointStiffness.Max != 0 {
		return Spread{1 / c.JointStiffness.Max, 1 / c.JointStiffness.Min}
	}
	s := bolt.Total()
	return Spread{s / c.StiffnessRatio.Max, s / c.StiffnessRatio.Min}
}
