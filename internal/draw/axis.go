// SPDX-License-Identifier: Apache-2.0

package draw

import "math"

// axis maps values to a coordinate: lo stands at a, hi at b.
type axis struct{ lo, hi, a, b float64 }

func (x axis) at(v float64) float64 {
	return x.a + (v-x.lo)/(x.hi-x.lo)*(x.b-x.a)
}

// off is -1 for a value below the axis, 1 for one above, else 0.
func (x axis) off(v float64) int {
	switch {
	case v < x.lo:
		return -1
	case v > x.hi:
		return 1
	}
	return 0
}

// clamp moves a value onto the axis.
func (x axis) clamp(v float64) float64 { return math.Min(math.Max(v, x.lo), x.hi) }

// extent collects the values that an axis has to show.
type extent struct{ lo, hi float64 }

func nothing() extent { return extent{math.Inf(1), math.Inf(-1)} }

func (e *extent) add(vs ...float64) {
	for _, v := range vs {
		if finite(v) {
			e.lo, e.hi = math.Min(e.lo, v), math.Max(e.hi, v)
		}
	}
}

func (e extent) empty() bool { return e.lo > e.hi }

// span is the stretch of values that the strip shows: the limits with air on
// both sides, and every reading that is not farther out than the limits are
// apart. One that is farther out is drawn at the edge, lest it squeeze all
// others flat. It reports false if there is neither a limit nor a reading.
func (s Strip) span() (extent, bool) {
	points := s.readPoints()
	values := nothing()
	for _, p := range points {
		values.add(p.Value)
	}
	if s.Min == nil && s.Max == nil {
		if values.empty() {
			return extent{}, false
		}
		values.addBars(points)
		return values.padded(), true
	}
	e, far := s.aroundLimits(values)
	var near []*Point
	for _, p := range points {
		if p.Value >= far.lo && p.Value <= far.hi {
			near = append(near, p)
			e.add(p.Value)
		}
	}
	e.addBars(near)
	e.lo, e.hi = math.Max(e.lo, far.lo), math.Min(e.hi, far.hi)
	// Nothing that is measured here goes below zero unless it was read so.
	if values.lo >= 0 && (s.Min == nil || s.Min.Value >= 0) && (s.Max == nil || s.Max.Value > 0) {
		e.lo = math.Max(e.lo, 0)
	}
	return e, true
}

// aroundLimits widens the limits to what is always shown, and to the farthest
// that may be. A single limit takes its scale from the readings.
func (s Strip) aroundLimits(values extent) (show, far extent) {
	if s.Min != nil && s.Max != nil && s.Min.Value < s.Max.Value {
		lo, hi := s.Min.Value, s.Max.Value
		w := hi - lo
		return extent{lo - w/3, hi + w/2}, extent{lo - w*1.2, hi + w*1.2}
	}
	limit, below, above := s.Max, 1.0, 1.0/3
	if limit == nil {
		limit, below, above = s.Min, 1.0/3, 1
	}
	v := limit.Value
	w := math.Abs(v)
	if d := math.Max(values.hi-v, v-values.lo); d > 0 && !values.empty() {
		w = math.Min(w, 2*d)
	}
	if w == 0 {
		w = 1
	}
	return extent{v - w*below, v + w*above}, extent{v - w*1.2, v + w*1.2}
}

// readPoints lists every reading of the strip.
func (s Strip) readPoints() []*Point {
	var points []*Point
	for _, c := range s.Columns {
		for _, p := range []*Point{c.AsFound, c.AsFitted} {
			if p.read() {
				points = append(points, p)
			}
		}
	}
	return points
}

// addBars widens the extent to the bars of the points, with a little air.
func (e *extent) addBars(points []*Point) {
	air := (e.hi - e.lo) / 40
	for _, p := range points {
		if p.hasBar() {
			e.add(p.Low-air, p.High+air)
		}
	}
}

// padded is the extent with air on both sides; a single value gets some too.
func (e extent) padded() extent {
	air := (e.hi - e.lo) * 0.1
	if air == 0 {
		air = math.Max(math.Abs(e.hi)/2, 1e-9)
	}
	return extent{e.lo - air, e.hi + air}
}
