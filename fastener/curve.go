// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"math"
	"sort"
)

// curve holds running sums over the points, so that the line through any
// stretch of them costs the same.
type curve struct {
	angle, torque       []float64
	w, x, xx, y, xy, yy []float64 // Σ rows·(…), x from the first angle; entry i sums the points before i
	gaps                []float64 // gaps up to and including the step before the point
}

func newCurve(p []TracePoint, gapLimit float64) curve {
	n := len(p)
	block := make([]float64, 2*n+7*(n+1))
	cut := func(k int) []float64 { s := block[:k:k]; block = block[k:]; return s }
	c := curve{angle: cut(n), torque: cut(n), w: cut(n + 1), x: cut(n + 1), xx: cut(n + 1), y: cut(n + 1), xy: cut(n + 1), yy: cut(n + 1), gaps: cut(n + 1)}
	for i, q := range p {
		x := q.Angle - p[0].Angle
		c.angle[i], c.torque[i] = q.Angle, q.Torque
		c.w[i+1] = c.w[i] + q.Rows
		c.x[i+1] = c.x[i] + q.Rows*x
		c.xx[i+1] = c.xx[i] + q.Rows*x*x
		c.y[i+1] = c.y[i] + q.Rows*q.Torque
		c.xy[i+1] = c.xy[i] + q.Rows*x*q.Torque
		c.yy[i+1] = c.yy[i] + q.squares
		c.gaps[i+1] = c.gaps[i]
		if i > 0 && q.Angle-p[i-1].Angle > gapLimit {
			c.gaps[i+1]++
		}
	}
	return c
}

func (c curve) last() float64 { return c.angle[len(c.angle)-1] }

// fitted is a least-squares line through points from to to−1.
type fitted struct {
	from, to      int
	slope         float64 // N·m per degree
	angle, torque float64 // the middle of the points
	scatter       float64 // standard deviation of the rows about the line
	rows          float64
}

func (l fitted) at(angle float64) float64 { return l.torque + l.slope*(angle-l.angle) }

// fit returns the line through points from to to−1; false if they have no
// extent.
func (c curve) fit(from, to int) (fitted, bool) {
	w := c.w[to] - c.w[from]
	if to-from < 2 || w <= 0 {
		return fitted{}, false
	}
	x, y := (c.x[to]-c.x[from])/w, (c.y[to]-c.y[from])/w
	sxx := c.xx[to] - c.xx[from] - w*x*x
	sxy := c.xy[to] - c.xy[from] - w*x*y
	syy := c.yy[to] - c.yy[from] - w*y*y
	if sxx <= 1e-9*w {
		return fitted{}, false
	}
	l := fitted{from: from, to: to, slope: sxy / sxx, angle: c.angle[0] + x, torque: y, rows: w}
	if w > 2 {
		l.scatter = math.Sqrt(math.Max(0, syy-sxy*sxy/sxx) / (w - 2))
	}
	return l, true
}

// steady returns the steepest line over 20°.
func (c curve) steady() (fitted, bool) {
	var best fitted
	found := false
	to := 0
	for from := range c.angle {
		for to < len(c.angle) && c.angle[to] < c.angle[from]+steadyWindow-1e-9 {
			to++
		}
		if to == len(c.angle) {
			break
		}
		if c.gaps[to+1] > c.gaps[from+1] {
			continue // a gap inside
		}
		if l, ok := c.fit(from, to+1); ok && l.slope > best.slope {
			best, found = l, true
		}
	}
	return best, found
}

// joins returns the first angle from which the curve lies on the line, and the
// line as all the points from there confirm it: noise tilts a line over 20°,
// and far from them that would look like a curve.
func (c curve) joins(l fitted) (float64, fitted) {
	i, best := l.from, l
	// What may still be called the same line: three standard errors of the
	// slope over 20°, and 2 % for curvature.
	least := l.slope*0.98 - 3*l.scatter*math.Sqrt(12/l.rows)/steadyWindow
	for j := i - 1; j >= 0 && c.gaps[j+2] == c.gaps[j+1]; j-- {
		next, ok := c.fit(j, l.to)
		switch {
		case ok && c.onLine(j, best) && next.slope >= least:
			i, best = j, next
		case c.angle[i]-c.angle[j] >= joinWindow:
			return c.angle[i], best // off the line, and not by one bad reading
		}
	}
	return c.angle[i], best
}

func (c curve) onLine(i int, l fitted) bool {
	from := c.search(c.angle[i] - joinWindow/2)
	to := c.search(c.angle[i] + joinWindow/2 + 1e-9)
	w := c.w[to] - c.w[from]
	angle := c.angle[0] + (c.x[to]-c.x[from])/w
	residual := (c.y[to]-c.y[from])/w - l.at(angle)
	return math.Abs(residual) <= l.slope/4+3*l.scatter/math.Sqrt(w)
}

// search returns the first point at or past an angle.
func (c curve) search(angle float64) int { return sort.SearchFloat64s(c.angle, angle) }

// yields returns the first angle past the start of the steady line from which
// the rate stays below half of its slope.
func (c curve) yields(l fitted) (float64, bool) {
	start, below := 0.0, false
	for i := c.search(c.angle[l.from] + rateWindow/2); i < len(c.angle); i++ {
		a := c.angle[i]
		rate, ok := c.rate(a)
		if !ok || rate >= l.slope/2 {
			below = false
			continue
		}
		if !below {
			start, below = a, true
		}
		if a-start >= yieldHold-1e-9 {
			return start, true
		}
	}
	return 0, false
}

// rate returns the slope over 5° about an angle: least squares if three points
// lie in the window, else the difference between its ends.
func (c curve) rate(angle float64) (float64, bool) {
	lo, hi := angle-rateWindow/2, angle+rateWindow/2
	if lo < c.angle[0]-1e-9 || hi > c.last()+1e-9 {
		return 0, false
	}
	from, to := c.search(lo-1e-9), c.search(hi+1e-9)
	if c.gaps[min(to+1, len(c.gaps)-1)] > c.gaps[from] {
		return 0, false // a gap in or beside the window
	}
	if to-from >= 3 {
		if l, ok := c.fit(from, to); ok {
			return l.slope, true
		}
	}
	return (c.interpolate(hi) - c.interpolate(lo)) / rateWindow, true
}

func (c curve) interpolate(angle float64) float64 {
	i := c.search(angle)
	if i == 0 {
		return c.torque[0]
	}
	if i == len(c.angle) {
		return c.torque[i-1]
	}
	f := (angle - c.angle[i-1]) / (c.angle[i] - c.angle[i-1])
	return c.torque[i-1] + f*(c.torque[i]-c.torque[i-1])
}
