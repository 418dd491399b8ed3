// SPDX-License-Identifier: Apache-2.0

package film

import "math"

// MapFilm is the film of finite length from a table of mobilities. It holds no
// scratch memory: one value serves any number of goroutines.
type MapFilm struct {
	t *mobilityTable
}

// NewMapFilm returns the tabulated film for width ratio ld in
// [WidthRatioMin, WidthRatioMax].
func NewMapFilm(ld float64) (*MapFilm, error) {
	if err := within("width over diameter", "", ld, WidthRatioMin, WidthRatioMax); err != nil {
		return nil, err
	}
	t, err := tableFor(ld)
	if err != nil {
		return nil, err
	}
	return &MapFilm{t: t}, nil
}

// Method returns [Map].
func (f *MapFilm) Method() Method { return Map }

// Limit returns the greatest eccentricity ratio.
func (f *MapFilm) Limit() float64 { return mapLimit }

// Gap returns 1−|ε|.
func (f *MapFilm) Gap(x, y float64) (h, angle float64) { return roundGap(x, y) }

// Velocity returns V = M |W̄|/2; see [Film].
func (f *MapFilm) Velocity(s *State) (vx, vy float64, ok bool) {
	w := math.Sqrt(s.Wx*s.Wx + s.Wy*s.Wy)
	if w == 0 {
		return 0, 0, s.X*s.X+s.Y*s.Y < mapLimit*mapLimit
	}
	return f.t.velocity(s.X, s.Y, s.Wx/w, s.Wy/w, w)
}

// Detail returns pressure, flow and gap; see [Film].
func (f *MapFilm) Detail(s *State) (Detail, bool) {
	vx, vy, ok := f.Velocity(s)
	if !ok {
		return Detail{}, false
	}
	return f.t.detail(s, vx, vy), true
}

// detail reads pressure and flow at squeeze velocity (vx, vy).
func (t *mobilityTable) detail(s *State, vx, vy float64) Detail {
	e2 := s.X*s.X + s.Y*s.Y
	e := math.Sqrt(e2)
	d := Detail{Couette: 2 * math.Pi / math.Sqrt(1-e2), Gap: 1 - e, GapAngle: math.Atan2(s.Y, s.X)}
	if w := math.Sqrt(s.Wx*s.Wx + s.Wy*s.Wy); w > 0 {
		xi := (s.X*s.Wx + s.Y*s.Wy) / w
		p, q := t.pressureAndFlow(xi, e2)
		d.Pressure, d.Flow = p*w, q*math.Sqrt(vx*vx+vy*vy)
	}
	return d
}
