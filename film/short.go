// SPDX-License-Identifier: Apache-2.0

package film

import "math"

// ShortFilm is the short-bearing film with the pressure positive over the half
// turn that the journal approaches, by its exact integrals.
type ShortFilm struct {
	k float64 // (L/D)²
}

// NewShortFilm returns the short film for width ratio ld = L/D, in (0, 1.2].
func NewShortFilm(ld float64) (*ShortFilm, error) {
	if !(ld > 0 && ld <= WidthRatioMax) {
		return nil, &RangeError{Name: "width over diameter", Value: ld, Low: 0, High: WidthRatioMax}
	}
	return &ShortFilm{k: ld * ld}, nil
}

// shortLimit keeps 1−ε² well above rounding.
const shortLimit = 0.99995

// Method returns [Short].
func (f *ShortFilm) Method() Method { return Short }

// Limit returns the greatest eccentricity ratio.
func (f *ShortFilm) Limit() float64 { return shortLimit }

// Gap returns 1−|ε|.
func (f *ShortFilm) Gap(x, y float64) (h, angle float64) { return roundGap(x, y) }

func roundGap(x, y float64) (h, angle float64) {
	return 1 - math.Hypot(x, y), math.Atan2(y, x)
}

// Velocity returns V = M |W̄|/2; see [Film].
func (f *ShortFilm) Velocity(s *State) (vx, vy float64, ok bool) {
	w := math.Sqrt(s.Wx*s.Wx + s.Wy*s.Wy)
	if w == 0 {
		return 0, 0, s.X*s.X+s.Y*s.Y < shortLimit*shortLimit
	}
	mx, my, ok := shortMobility(s.X, s.Y, s.Wx/w, s.Wy/w)
	v := w / (2 * f.k)
	return mx * v, my * v, ok
}

// shortMobility returns the mobility times (L/D)² of the short film at
// eccentricity ε = (x, y) for a load along the unit vector (wx, wy).
//
// The pressure P = 6 (L/D)² (V·n)(1−Z²)/H³, positive half only, gives
// W̄ = 4 (L/D)² G V with G = ∫ n nᵀ/H³ over V·n > 0, and M = 2V/|W̄|. G depends on
// the direction of V alone and V ↦ G V is the gradient of a convex function
// with G as its derivative, so V ← G⁻¹ŵ is Newton's method.
func shortMobility(x, y, wx, wy float64) (mx, my float64, ok bool) {
	e2 := x*x + y*y
	if !(e2 < shortLimit*shortLimit) {
		return 0, 0, false
	}
	e := math.Sqrt(e2)
	cx, cy := 1.0, 0.0
	if e > 1e-12 {
		cx, cy = x/e, y/e
	}
	// Load in the axes of the line of centres.
	a, b := wx*cx+wy*cy, -wx*cy+wy*cx
	// Start: Booker's closed form, within 11 %.
	xi, eta := e*a, -e*b // in load axes: ε·ŵ and ε·(ẑ×ŵ)
	u := math.Sqrt(1 - xi)
	m1, m2 := u*u*u*u*u/math.Pi, -4*eta*u*u*u/(math.Pi*math.Pi)
	c, s := m1*a-m2*b, m1*b+m2*a
	n := 1 / math.Sqrt(c*c+s*s)
	c, s = c*n, s*n
	for range 40 {
		icc, isc, iss := shortIntegrals(e, c, s)
		det := icc*iss - isc*isc
		vc, vs := (iss*a-isc*b)/det, (icc*b-isc*a)/det
		n := 1 / math.Sqrt(vc*vc+vs*vs)
		d := math.Abs(vc*n*s - vs*n*c) // sine of the turn
		c, s = vc*n, vs*n
		if d < 1e-8 { // converges quadratically; rounding stands near 1e-9
			mc, ms := vc/2, vs/2
			return mc*cx - ms*cy, mc*cy + ms*cx, true
		}
	}
	return 0, 0, false
}

// shortIntegrals returns ∫ cos²θ/H³, ∫ sinθ cosθ/H³ and ∫ sin²θ/H³ with
// H = 1−ε cosθ over the half turn centred on the direction (c, s).
//
// With cosθ = (ε+cosγ)/(1+ε cosγ) (Sommerfeld) the integrands become
// (cosγ+ε)²(1−ε²)^(−5/2), sinγ(cosγ+ε)(1−ε²)^(−2) and sin²γ(1−ε²)^(−3/2) in γ.
func shortIntegrals(e, c, s float64) (icc, isc, iss float64) {
	q2 := 1 - e*e
	q := math.Sqrt(q2)
	// The ends θ1, θ2 = β ∓ 90°: cosines s, −s and sines −c, c.
	h1, h2 := 1/(1-e*s), 1/(1+e*s)
	c1, s1 := (s-e)*h1, -q*c*h1
	c2, s2 := (-s-e)*h2, q*c*h2
	d := math.Atan2(s2*c1-c2*s1, c2*c1+s2*s1)
	if d < 0 {
		d += 2 * math.Pi
	}
	sc := s2*c2 - s1*c1
	icc = ((d+sc)/2 + 2*e*(s2-s1) + e*e*d) / (q2 * q2 * q)
	isc = ((s2*s2-s1*s1)/2 - e*(c2-c1)) / (q2 * q2)
	iss = (d - sc) / 2 / (q2 * q)
	return icc, isc, iss
}

// Detail returns pressure, flow and gap; see [Film]. The flow is all that the
// journal displaces on the approaching half: |V| over 2 ω c R L.
func (f *ShortFilm) Detail(s *State) (Detail, bool) {
	vx, vy, ok := f.Velocity(s)
	if !ok {
		return Detail{}, false
	}
	h, angle := roundGap(s.X, s.Y)
	v := math.Hypot(vx, vy)
	return Detail{
		Pressure: 6 * f.k * shortPeak(s.X, s.Y, vx, vy),
		Flow:     v,
		Couette:  2 * math.Pi / math.Sqrt(1-s.X*s.X-s.Y*s.Y),
		Gap:      h, GapAngle: angle,
	}, true
}

// shortPeak returns the greatest V·n/H³.
func shortPeak(x, y, vx, vy float64) float64 {
	v := math.Hypot(vx, vy)
	if v == 0 {
		return 0
	}
	// Stationary where (V·n)'H = 3 (V·n) H'. Scan, then golden section.
	beta := math.Atan2(vy, vx)
	at := func(t float64) float64 {
		sin, cos := math.Sincos(t)
		h := 1 - x*cos - y*sin
		return (vx*cos + vy*sin) / (h * h * h)
	}
	phi := math.Atan2(y, x)
	width := math.Sqrt(2 * (1 - math.Hypot(x, y)))
	best, where, step := 0.0, beta, 0.0
	try := func(t, dt float64) {
		if p := at(t); p > best {
			best, where, step = p, t, dt
		}
	}
	for i := -8; i <= 8; i++ {
		try(beta+float64(i)*math.Pi/17, math.Pi/17)
		try(phi+float64(i)*width/5, width/5)
	}
	return math.Max(best, goldenMax(at, where-step, where+step))
}

// goldenMax returns the greatest f in [a, b], f with one maximum there.
func goldenMax(f func(float64) float64, a, b float64) float64 {
	const g = 0.6180339887498949
	x1, x2 := b-g*(b-a), a+g*(b-a)
	f1, f2 := f(x1), f(x2)
	for range 24 {
		if f1 > f2 {
			b, x2, f2 = x2, x1, f1
			x1 = b - g*(b-a)
			f1 = f(x1)
		} else {
			a, x1, f1 = x1, x2, f2
			x2 = a + g*(b-a)
			f2 = f(x2)
		}
	}
	return math.Max(f1, f2)
}
