// SPDX-License-Identifier: Apache-2.0

package film

import (
	"fmt"
	"math"
)

// Case is one bearing under one cycle of load with one viscosity.
type Case struct {
	Bearing   Bearing
	Viscosity float64 // Pa·s, of the whole film
	Speed     float64 // rad/s, the journal's, above zero
	Load      *Cycle
	Method    Method
	Shape     Shape // measured form; only [Field] takes it
	Options   Options
}

// Options tune the calculation; the zero value is what the checks use.
type Options struct {
	Tolerance float64 // error of a step over the film; 0 means 3e-4
	MaxCycles int     // 0 means 60
	Grid      Grid    // of the field method; zero means [DefaultGrid]
	Bare      bool    // least film only: no pressure, friction, flow
	Points    int     // instants to return over the cycle; 0 means none
}

// Result is what came out, in SI units. Means are over the cycle.
type Result struct {
	Method           Method
	MinFilm          float64 // m
	MinFilmAngle     float64 // rad of journal rotation, in [0, period)
	MinFilmDirection float64 // rad, where on the bearing, from x
	EccentricityMax  float64 // ratio; above 1 only with a shape
	MaxPressure      float64 // Pa
	MaxPressureAngle float64 // rad
	Friction         float64 // W, mean: shear over the full turn plus W·v
	SideFlow         float64 // m³/s, mean, both ends
	ShearRate        float64 // 1/s, mean of journal speed over gap
	PeakLoad         float64 // N
	Converged        bool    // the orbit closes on itself
	Cycles           int     // periods gone through until it did, the last one counted whole
	Steps            int     // accepted steps of the last period
	Points           []Point // empty unless asked for
}

// Point is one instant of the cycle.
type Point struct {
	Angle     float64 // rad
	X, Y      float64 // eccentricity ratio
	Film      float64 // m, least
	Direction float64 // rad, where the least film is
	Fx, Fy    float64 // N
	Pressure  float64 // Pa, greatest; 0 with Options.Bare
}

// Check returns an error naming what cannot be used, or nil.
func (c *Case) Check() error {
	if err := c.Bearing.Check(); err != nil {
		return err
	}
	if err := within("viscosity", "mPa·s", 1e3*c.Viscosity, 1e-2, 1e5); err != nil {
		return err
	}
	if err := within("speed", "rev/min", c.Speed*30/math.Pi, 1e-3, 1e5); err != nil {
		return err
	}
	if c.Load == nil {
		return &TableError{0, "there is no load"}
	}
	if c.Method != Field && !c.Shape.zero() {
		return fmt.Errorf("method %q takes no measured shape; use method %q", c.Method, Field)
	}
	return nil
}

// LoadScale returns W̄ per newton: 2/(μ ω (R/c)² L D).
func (c *Case) loadScale() float64 {
	rc, r := c.Bearing.radial()
	return 2 / (c.Viscosity * c.Speed * (r / rc) * (r / rc) * c.Bearing.Width * c.Bearing.Diameter)
}

// Solve returns the periodic orbit of the journal under the case's cycle.
//
// The film forgets where the journal started; the path is followed until it
// meets itself one period earlier within three times the tolerance.
// Converged says whether it did. Errors: *RangeError, *TableError,
// *OverloadError.
func Solve(c Case) (Result, error) {
	if err := c.Check(); err != nil {
		return Result{}, err
	}
	f, err := NewFilm(c)
	if err != nil {
		return Result{}, err
	}
	var w worker
	return w.solve(&c, f)
}

// NewFilm returns the film of the case's method.
func NewFilm(c Case) (Film, error) {
	switch c.Method {
	case Short:
		return newShortMap(c.Bearing.Ratio())
	case Map:
		return NewMapFilm(c.Bearing.Ratio())
	case Field:
		if c.Shape.zero() {
			return NewFieldFilm(c.Bearing.Ratio(), c.Options.Grid)
		}
		return NewShapedFilm(c.Bearing, c.Shape, c.Options.Grid, c.Load.turned())
	default:
		return nil, fmt.Errorf("method %q is not one of %q, %q, %q", c.Method, Short, Map, Field)
	}
}

// worker is the scratch memory of one goroutine. It remembers where the last two
// orbits over the same cycle stood at their begin, to start the next near its
// own path.
type worker struct {
	o     orbit
	known int // remembered orbits, up to 2, the last first
	past  [2]remembered
}

// remembered is a position at begin, by the logarithm of the load scale.
type remembered struct{ logK, x, y float64 }

// forget drops what is remembered: the cycle or the film changes.
func (w *worker) forget() { w.known = 0 }

// guess returns where an orbit at logK will stand at begin: on the line through
// the last two, no further than one of their distances beyond.
func (w *worker) guess(logK float64) (x, y float64, ok bool) {
	a, b := w.past[0], w.past[1]
	switch {
	case w.known == 0:
		return 0, 0, false
	case w.known == 1 || a.logK == b.logK:
		return a.x, a.y, true
	}
	t := max(-1, min(1, (logK-a.logK)/(a.logK-b.logK)))
	return a.x + t*(a.x-b.x), a.y + t*(a.y-b.y), true
}

func (w *worker) remember(logK, x, y float64) {
	w.past[1] = w.past[0]
	w.past[0] = remembered{logK, x, y}
	w.known = min(2, w.known+1)
}

const (
	defaultTolerance = 3e-4
	defaultCycles    = 60
	// An orbit that starts from nothing in particular goes coarsely this far (rad).
	warmAngle = 2
)

func (w *worker) solve(c *Case, f Film) (Result, error) {
	o := &w.o
	tol, cycles := c.Options.Tolerance, c.Options.MaxCycles
	if tol == 0 {
		tol = defaultTolerance
	}
	if cycles == 0 {
		cycles = defaultCycles
	}
	path := o.path
	*o = orbit{film: f, cycle: c.Load, scale: c.loadScale(), round: c.Shape.zero(), tol: tol, path: path}
	// Begin a quarter of a turn before the greatest load, the journal well out
	// along the load: what is wrong with that is forgotten in the peak.
	period := c.Load.period
	begin := c.Load.at - math.Pi/2
	fx, fy, _ := c.Load.At(begin)
	d := math.Hypot(fx, fy)
	if d == 0 {
		d = 1
	}
	switch m := f.(type) {
	case *MapFilm:
		o.table = m.t
	case *shortMap:
		o.short = m
	}
	logK := math.Log(o.scale)
	x, y, warm := 0.8*fx/d, 0.8*fy/d, float64(warmAngle)
	if gx, gy, ok := w.guess(logK); ok && gx*gx+gy*gy < 0.999 {
		x, y, warm = gx, gy, 0
	}
	met, ok := false, o.start(begin, x, y)
	if ok {
		met, ok = o.run(period, float64(cycles)*period, min(warm, period/2))
	}
	if !ok {
		w.forget()
		return Result{}, &OverloadError{Method: c.Method, Load: o.failLoad, Angle: wrap(o.failA, period), Eccentricity: f.Limit()}
	}
	r := w.record(c, begin, logK)
	r.Converged = met
	r.Cycles = int(math.Ceil((o.a - begin) / period))
	return r, nil
}
