// SPDX-License-Identifier: Apache-2.0

package film

import "math"

// record reads the last period of the path: the least film and, unless bare,
// pressure and means. It remembers where the journal stood at angle begin.
func (w *worker) record(c *Case, begin, logK float64) Result {
	o := &w.o
	period := c.Load.period
	from := o.a - period
	first := len(o.path) - 1
	for first > 0 && o.path[first].a > from {
		first--
	}
	last := o.path[first:]
	r := recorder{c: c, o: o, steps: last, from: from}
	p, t := r.locate(begin)
	x, y := p.within(t)
	w.remember(logK, x, y)
	r.least()
	rc, _ := c.Bearing.radial()
	r.res.Method, r.res.PeakLoad, r.res.Steps = c.Method, c.Load.peak, len(last)
	r.res.MinFilm = r.min * rc
	r.res.MinFilmAngle = wrap(r.minA, period)
	r.turnTo(r.minA)
	_, r.res.MinFilmDirection = o.film.Gap(r.minX, r.minY)
	if !c.Options.Bare {
		r.means()
	}
	if n := c.Options.Points; n > 0 {
		r.points(n)
	}
	return r.res
}

type recorder struct {
	c     *Case
	o     *orbit
	steps []pathStep
	from  float64
	res   Result

	min, minA, minX, minY float64
}

// gapAt is the local film at a fraction of a step.
func (r *recorder) gapAt(p *pathStep, t float64) float64 {
	x, y := p.within(t)
	if !r.o.round {
		r.turnTo(p.a + t*p.h)
	}
	return r.o.film1(x, y)
}

// turnTo turns an oval journal to the angle before its gap is asked for.
func (r *recorder) turnTo(a float64) {
	if f, ok := r.o.film.(*FieldFilm); ok && f.isOval {
		f.turnTo(a)
	}
}

// least finds the least film: a few looks at every step, then a golden section
// in those that could hold it.
func (r *recorder) least() {
	if r.o.round {
		r.leastRound()
		return
	}
	const looks = 4
	r.min = math.Inf(1)
	emax2 := 0.0
	for i := range r.steps {
		p := &r.steps[i]
		best, where := math.Inf(1), 0
		for n := range looks + 1 {
			t := float64(n) / looks
			x, y := p.within(t)
			emax2 = max(emax2, x*x+y*y)
			if g := r.gapAt(p, t); g < best {
				best, where = g, n
			}
		}
		// A dip between two looks cannot undercut them by more than this.
		if best > 1.05*r.min {
			continue
		}
		t := float64(where) / looks
		if where > 0 && where < looks {
			t = r.golden(p, t-1./looks, t+1./looks)
		}
		if g := r.gapAt(p, t); g < r.min {
			r.min, r.minA = g, p.a+t*p.h
			r.minX, r.minY = p.within(t)
			emax2 = max(emax2, r.minX*r.minX+r.minY*r.minY)
		}
	}
	r.res.EccentricityMax = math.Sqrt(emax2)
}

// leastRound does the same for the round bearing, whose gap is least where ε² is
// greatest: at an end of a step, or inside one that the journal enters moving
// outward and leaves moving inward.
func (r *recorder) leastRound() {
	best2 := -1.0
	var inside *pathStep // the step that holds the least film, if not at its end
	take := func(p *pathStep, t, x, y float64) {
		if e2 := x*x + y*y; e2 > best2 {
			best2, inside = e2, nil
			if t < 1 {
				inside = p
			}
			r.minA, r.minX, r.minY = p.a+t*p.h, x, y
		}
	}
	for i := range r.steps {
		p := &r.steps[i]
		x, y := p.within(1)
		take(p, 1, x, y)
	}
	for i := range r.steps {
		p := &r.steps[i]
		x, y := p.within(1)
		// ½ d(ε²)/dt at both ends of the continuous output.
		in := p.rx[0]*(p.rx[1]+p.rx[2]) + p.ry[0]*(p.ry[1]+p.ry[2])
		out := x*(p.rx[1]-p.rx[2]-p.rx[3]) + y*(p.ry[1]-p.ry[2]-p.ry[3])
		if !(in > 0 && out < 0) {
			continue
		}
		t := in / (in - out) // where a parabola would turn
		x, y = p.within(t)
		if r.o.film1(x, y) > 1.1*(1-math.Sqrt(best2)) {
			continue // far from the least
		}
		t = r.golden(p, max(0, t-0.25), min(1, t+0.25))
		x, y = p.within(t)
		take(p, t, x, y)
	}
	if inside != nil {
		best2 = r.refine(inside, best2)
	}
	r.res.EccentricityMax = math.Sqrt(best2)
	r.min = 1 - r.res.EccentricityMax
}

// refine finds the greatest ε² inside a step again. Between its ends the
// continuous output is a power of the step worse than the step itself, so go to
// where it puts the least film by a step of its own, and on from there by the
// cubic through value and slope there and at the step's end beyond or before.
func (r *recorder) refine(p *pathStep, best2 float64) float64 {
	x1, y1, dx, dy, ok := r.o.again(p, r.minA-p.a)
	if !ok {
		return best2
	}
	a0, u0, d0 := r.minA, x1*x1+y1*y1, 2*(x1*dx+y1*dy)
	b0, b1 := p.rx[1]+p.rx[2], p.ry[1]+p.ry[2] // slopes at the start, per step
	a1, u1, d1 := p.a, p.rx[0]*p.rx[0]+p.ry[0]*p.ry[0], 2*(p.rx[0]*b0+p.ry[0]*b1)/p.h
	if d0 > 0 {
		x, y := p.within(1)
		b0, b1 = p.rx[1]-p.rx[2]-p.rx[3], p.ry[1]-p.ry[2]-p.ry[3]
		a1, u1, d1 = p.a+p.h, x*x+y*y, 2*(x*b0+y*b1)/p.h
	}
	t := hermiteTurn(u1-u0, d0*(a1-a0), d1*(a1-a0))
	u, _ := hermite(a0, a1, u0, u1, d0, d1, a0+t*(a1-a0))
	r.minA = a0 + t*(a1-a0)
	k := math.Sqrt(u / u0)
	r.minX, r.minY = k*x1, k*y1
	return u
}

// hermiteTurn returns where in [0, 1] the cubic with rise d and slopes s0 and s1
// turns, these being of opposite signs; 0 if rounding leaves no such place.
func hermiteTurn(d, s0, s1 float64) float64 {
	// Slope s0 + 2 b t + 3 c t².
	b, c := 3*d-2*s0-s1, s0+s1-2*d
	root := b*b - 3*c*s0
	if !(root >= 0) {
		return 0
	}
	// The root where the slope falls through zero, written without cancelling.
	q := -b + math.Copysign(math.Sqrt(root), -b)
	for _, t := range [2]float64{s0 / q, q / (3 * c)} {
		if t >= 0 && t <= 1 {
			return t
		}
	}
	return 0
}

const goldenRatio = 0.6180339887498949

// golden returns where in [a, b] of the step the film is least.
func (r *recorder) golden(p *pathStep, a, b float64) float64 {
	x1, x2 := b-goldenRatio*(b-a), a+goldenRatio*(b-a)
	f1, f2 := r.gapAt(p, x1), r.gapAt(p, x2)
	for range 12 {
		if f1 < f2 {
			b, x2, f2 = x2, x1, f1
			x1 = b - goldenRatio*(b-a)
			f1 = r.gapAt(p, x1)
		} else {
			a, x1, f1 = x1, x2, f2
			x2 = a + goldenRatio*(b-a)
			f2 = r.gapAt(p, x2)
		}
	}
	return (a + b) / 2
}

// at returns the state and what the film says of it at a fraction of a step.
// The state is the orbit's scratch.
func (r *recorder) at(p *pathStep, t float64) (s *State, d Detail, vx, vy float64, ok bool) {
	x, y := p.within(t)
	a := p.a + t*p.h
	fx, fy, spin := r.o.cycle.At(a)
	s = &r.o.s
	*s = State{Angle: a, X: x, Y: y, Wx: fx * r.o.scale, Wy: fy * r.o.scale, Spin: spin}
	if vx, vy, ok = r.o.film.Velocity(s); !ok {
		return
	}
	d, ok = r.o.film.Detail(s)
	return
}

// means integrates over the period by Gauss's two points in every step, and
// finds the greatest pressure from those and a search about the best.
func (r *recorder) means() {
	const g = 0.2886751345948129 // 1/(2√3)
	var work, couette, flow, rate, pmax, pmaxA float64
	var best *pathStep
	for i := range r.steps {
		p := &r.steps[i]
		w := p.h
		if p.a < r.from {
			w = p.a + p.h - r.from // the first step is only partly in the period
		}
		for _, t := range [2]float64{0.5 - g, 0.5 + g} {
			s, d, vx, vy, ok := r.at(p, t)
			if !ok {
				continue
			}
			work += w / 2 * (s.Wx*vx + s.Wy*vy)
			couette += w / 2 * 4 * s.Spin * s.Spin * d.Couette
			rate += w / 2 * 2 * math.Abs(s.Spin) * d.Couette / (2 * math.Pi)
			flow += w / 2 * d.Flow
			if d.Pressure > pmax {
				pmax, pmaxA, best = d.Pressure, s.Angle, p
			}
		}
	}
	if best != nil {
		pmax, pmaxA = r.peak(pmax, pmaxA)
	}
	c := r.c
	rc, rad := c.Bearing.radial()
	period := c.Load.period
	mu, w, l := c.Viscosity, c.Speed, c.Bearing.Width
	r.res.MaxPressure = mu * w * (rad / rc) * (rad / rc) * pmax
	r.res.MaxPressureAngle = wrap(pmaxA, period)
	// W·v = W̄·V · μ ω (R/c)² L R · c ω; shear μ ω_rel² R³ L/c ∫dθ/H.
	k := mu * w * w * rad * rad * rad * l / rc
	r.res.Friction = k * (work + couette) / period
	r.res.SideFlow = 2 * w * rc * rad * l * flow / period
	r.res.ShearRate = w * rad / rc * rate / period
}

// peak looks for a greater pressure within a few degrees of the best sample.
func (r *recorder) peak(p, a float64) (float64, float64) {
	const reach, looks = 0.15, 12 // rad
	for n := range looks + 1 {
		at := a + reach*(2*float64(n)/looks-1)
		if st, t := r.locate(at); st != nil {
			if _, d, _, _, ok := r.at(st, t); ok && d.Pressure > p {
				p, a = d.Pressure, at
			}
		}
	}
	return p, a
}

// locate returns the step that covers an angle, which may lie one period off.
func (r *recorder) locate(a float64) (*pathStep, float64) {
	period := r.c.Load.period
	for a < r.from {
		a += period
	}
	for a > r.o.a {
		a -= period
	}
	lo, hi := 0, len(r.steps)-1
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if r.steps[mid].a <= a {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	p := &r.steps[lo]
	return p, (a - p.a) / p.h
}

// points returns n instants at even angles from 0.
func (r *recorder) points(n int) {
	c := r.c
	rc, rad := c.Bearing.radial()
	k := c.Viscosity * c.Speed * (rad / rc) * (rad / rc)
	r.res.Points = make([]Point, n)
	for i := range r.res.Points {
		a := c.Load.period * float64(i) / float64(n)
		p, t := r.locate(a)
		x, y := p.within(t)
		r.turnTo(a)
		h, dir := r.o.film.Gap(x, y)
		q := Point{Angle: a, X: x, Y: y, Film: h * rc, Direction: dir}
		q.Fx, q.Fy, _ = c.Load.At(a)
		if !c.Options.Bare {
			if _, d, _, _, ok := r.at(p, t); ok {
				q.Pressure = k * d.Pressure
			}
		}
		r.res.Points[i] = q
	}
}

func wrap(a, period float64) float64 {
	a = math.Mod(a, period)
	if a < 0 {
		a += period
	}
	return a
}
