// SPDX-License-Identifier: Apache-2.0

package film

import "math"

// orbit integrates dε/dα = V + s ẑ×ε over a cycle by Dormand and Prince's 5(4)
// pair with dense output. The error of a step is held against tol times the film
// towards the wall and tol times its square root along the wall, which is how
// far a thin film reaches, so that it is resolved as well as a thick one.
//
// It is scratch memory for one goroutine and allocates nothing while it runs.
type orbit struct {
	film  Film
	table *mobilityTable // of the film, if it has one: called without the interface
	short *shortMap      // the film, if it is that one: likewise
	cycle *Cycle
	scale float64 // W̄ per newton
	round bool    // the gap is 1−|ε|
	tol   float64

	a, x, y float64
	gap     float64 // film1 there
	now     load    // there
	h       float64
	logWas  float64 // log2 of the last step's error
	kx, ky  [7]float64
	s       State
	path    []pathStep // accepted steps, in order

	steps, rejected, evals int
	failA, failLoad        float64
}

const (
	maxStep  = 0.6 // rad, so that no firing peak is stepped over
	minStep  = 1e-9
	coarsest = 5e-3 // tolerance
	maxTries = 200000
)

// load is what the cycle says at one angle: W̄ as a unit vector and its size,
// and spin.
type load struct{ ux, uy, w, spin float64 }

func (o *orbit) loadAt(a float64) load {
	p, t := o.cycle.piece(a)
	x, y := &p.fx, &p.fy
	t2 := t * t
	fx := x[0] + t*x[1] + t2*(x[2]+t*x[3])
	fy := y[0] + t*y[1] + t2*(y[2]+t*y[3])
	spin := p.s + t*p.ds
	f := math.Sqrt(fx*fx + fy*fy)
	if f == 0 {
		return load{spin: spin}
	}
	inv := 1 / f
	return load{fx * inv, fy * inv, f * o.scale, spin}
}

// rate evaluates dε/dα; false where the film does not reach.
func (o *orbit) rate(a, x, y float64, l *load) (dx, dy float64, ok bool) {
	o.evals++
	var vx, vy float64
	if t := o.table; t != nil {
		vx, vy, ok = t.velocity(x, y, l.ux, l.uy, l.w)
	} else if o.short != nil {
		vx, vy, ok = o.short.t.velocity(x, y, l.ux, l.uy, l.w, o.short.invC)
	} else {
		o.s = State{Angle: a, X: x, Y: y, Wx: l.ux * l.w, Wy: l.uy * l.w, Spin: l.spin}
		vx, vy, ok = o.film.Velocity(&o.s)
	}
	return vx - l.spin*y, vy + l.spin*x, ok
}

// pathStep is one accepted step with its continuous output.
type pathStep struct {
	a, h   float64
	rx, ry [5]float64
}

// within returns the position at fraction t of the step.
func (p *pathStep) within(t float64) (x, y float64) {
	u := 1 - t
	rx, ry := &p.rx, &p.ry
	return rx[0] + t*(rx[1]+u*(rx[2]+t*(rx[3]+u*rx[4]))),
		ry[0] + t*(ry[1]+u*(ry[2]+t*(ry[3]+u*ry[4])))
}

// start places the journal and evaluates the first rate.
func (o *orbit) start(a, x, y float64) bool {
	o.a, o.x, o.y = a, x, y
	o.h, o.logWas = 0.2, 0
	o.path = o.path[:0]
	o.now = o.loadAt(a)
	dx, dy, ok := o.rate(a, x, y, &o.now)
	o.kx[0], o.ky[0] = dx, dy
	o.gap = o.film1(x, y)
	if !ok {
		o.fail(a)
	}
	return ok
}

func (o *orbit) fail(a float64) {
	fx, fy, _ := o.cycle.At(a)
	o.failA, o.failLoad = a, math.Hypot(fx, fy)
}

// film1 is the film that scales the error: 1−|ε|, or the least gap of a shape.
func (o *orbit) film1(x, y float64) float64 {
	if o.round {
		return 1 - math.Sqrt(x*x+y*y)
	}
	h, _ := o.film.Gap(x, y)
	return h
}

// run integrates until the path meets itself one period earlier, and returns how
// many angles it went; false where the film fails. The film forgets where it
// started, fast while it is loaded, so this takes little more than one period.
//
// Meeting means within close·tol of the local film. It gives up after limit.
// Through the first warm angles, which are not read, it may go by a coarser
// tolerance.
func (o *orbit) run(period, limit, warm float64) (met, ok bool) {
	const close, coarse = 3, 10
	begin, old := o.a, 0
	fine := o.tol
	if warm > 0 {
		o.tol = min(coarse*fine, max(fine, coarsest))
	}
	for tries := 0; ; tries++ {
		if tries > maxTries || o.h < minStep {
			o.fail(o.a)
			return false, false
		}
		if !o.advance() {
			continue
		}
		if o.a > begin+warm {
			o.tol = fine
		}
		if o.a < begin+warm+period {
			continue
		}
		for o.path[old].a+o.path[old].h < o.a-period {
			old++
		}
		p := &o.path[old]
		x, y := p.within((o.a - period - p.a) / p.h)
		if o.apart2(o.x-x, o.y-y, o.gap) < close*o.tol*close*o.tol {
			return true, true
		}
		if o.a > begin+limit {
			return false, true
		}
	}
}

// ahead looks at the load at the end of a step of h and shortens the step if the
// load changes by too much of itself on the way: it would be refused at the price
// of six films.
func (o *orbit) ahead(h float64) (float64, load) {
	const most = 0.35
	l := o.loadAt(o.a + h)
	sum := l.w + o.now.w
	d2 := sum*sum - 2*l.w*o.now.w*(1+l.ux*o.now.ux+l.uy*o.now.uy)
	if !(d2 > most*most*sum*sum) {
		return h, l
	}
	h *= max(0.3, most*sum/math.Sqrt(d2))
	return h, o.loadAt(o.a + h)
}

// advance tries one step and keeps it if its error passes.
func (o *orbit) advance() bool {
	h, end := o.ahead(min(o.h, maxStep))
	x1, y1, gap, err2, ok := o.try(h, &end)
	if !ok {
		o.rejected++
		o.h = h / 3
		return false
	}
	log := log2(max(err2, 1e-8)) / 2
	if err2 > 1 {
		o.rejected++
		o.h = h * max(0.2, 0.85*exp2(-log/5))
		return false
	}
	o.steps++
	o.keep(h, x1, y1)
	o.a += h
	o.x, o.y, o.gap, o.now = x1, y1, gap, end
	o.kx[0], o.ky[0] = o.kx[6], o.ky[6]
	// Proportional and integral control, which foresees a rising error:
	// h ∝ err^(−3/16) errWas^(1/16). Gustafsson, ACM TOMS 17 (1991) 533, from
	// memory.
	o.h = h * max(0.2, min(5, 0.88*exp2((o.logWas-3*log)/16)))
	o.logWas = log
	return true
}

// log2 is within 0.09 of the binary logarithm of x, which must be normal and
// above zero: exponent and fraction of a float64 stand side by side, and log2(1+f)
// is nearly f. Steps need no better, and the next one waits for this.
func log2(x float64) float64 {
	return float64(int64(math.Float64bits(x))-1023<<52) * (1.0 / (1 << 52))
}

// exp2 is its inverse, for |x| < 1000.
func exp2(x float64) float64 {
	return math.Float64frombits(uint64(int64(x*(1<<52)) + 1023<<52))
}

// Coefficients of the pair, and of its fourth-order continuous output.
// Source: Dormand and Prince (1980), table 2; Hairer, Nørsett and Wanner,
// Solving ODEs I, 2nd ed., section II.6. From memory; a test holds them against
// the order conditions.
const (
	c2, c3, c4, c5 = 1. / 5, 3. / 10, 4. / 5, 8. / 9

	a21                     = 1. / 5
	a31, a32                = 3. / 40, 9. / 40
	a41, a42, a43           = 44. / 45, -56. / 15, 32. / 9
	a51, a52, a53, a54      = 19372. / 6561, -25360. / 2187, 64448. / 6561, -212. / 729
	a61, a62, a63, a64, a65 = 9017. / 3168, -355. / 33, 46732. / 5247, 49. / 176, -5103. / 18656
	b1, b3, b4, b5, b6      = 35. / 384, 500. / 1113, 125. / 192, -2187. / 6784, 11. / 84
	e1, e3, e4, e5, e6, e7  = 71. / 57600, -71. / 16695, 71. / 1920, -17253. / 339200, 22. / 525, -1. / 40

	d1 = -12715105075. / 11282082432
	d3 = 87487479700. / 32700410799
	d4 = -10690763975. / 1880347072
	d5 = 701980252875. / 199316789632
	d6 = -1453857185. / 822651844
	d7 = 69997945. / 29380423
)

// try makes one step of size h from the present state.
// err2 is the square of its error over what is allowed.
func (o *orbit) try(h float64, l6 *load) (x1, y1, gap, err2 float64, ok bool) {
	kx, ky := &o.kx, &o.ky
	a, x, y := o.a, o.x, o.y
	// The loads wait for nothing.
	l2, l3, l4, l5 := o.loadAt(a+c2*h), o.loadAt(a+c3*h), o.loadAt(a+c4*h), o.loadAt(a+c5*h)
	if kx[1], ky[1], ok = o.rate(a+c2*h, x+h*(a21*kx[0]), y+h*(a21*ky[0]), &l2); !ok {
		return
	}
	if kx[2], ky[2], ok = o.rate(a+c3*h, x+h*(a31*kx[0]+a32*kx[1]), y+h*(a31*ky[0]+a32*ky[1]), &l3); !ok {
		return
	}
	if kx[3], ky[3], ok = o.rate(a+c4*h, x+h*(a41*kx[0]+a42*kx[1]+a43*kx[2]), y+h*(a41*ky[0]+a42*ky[1]+a43*ky[2]), &l4); !ok {
		return
	}
	if kx[4], ky[4], ok = o.rate(a+c5*h, x+h*(a51*kx[0]+a52*kx[1]+a53*kx[2]+a54*kx[3]), y+h*(a51*ky[0]+a52*ky[1]+a53*ky[2]+a54*ky[3]), &l5); !ok {
		return
	}
	if kx[5], ky[5], ok = o.rate(a+h, x+h*(a61*kx[0]+a62*kx[1]+a63*kx[2]+a64*kx[3]+a65*kx[4]), y+h*(a61*ky[0]+a62*ky[1]+a63*ky[2]+a64*ky[3]+a65*ky[4]), l6); !ok {
		return
	}
	x1 = x + h*(b1*kx[0]+b3*kx[2]+b4*kx[3]+b5*kx[4]+b6*kx[5])
	y1 = y + h*(b1*ky[0]+b3*ky[2]+b4*ky[3]+b5*ky[4]+b6*ky[5])
	if kx[6], ky[6], ok = o.rate(a+h, x1, y1, l6); !ok {
		return
	}
	ex := h * (e1*kx[0] + e3*kx[2] + e4*kx[3] + e5*kx[4] + e6*kx[5] + e7*kx[6])
	ey := h * (e1*ky[0] + e3*ky[2] + e4*ky[3] + e5*ky[4] + e6*ky[5] + e7*ky[6])
	gap = o.film1(x1, y1)
	g := min(o.gap, gap)
	if !(g > 0) {
		return x1, y1, gap, 0, false
	}
	return x1, y1, gap, o.apart2(ex, ey, g) / (o.tol * o.tol), true
}

// apart2 is the square of a small difference of position where the gap is g:
// towards the wall in parts of the gap, along it in parts of √g. Moving along the
// wall changes a thin film only as far as its curvature against the gap tells,
// which reaches √(2g).
func (o *orbit) apart2(dx, dy, g float64) float64 {
	r2 := o.x*o.x + o.y*o.y
	if r2 < 1e-2 { // no wall to speak of
		return (dx*dx + dy*dy) / (g * g)
	}
	out, along := dx*o.x+dy*o.y, dx*o.y-dy*o.x
	return (out*out + g*along*along) / (g * g * r2)
}

// again goes from the start of an accepted step to h beyond it and returns
// position and rate there, leaving the orbit as it was.
func (o *orbit) again(p *pathStep, h float64) (x, y, dx, dy float64, ok bool) {
	was := *o
	defer func() { *o = was }()
	o.a, o.x, o.y = p.a, p.rx[0], p.ry[0]
	o.kx[0], o.ky[0] = (p.rx[1]+p.rx[2])/p.h, (p.ry[1]+p.ry[2])/p.h
	l := o.loadAt(o.a + h)
	x, y, _, _, ok = o.try(h, &l)
	return x, y, o.kx[6], o.ky[6], ok
}

// keep appends the step just tried to the path.
func (o *orbit) keep(h, x1, y1 float64) {
	o.path = append(o.path, pathStep{a: o.a, h: h})
	p := &o.path[len(o.path)-1]
	dense(&p.rx, &o.kx, h, o.x, x1)
	dense(&p.ry, &o.ky, h, o.y, y1)
}

func dense(r *[5]float64, k *[7]float64, h, x0, x1 float64) {
	d := x1 - x0
	b := h*k[0] - d
	r[0], r[1], r[2] = x0, d, b
	r[3] = d - h*k[6] - b
	r[4] = h * (d1*k[0] + d3*k[2] + d4*k[3] + d5*k[4] + d6*k[5] + d7*k[6])
}
