// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"fmt"
	"math"
)

// The windows that define what a trace shows, in degrees.
const (
	steadyWindow = 20.0 // the steady rate is the largest held over this
	rateWindow   = 5.0  // the local rate is taken over this, centred
	yieldHold    = 3.0  // and stays below half of the steady rate for this
	joinWindow   = 2.0  // residuals are averaged over this to find the snug point
	mostScatter  = 0.15 // of what the steady rate climbs in its window; more is no one fastener's
	leastMixed   = 10   // points that disagree with their neighbours by more than that, and a quarter
	leastGap     = 5.0  // a step is a gap from here, or from three usual steps,
	mostGap      = 15.0 // but from here in any case; no window reaches over a gap
)

// TracePoint is one point of a trace: the mean of the rows within a tenth of a
// degree.
type TracePoint struct {
	Angle, Torque float64 // degrees on the file's own scale, N·m
	Rows          float64
	squares       float64 // Σ torque², for the scatter of the rows
}

// Trace is torque over angle of one fastener, by rising angle.
type Trace struct {
	Fastener string
	Points   []TracePoint
}

// gapLimit returns how long a step may be without being a gap, degrees.
func (t Trace) gapLimit() float64 {
	steps := make([]float64, 0, len(t.Points))
	for i := 1; i < len(t.Points); i++ {
		steps = append(steps, t.Points[i].Angle-t.Points[i-1].Angle)
	}
	if len(steps) == 0 {
		return leastGap
	}
	return math.Min(math.Max(leastGap, 3*median(steps)), mostGap)
}

// Gap returns the longest gap and where it begins, degrees; 0 if there is
// none. A gap is a step of more than 5°, or of three usual steps, or of 15°.
func (t Trace) Gap() (width, at float64) {
	limit := t.gapLimit()
	for i := 1; i < len(t.Points); i++ {
		if step := t.Points[i].Angle - t.Points[i-1].Angle; step > limit && step > width {
			width, at = step, t.Points[i-1].Angle
		}
	}
	return width, at
}

// TraceResult is what one trace shows, and what the set says about it. A nil
// field could not be found: Why says what is missing.
type TraceResult struct {
	Fastener   string
	SnugAngle  *float64 // on the file's own scale, degrees
	SnugTorque *float64 // N·m
	Rate       *float64 // N·m per degree
	YieldAngle *float64 // on the file's own scale, degrees; nil: none
	// FinalTorque is the torque at the greatest angle, N·m.
	FinalTorque float64
	// AngleFromSnug is the greatest angle less SnugAngle, degrees.
	AngleFromSnug *float64
	Odd           bool
	Why           string // plain reasons, joined by "; "; empty if not odd

	problem string // what is wrong with this trace by itself
}

// Read returns what one trace shows by itself, without a set to hold it
// against.
//
//   - Steady rate: the largest least-squares slope over 20°.
//   - Snug: the first angle from which the curve lies on that line up to the
//     window that gave it. It lies on the line when the mean residual over 2°
//     is within a quarter of a degree's worth of torque, plus three standard
//     errors of that mean; the line is fitted again as it grows.
//     It has left the line when it stays off it for 2°.
//   - Yield: the first angle past the start of that window from which the slope
//     over 5°, centred, stays below half of the steady rate for 3°.
//
// A trace of less than 20°, or one whose torque never rises, has none of the
// three. No window reaches over a gap (see [Trace.Gap]).
//
// The definitions are this program's own; the test of this package holds them
// against traces with known points.
func (t Trace) Read() TraceResult {
	r := TraceResult{Fastener: t.Fastener}
	n := len(t.Points)
	if n == 0 {
		r.problem = "no rows"
		return r
	}
	r.FinalTorque = t.Points[n-1].Torque
	c := newCurve(t.Points, t.gapLimit())
	line, ok := c.steady()
	if !ok {
		r.problem = t.noRate()
		return r
	}
	snug, joined := c.joins(line)
	torque, rate, turned := joined.at(snug), line.slope, c.last()-snug
	r.SnugAngle, r.SnugTorque, r.Rate, r.AngleFromSnug = &snug, &torque, &rate, &turned
	if y, ok := c.yields(line); ok {
		r.YieldAngle = &y
	}
	most := mostScatter * line.slope * steadyWindow
	switch n := t.apart(most); {
	case line.scatter > most:
		r.problem = fmt.Sprintf("the rows scatter by ±%.3g N·m about one line: two fasteners under one name, or a noisy wrench", line.scatter)
	case n >= leastMixed && 4*n >= len(t.Points):
		r.problem = fmt.Sprintf("at %d of %d angles the torque is two things at once: two fasteners under one name, or a noisy wrench", n, len(t.Points))
	}
	return r
}

// apart counts the points that no one curve goes through: their rows scatter by
// more than most, or they lie off the middle of their neighbours by twice that.
func (t Trace) apart(most float64) int {
	n := 0
	for i, p := range t.Points {
		mean := p.Torque
		scatter := p.squares/p.Rows - mean*mean
		zigzag := 0.0
		if i > 0 && i+1 < len(t.Points) && t.Points[i+1].Angle-t.Points[i-1].Angle <= 2*joinWindow {
			zigzag = math.Abs(mean - (t.Points[i-1].Torque+t.Points[i+1].Torque)/2)
		}
		if p.Rows > 1 && scatter > most*most || zigzag > 2*most {
			n++
		}
	}
	return n
}

func (t Trace) noRate() string {
	span := t.Points[len(t.Points)-1].Angle - t.Points[0].Angle
	gap, at := t.Gap()
	switch {
	case span < steadyWindow:
		return fmt.Sprintf("covers %.3g° of angle, and a steady rate needs %g°", span, steadyWindow)
	case gap > 0:
		return fmt.Sprintf("a gap of %.3g° at %.4g° leaves no %g° of rising torque", gap, at, steadyWindow)
	}
	return "the torque never rises"
}
