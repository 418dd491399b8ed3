// SPDX-License-Identifier: Apache-2.0

package film

import "math"

// FieldFilm is the two-dimensional film solved anew at every call. It keeps the
// last set of nodes with pressure to start the next from.
type FieldFilm struct {
	r     *reynolds
	seedd bool
	last  State // solved state, for Detail
	done  bool
	ux    float64 // line of centres of the last solution
	uy    float64
}

// NewFieldFilm returns the field method for an aligned circular bearing of width
// ratio ld on a grid; the zero grid is [DefaultGrid].
func NewFieldFilm(ld float64, g Grid) (*FieldFilm, error) {
	if err := within("width over diameter", "", ld, 0.05, 4); err != nil {
		return nil, err
	}
	if g == (Grid{}) {
		g = DefaultGrid
	}
	if err := g.Check(); err != nil {
		return nil, err
	}
	return &FieldFilm{r: newReynolds(ld, g, false)}, nil
}

// fieldLimit is where the default grid still resolves the narrow gap.
const fieldLimit = 0.9995

// Method returns [Field].
func (f *FieldFilm) Method() Method { return Field }

// Limit returns the greatest eccentricity ratio.
func (f *FieldFilm) Limit() float64 { return fieldLimit }

// Gap returns the least H and its angle.
func (f *FieldFilm) Gap(x, y float64) (h, angle float64) { return roundGap(x, y) }

// Velocity solves the film; see [Film].
func (f *FieldFilm) Velocity(s *State) (vx, vy float64, ok bool) {
	f.done = false
	e := math.Sqrt(s.X*s.X + s.Y*s.Y)
	if !(e < fieldLimit) {
		return 0, 0, false
	}
	w := math.Sqrt(s.Wx*s.Wx + s.Wy*s.Wy)
	ux, uy := 1.0, 0.0
	if e > 1e-9 {
		ux, uy = s.X/e, s.Y/e
	} else if w > 0 {
		ux, uy = s.Wx/w, s.Wy/w
	}
	f.ux, f.uy = ux, uy
	r := f.r
	r.round(e)
	if w == 0 {
		return 0, 0, true
	}
	wx, wy := s.Wx*ux+s.Wy*uy, -s.Wx*uy+s.Wy*ux
	if !f.seedd {
		r.seed(wx, wy)
		r.vx, r.vy = wx, wy
		f.seedd = true
	}
	r.blocked = -1
	if !r.underLoad(wx, wy) {
		r.seed(wx, wy) // a stale set may cycle; once more from a fresh one
		if !r.underLoad(wx, wy) {
			f.seedd = false
			return 0, 0, false
		}
	}
	f.last, f.done = *s, true
	return r.vx*ux - r.vy*uy, r.vx*uy + r.vy*ux, true
}

// Detail returns pressure, flow and gap; see [Film].
func (f *FieldFilm) Detail(s *State) (Detail, bool) {
	if !f.done || f.last != *s {
		if _, _, ok := f.Velocity(s); !ok {
			return Detail{}, false
		}
	}
	h, angle := f.Gap(s.X, s.Y)
	d := Detail{Couette: 2 * math.Pi / math.Sqrt(1-s.X*s.X-s.Y*s.Y), Gap: h, GapAngle: angle}
	if f.done {
		d.Pressure, d.Flow = f.r.peak(), f.r.sideFlow()
	}
	return d, true
}
