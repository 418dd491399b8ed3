// SPDX-License-Identifier: Apache-2.0

package film

import (
	"fmt"
	"math"
	"slices"
)

// Cycle is the load on the journal over one period, in the bearing's frame,
// with the spin s = ω̄/ω of the frame. Make one with [NewCycle] or
// [Engine.Cycle]; it is never changed and may be shared.
type Cycle struct {
	period float64
	perRad float64 // nodes per radian
	n      int
	pieces []cyclePiece // n, even
	peak   float64      // greatest |F|, N
	at     float64      // angle of the greatest |F|
}

// cyclePiece holds the load between two nodes as cubics in the fraction of the
// way, and the spin as a straight line.
type cyclePiece struct {
	fx, fy [4]float64
	s, ds  float64
}

// NewCycle returns the cycle given by rows of angle (rad of journal rotation,
// rising from 0), fx and fy (N) and spin (ω̄/ω; nil means one half, a bearing at
// rest in a frame at rest). The last row repeats the first.
//
// Between rows it interpolates by Akima's slopes, which do not overshoot at a
// jump, onto at least 720 even nodes.
//
// It returns a [*TableError] if a row is out of order, not a number, or the
// table does not close on itself.
//
// Source: Akima, J. ACM 17 (1970) 589, with the weights that avoid 0/0.
func NewCycle(angle, fx, fy, spin []float64) (*Cycle, error) {
	if spin == nil {
		spin = make([]float64, len(angle))
		for i := range spin {
			spin[i] = 0.5
		}
	}
	if err := checkTable(angle, fx, fy, spin); err != nil {
		return nil, err
	}
	last := len(angle) - 1
	n := 720
	if last > n {
		n = 1440
	}
	c := &Cycle{period: angle[last], n: n, pieces: make([]cyclePiece, n)}
	c.perRad = float64(n) / c.period
	y, dy := make([]float64, n+1), make([]float64, n+1)
	for k, v := range [][]float64{fx, fy, spin} {
		slope := akimaPeriodic(angle, v)
		row := 0
		for i := range n {
			a := float64(i) / c.perRad
			for row < last-1 && angle[row+1] <= a {
				row++
			}
			y[i], dy[i] = hermite(angle[row], angle[row+1], v[row], v[row+1], slope[row], slope[row+1], a)
		}
		y[n], dy[n] = y[0], dy[0]
		for i := range c.pieces {
			c.pieces[i].set(k, y[i:i+2], dy[i]/c.perRad, dy[i+1]/c.perRad)
		}
	}
	for i := range c.pieces {
		if f := math.Hypot(c.pieces[i].fx[0], c.pieces[i].fy[0]); f > c.peak {
			c.peak, c.at = f, float64(i)/c.perRad
		}
	}
	return c, nil
}

// set takes the values at both ends and the slopes there per piece.
func (p *cyclePiece) set(k int, y []float64, d0, d1 float64) {
	d := y[1] - y[0]
	cubic := [4]float64{y[0], d0, 3*d - 2*d0 - d1, d0 + d1 - 2*d}
	switch k {
	case 0:
		p.fx = cubic
	case 1:
		p.fy = cubic
	default:
		p.s, p.ds = y[0], d
	}
}

// Period returns the length of the cycle in radians of journal rotation.
func (c *Cycle) Period() float64 { return c.period }

// Peak returns the greatest load (N) and its angle (rad).
func (c *Cycle) Peak() (load, angle float64) { return c.peak, c.at }

// At returns load (N) and spin at an angle (rad); the cycle repeats.
func (c *Cycle) At(angle float64) (fx, fy, spin float64) {
	p, t := c.piece(angle)
	x, y := &p.fx, &p.fy
	return x[0] + t*(x[1]+t*(x[2]+t*x[3])), y[0] + t*(y[1]+t*(y[2]+t*y[3])), p.s + t*p.ds
}

// piece returns the piece at an angle and how far along it the angle is.
func (c *Cycle) piece(angle float64) (p *cyclePiece, t float64) {
	t = angle * c.perRad
	i := int(t)
	if uint(i) >= uint(c.n) || t < 0 {
		i, t = c.wrap(t)
	} else {
		t -= float64(i)
	}
	return &c.pieces[i], t
}

// wrap brings a place outside the first period back into it.
func (c *Cycle) wrap(t float64) (int, float64) {
	f := math.Floor(t)
	t -= f
	i := int(f) - c.n // the second period is the usual case
	if uint(i) >= uint(c.n) {
		if i %= c.n; i < 0 {
			i += c.n
		}
	}
	return i, t
}

// turned returns how far the journal has turned from the frame at an angle of
// the cycle: ∫ 2s dα, by the trapezoid between nodes.
func (c *Cycle) turned() func(angle float64) float64 {
	sum := make([]float64, c.n+1)
	for i := range c.n {
		sum[i+1] = sum[i] + (2*c.pieces[i].s+c.pieces[i].ds)/c.perRad
	}
	return func(angle float64) float64 {
		t := angle * c.perRad / float64(c.n)
		whole := math.Floor(t)
		x := (t - whole) * float64(c.n)
		i := min(int(x), c.n-1)
		return whole*sum[c.n] + sum[i] + (x-float64(i))*(sum[i+1]-sum[i])
	}
}

// Scaled returns the cycle with every load multiplied by factor.
func (c *Cycle) Scaled(factor float64) *Cycle {
	d := *c
	d.pieces = slices.Clone(c.pieces)
	for i := range d.pieces {
		p := &d.pieces[i]
		for k := range p.fx {
			p.fx[k], p.fy[k] = p.fx[k]*factor, p.fy[k]*factor
		}
	}
	d.peak *= math.Abs(factor)
	return &d
}

// TableError says which row of a load table cannot be used, and why.
type TableError struct {
	Row    int // from 1
	Reason string
}

func (e *TableError) Error() string {
	if e.Row == 0 {
		return "load table: " + e.Reason
	}
	return fmt.Sprintf("load table, row %d: %s", e.Row, e.Reason)
}

func checkTable(angle, fx, fy, spin []float64) error {
	n := len(angle)
	if len(fx) != n || len(fy) != n || len(spin) != n {
		return &TableError{0, "the columns are not equally long"}
	}
	if n < 4 {
		return &TableError{0, fmt.Sprintf("%d rows are too few; at least 4 are needed", n)}
	}
	top := 0.0
	for i := range n {
		for _, v := range [...]float64{angle[i], fx[i], fy[i], spin[i]} {
			if math.IsNaN(v) || math.Abs(v) > 1e12 {
				return &TableError{i + 1, "a value is not a usable number"}
			}
		}
		if i > 0 && !(angle[i] > angle[i-1]) {
			return &TableError{i + 1, fmt.Sprintf("angle %.6g° does not rise above %.6g° of the row before; sort the rows", deg(angle[i]), deg(angle[i-1]))}
		}
		top = math.Max(top, math.Hypot(fx[i], fy[i]))
	}
	if math.Abs(angle[0]) > 1e-9 {
		return &TableError{1, fmt.Sprintf("angles start at %.6g°, they must start at 0", deg(angle[0]))}
	}
	if d := math.Hypot(fx[n-1]-fx[0], fy[n-1]-fy[0]); d > 1e-3*top {
		return &TableError{n, fmt.Sprintf("the load does not close on itself: the last row differs from the first by %.4g N; repeat the first row at the end of the period", d)}
	}
	if math.Abs(spin[n-1]-spin[0]) > 1e-3 {
		return &TableError{n, "the spin does not close on itself"}
	}
	return nil
}

func deg(rad float64) float64 { return rad * 180 / math.Pi }

// akimaPeriodic returns the slopes at the nodes of a closed table.
func akimaPeriodic(x, y []float64) []float64 {
	n := len(x) - 1 // intervals
	m := func(i int) float64 {
		i = ((i % n) + n) % n
		return (y[i+1] - y[i]) / (x[i+1] - x[i])
	}
	d := make([]float64, n+1)
	for i := range n {
		a, b, c, e := m(i-2), m(i-1), m(i), m(i+1)
		w1 := math.Abs(e-c) + math.Abs(e+c)/2
		w2 := math.Abs(b-a) + math.Abs(b+a)/2
		if w1+w2 > 0 {
			d[i] = (w1*b + w2*c) / (w1 + w2)
		}
	}
	d[n] = d[0]
	return d
}

// hermite returns value and slope at x of the cubic through two nodes.
func hermite(x0, x1, y0, y1, d0, d1, x float64) (y, dy float64) {
	h := x1 - x0
	t := (x - x0) / h
	a, b := y1-y0-h*d0, h*d1-(y1-y0)
	y = y0 + t*(h*d0+t*((2*a-b)+t*(b-a)))
	dy = (h*d0 + t*(2*(2*a-b)+3*t*(b-a))) / h
	return y, dy
}
