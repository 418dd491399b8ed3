// SPDX-License-Identifier: Apache-2.0

package film

// Method names one of the three ways to compute the film.
type Method string

// The three methods. See the package comment.
const (
	Short Method = "short"
	Map   Method = "map"
	Field Method = "field"
)

// State is one instant of the journal, dimensionless (see the package comment).
type State struct {
	Angle  float64 // α, rad of journal rotation; a film with an oil hole needs it
	X, Y   float64 // ε
	Wx, Wy float64 // W̄, the load on the journal
	Spin   float64 // s = ω̄/ω
}

// Detail is what a film says about one instant, dimensionless.
type Detail struct {
	Pressure float64 // greatest P
	Flow     float64 // out of both ends, over 2 ω c R L
	Couette  float64 // ∫ dθ/H around the bearing, mean over the width
	Gap      float64 // least H
	GapAngle float64 // θ of the least H, rad
}

// Film is the interface of the three methods: given position and load, how fast
// does the journal move through the film. An implementation may keep scratch
// memory, so one value serves one goroutine.
//
// A film that keeps its own state, such as a mass-conserving one with a turning
// oil hole, fits too: State carries the angle.
type Film interface {
	// Velocity returns V = dε/dα − s ẑ×ε. It is false where the method does
	// not reach: the journal outside the clearance or beyond the table.
	Velocity(s *State) (vx, vy float64, ok bool)
	// Detail returns pressure, flow and gap at s.
	Detail(s *State) (Detail, bool)
	// Gap returns the least H and where it is; it may be zero or negative.
	Gap(x, y float64) (h, angle float64)
	// Limit is the greatest eccentricity ratio that the method covers.
	Limit() float64
	// Method names the method.
	Method() Method
}
