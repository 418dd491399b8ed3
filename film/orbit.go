// SPDX-License-Identifier: Apache-2.0

package film

import "math"

// orbit integrates dε/dα = V + s ẑ×ε over a cycle by Dormand and Prince's 5(4)
// pair with dense output. The error of a step is held against tol·(1−|ε|), the
// film itself, so that a thin film is resolved as well as a thick one.
//
// It is scratch memory for one goroutine and allocates nothing while it runs.
type orbit struct {
	film  Film
	table *MapFilm // film, if it is one: called without the interface
	cycle *Cycle
	scale float64 // W̄ per newton
	round bool    // the gap is 1−|ε|
	tol   float64

	a, x, y float64
	h       float64
	errWas  float64 // sixteenth root of the last step's error
	kx, ky  [7]float64
	s       State
	path    []pathStep // accepted steps, in order

	steps, rejected, evals int
	failA, failLoad        float64
}

const (
	maxStep  = 0.6 // rad, so that no firing peak is stepped over
	minStep  = 1e-9
	maxTries = 200000
)

// load is what the cycle says at one angle: W̄ as a unit vector and its size,
// and spin.
type load struct{ ux, uy, w, spin float64 }

func (o *orbit) loadAt(a float64) load {
	fx, fy, spin := o.cycle.At(a)
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
	if o.table != nil {
		vx, vy, ok = o.table.velocity(x, y, l.ux, l.uy, l.w)
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
	o.h, o.errWas = 0.05, 1
	o.path = o.path[:0]
	l := o.loadAt(a)
	dx, dy, ok := o.rate(a, x, y, &l)
	o.kx[0], o.ky[0] = dx, dy
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
func (o *orbit) run(period, limit float64) (met, ok bool) {
	const close = 3
	begin, old := o.a, 0
	for tries := 0; ; tries++ {
		if tries > maxTries || o.h < minStep {
			o.fail(o.a)
			return false, false
		}
		if !o.advance() {
			continue
		}
		if o.a < begin+period {
			continue
		}
		for o.path[old].a+o.path[old].h < o.a-period {
			old++
		}
		p := &o.path[old]
		x, y := p.within((o.a - period - p.a) / p.h)
		if math.Hypot(o.x-x, o.y-y) < close*o.tol*o.film1(o.x, o.y) {
			return true, true
		}
		if o.a > begin+limit {
			return false, true
		}
	}
}

// advance tries one step and keeps it if its error passes.
func (o *orbit) advance() bool {
	h := min(o.h, maxStep)
	x1, y1, err, ok := o.try(h)
	if !ok || err > 1 {
		o.rejected++
		shrink := 1. / 3
		if ok {
			shrink = max(0.2, 0.85/fifthRoot(err))
		}
		o.h = h * shrink
		return false
	}
	o.steps++
	o.keep(h, x1, y1)
	o.a += h
	o.x, o.y = x1, y1
	o.kx[0], o.ky[0] = o.kx[6], o.ky[6]
	// Proportional and integral control, which foresees a rising error:
	// h ∝ err^(−3/16) errWas^(1/16). Gustafsson, ACM TOMS 17 (1991) 533, from
	// memory, with exponents that are square roots.
	err = max(err, 1e-4)
	root := math.Sqrt(math.Sqrt(math.Sqrt(math.Sqrt(err))))
	grow := 0.88 * o.errWas / (root * root * root)
	o.errWas = root
	o.h = h * max(0.2, min(5, grow))
	return true
}

// fifthRoot is near err^(1/5), as err^(1/4−1/16).
func fifthRoot(err float64) float64 {
	return math.Sqrt(math.Sqrt(err)) / math.Sqrt(math.Sqrt(math.Sqrt(math.Sqrt(err))))
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
func (o *orbit) try(h float64) (x1, y1, err float64, ok bool) {
	kx, ky := &o.kx, &o.ky
	a, x, y := o.a, o.x, o.y
	// The loads wait for nothing.
	l2, l3, l4, l5, l6 := o.loadAt(a+c2*h), o.loadAt(a+c3*h), o.loadAt(a+c4*h), o.loadAt(a+c5*h), o.loadAt(a+h)
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
	if kx[5], ky[5], ok = o.rate(a+h, x+h*(a61*kx[0]+a62*kx[1]+a63*kx[2]+a64*kx[3]+a65*kx[4]), y+h*(a61*ky[0]+a62*ky[1]+a63*ky[2]+a64*ky[3]+a65*ky[4]), &l6); !ok {
		return
	}
	x1 = x + h*(b1*kx[0]+b3*kx[2]+b4*kx[3]+b5*kx[4]+b6*kx[5])
	y1 = y + h*(b1*ky[0]+b3*ky[2]+b4*ky[3]+b5*ky[4]+b6*ky[5])
	if kx[6], ky[6], ok = o.rate(a+h, x1, y1, &l6); !ok {
		return
	}
	ex := h * (e1*kx[0] + e3*kx[2] + e4*kx[3] + e5*kx[4] + e6*kx[5] + e7*kx[6])
	ey := h * (e1*ky[0] + e3*ky[2] + e4*ky[3] + e5*ky[4] + e6*ky[5] + e7*ky[6])
	g := min(o.film1(x, y), o.film1(x1, y1))
	if !(g > 0) {
		return x1, y1, 0, false
	}
	return x1, y1, math.Sqrt(ex*ex+ey*ey) / (o.tol * g), true
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
