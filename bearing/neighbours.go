// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"fmt"
	"math"
)

// FirstQuestions are asked before anything is measured because a clearance is
// off, in this order. Common practice, no source.
var FirstQuestions = []string{
	"Is it the right shell, upper and lower?",
	"Are seat and shell back clean and dry?",
	"Does the tang sit in its slot?",
	"Is it this rod's own cap, the right way round?",
	"Had the bolts their full torque and angle?",
	"Was the strip smeared, torn or out of date?",
	"Did the crank move while the strip was in?",
	"Read again before parts are measured.",
}

// Beside holds one position's clearance against those of the others.
type Beside struct {
	Difference float64 // from the mean of the others, mm
	U          float64 // of that difference: its own u, and the scatter of the others, mm
	StandsOut  bool    // the difference is more than twice its uncertainty
}

// AgainstNeighbours returns how a clearance stands beside those of the other
// positions of the same engine.
//
//	difference = c − mean of the others
//	u² = u_c² + s²·(1 + 1/n)
//
// s is the standard deviation of the others' readings, with their own
// uncertainty in it already. Where all positions are off alike, what they share
// is to be looked at first: the gauge, the shells' size, the undersize. It needs
// three neighbours or more.
//
// Source: the spread of one more value from a sample, JCGM 100:2008, 4.2.
func AgainstNeighbours(c Estimate, others []Estimate) (Beside, error) {
	if err := c.check("clearance"); err != nil {
		return Beside{}, err
	}
	if len(others) < 3 {
		return Beside{}, fmt.Errorf("bearing: %d other positions say too little; three are needed", len(others))
	}
	n := float64(len(others))
	var m, ss float64
	for _, o := range others {
		if err := o.check("another position's clearance"); err != nil {
			return Beside{}, err
		}
		m += o.Value / n
	}
	for _, o := range others {
		ss += (o.Value - m) * (o.Value - m)
	}
	b := Beside{Difference: c.Value - m, U: math.Sqrt(c.U*c.U + ss/(n-1)*(1+1/n))}
	b.StandsOut = math.Abs(b.Difference) > 2*b.U+slack
	return b, nil
}
