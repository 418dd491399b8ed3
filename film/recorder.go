// SPDX-License-Identifier: Apache-2.0

package film

import "math"

// recorder collects one cycle from the dense output of its steps.
type recorder struct {
	c        *Case
	from     float64
	min      float64 // least H and where
	minA     float64
	minX     float64
	minY     float64
	emax2    float64
	pmax     float64
	pmaxA    float64
	work     float64 // ∫ W̄·V dα
	couette  float64 // ∫∫ (2s)²·∫dθ/H dα
	flow     float64 // ∫ flow dα
	rate     float64 // ∫ 2s·mean(1/H) dα
	steps    int
	interior bool
}

func (r *recorder) begin(c *Case, o *orbit) {
	*r = recorder{c: c, from: o.a, min: math.Inf(1)}
}

// Gauss-Legendre points and weights on [0, 1] for the means over a step.
var gauss3 = [3][2]float64{
	{0.5 - 0.3872983346207417, 5. / 18}, {0.5, 8. / 18}, {0.5 + 0.3872983346207417, 5. / 18},
}

func (r *recorder) step(o *orbit, a0, h float64) {
	r.steps++
	r.seekMin(o, a0, h)
	if r.c.Options.Bare {
		return
	}
	for _, g := range gauss3 {
		x, y := o.within(g[0])
		a := a0 + g[0]*h
		fx, fy, spin := o.cycle.At(a)
		s := State{Angle: a, X: x, Y: y, Wx: fx * o.scale, Wy: fy * o.scale, Spin: spin}
		vx, vy, ok := o.film.Velocity(&s)
		if !ok {
			continue
		}
		d, ok := o.film.Detail(&s)
		if !ok {
			continue
		}
		w := g[1] * h
		r.work += w * (s.Wx*vx + s.Wy*vy)
		r.couette += w * 4 * spin * spin * d.Couette
		r.rate += w * 2 * math.Abs(spin) * d.Couette / (2 * math.Pi)
		r.flow += w * d.Flow
		if d.Pressure > r.pmax {
			r.pmax, r.pmaxA = d.Pressure, a
		}
	}
}

// seekMin keeps the least gap of the step: four looks, then a golden section
// where one inside the step is the least.
func (r *recorder) seekMin(o *orbit, a0, h float64) {
	const looks = 4
	best, where := math.Inf(1), 0
	for i := 0; i <= looks; i++ {
		x, y := o.within(float64(i) / looks)
		if e2 := x*x + y*y; e2 > r.emax2 {
			r.emax2 = e2
		}
		if g := o.film1(x, y); g < best {
			best, where = g, i
		}
	}
	// A dip between looks cannot undercut the best look by much more than this.
	if best > 1.05*r.min {
		return
	}
	t := float64(where) / looks
	if where > 0 && where < looks {
		t = r.golden(o, t-1./looks, t+1./looks)
	}
	x, y := o.within(t)
	if g := o.film1(x, y); g < r.min {
		r.min, r.minA, r.minX, r.minY = g, a0+t*h, x, y
		r.emax2 = math.Max(r.emax2, x*x+y*y)
	}
}

func (r *recorder) golden(o *orbit, a, b float64) float64 {
	const g = 0.6180339887498949
	at := func(t float64) float64 { x, y := o.within(t); return o.film1(x, y) }
	x1, x2 := b-g*(b-a), a+g*(b-a)
	f1, f2 := at(x1), at(x2)
	for range 12 {
		if f1 < f2 {
			b, x2, f2 = x2, x1, f1
			x1 = b - g*(b-a)
			f1 = at(x1)
		} else {
			a, x1, f1 = x1, x2, f2
			x2 = a + g*(b-a)
			f2 = at(x2)
		}
	}
	return (a + b) / 2
}

// result turns the dimensionless sums into SI.
func (r *recorder) result(c *Case, o *orbit) Result {
	rc, rad := c.Bearing.radial()
	period := c.Load.period
	_, dir := o.film.Gap(r.minX, r.minY)
	res := Result{
		Method: c.Method, MinFilm: r.min * rc, MinFilmAngle: wrap(r.minA, period), MinFilmDirection: dir,
		EccentricityMax: math.Sqrt(r.emax2), PeakLoad: c.Load.peak, Steps: r.steps,
	}
	if c.Options.Bare {
		return res
	}
	mu, w, l := c.Viscosity, c.Speed, c.Bearing.Width
	res.MaxPressure = mu * w * (rad / rc) * (rad / rc) * r.pmax
	res.MaxPressureAngle = wrap(r.pmaxA, period)
	// W·v = W̄·V · μ ω (R/c)² L R · c ω; shear μ ω_rel² R³ L/c ∫dθ/H.
	k := mu * w * w * rad * rad * rad * l / rc
	res.Friction = k * (r.work + r.couette) / period
	res.SideFlow = 2 * w * rc * rad * l * r.flow / period
	res.ShearRate = w * rad / rc * r.rate / period
	return res
}

func wrap(a, period float64) float64 {
	a = math.Mod(a, period)
	if a < 0 {
		a += period
	}
	return a
}
