// SPDX-License-Identifier: Apache-2.0

package film

import "math"

// FieldFilm is the two-dimensional film solved anew at every call. It keeps the
// last set of nodes with pressure to start the next from, and serves one
// goroutine.
type FieldFilm struct {
	r      *reynolds
	shape  Shape
	isOval bool // the gap turns with the journal
	rc     float64
	turn   func(angle float64) float64
	g      gap
	warm   bool  // r holds a set to start from
	done   bool  // r holds the solution at last
	last   State // solved state
}

// NewFieldFilm returns the field method for an aligned circular bearing of width
// ratio ld, in [0.05, 4], on a grid; the zero grid is [DefaultGrid].
func NewFieldFilm(ld float64, g Grid) (*FieldFilm, error) {
	return newField(ld, g, true)
}

func newField(ld float64, g Grid, symmetric bool) (*FieldFilm, error) {
	if err := within("width over diameter", "", ld, 0.05, 4); err != nil {
		return nil, err
	}
	if g == (Grid{}) {
		g = DefaultGrid
	}
	if err := g.Check(); err != nil {
		return nil, err
	}
	return &FieldFilm{r: newReynolds(ld, g, !symmetric)}, nil
}

// NewShapedFilm returns the field method for a bearing with a measured shape.
// turn gives how far the journal has turned from the bearing's frame at an
// angle of the cycle; nil means as far as the angle.
func NewShapedFilm(b Bearing, s Shape, g Grid, turn func(angle float64) float64) (*FieldFilm, error) {
	if err := b.Check(); err != nil {
		return nil, err
	}
	if err := s.check(b); err != nil {
		return nil, err
	}
	f, err := newField(b.Ratio(), g, s.symmetric())
	if err != nil {
		return nil, err
	}
	f.shape, f.turn = s, turn
	f.rc, _ = b.radial()
	f.isOval = s.JournalOvality != 0
	f.g = s.gap(f.rc, 0)
	return f, nil
}

// fieldLimit is where the default grid still resolves the narrow gap.
const fieldLimit = 0.9995

// Method returns [Field].
func (f *FieldFilm) Method() Method { return Field }

// Limit returns the greatest eccentricity ratio of an aligned round bearing.
func (f *FieldFilm) Limit() float64 { return fieldLimit }

// Gap returns the least H and its angle, with the shape as it stood at the last
// state.
func (f *FieldFilm) Gap(x, y float64) (h, angle float64) {
	if f.shape.zero() {
		return roundGap(x, y)
	}
	return f.g.least(x, y)
}

// Velocity solves the film; see [Film].
func (f *FieldFilm) Velocity(s *State) (vx, vy float64, ok bool) {
	f.done = false
	e := math.Sqrt(s.X*s.X + s.Y*s.Y)
	w := math.Sqrt(s.Wx*s.Wx + s.Wy*s.Wy)
	ux, uy := 1.0, 0.0
	if e > 1e-9 {
		ux, uy = s.X/e, s.Y/e
	} else if w > 0 {
		ux, uy = s.Wx/w, s.Wy/w
	}
	r := f.r
	if !f.build(s, e, ux, uy) {
		return 0, 0, false
	}
	if w == 0 && f.shape.zero() {
		return 0, 0, true
	}
	wx, wy := s.Wx*ux+s.Wy*uy, -s.Wx*uy+s.Wy*ux
	r.blocked = -1
	if !f.warm || !r.underLoad(wx, wy) {
		// Cold, or a stale set that cycles: once more from a fresh one.
		r.seed(wx, wy)
		r.vx, r.vy = wx, wy
		if f.warm = r.underLoad(wx, wy); !f.warm {
			return 0, 0, false
		}
	}
	f.last, f.done = *s, true
	return r.vx*ux - r.vy*uy, r.vx*uy + r.vy*ux, true
}

// build fills the coefficients; false where the surfaces touch.
func (f *FieldFilm) build(s *State, e, ux, uy float64) bool {
	if f.shape.zero() {
		if !(e < fieldLimit) {
			return false
		}
		f.r.round(e)
		return true
	}
	if f.isOval {
		f.turnTo(s.Angle)
	}
	h, _ := f.g.least(s.X, s.Y)
	if !(h > 1-fieldLimit) || !(e < 3) {
		return false
	}
	return f.r.shaped(&f.g, s.X, s.Y, ux, uy, math.Min(h, 1), s.Spin)
}

// turnTo sets the gap for an angle of the cycle.
func (f *FieldFilm) turnTo(angle float64) {
	if f.turn != nil {
		angle = f.turn(angle)
	}
	f.g = f.shape.gap(f.rc, angle)
}

// Detail returns pressure, flow and gap; see [Film].
func (f *FieldFilm) Detail(s *State) (Detail, bool) {
	if !f.done || f.last != *s {
		if _, _, ok := f.Velocity(s); !ok {
			return Detail{}, false
		}
	}
	h, angle := f.Gap(s.X, s.Y)
	d := Detail{Gap: h, GapAngle: angle}
	if f.shape.zero() {
		d.Couette = 2 * math.Pi / math.Sqrt(1-s.X*s.X-s.Y*s.Y)
	} else {
		d.Couette = f.r.couette()
	}
	if f.done {
		d.Pressure, d.Flow = f.r.peak(), f.r.sideFlow()
	}
	return d, true
}
