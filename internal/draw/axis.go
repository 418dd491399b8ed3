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
// both sides, and every bar that is not farther out than the limits are apart.
// What is farther out is clamped, lest it squeeze all others flat. It reports
// false if there is neither a limit nor a reading.
func (s Strip) span() (extent, bool) {
	limits, values := nothing(), nothing()
	for _, l := range []*Limit{s.Min, s.Max} {
		if l != nil {
			limits.add(l.Value)
		}
	}
	for _, c := range s.Columns {
		for _, p := range []*Point{c.AsFound, c.AsFitted} {
			if p.read() {
				values.add(p.Value)
				if p.hasBar() {
					values.add(p.Low, p.High)
				}
			}
		}
	}
	if limits.empty() && values.empty() {
		return extent{}, false
	}
	e := around(limits, values)
	// Nothing that is measured here goes below zero unless it was read so.
	if limits.lo >= 0 && values.lo >= 0 {
		e.lo = math.Max(e.lo, 0)
	}
	return e, true
}

// around widens the limits to what is worth showing.
func around(limits, values extent) extent {
	if limits.empty() {
		air := (values.hi - values.lo) * 0.1
		if air == 0 {
			air = math.Max(math.Abs(values.hi)*0.5, 1e-9)
		}
		return extent{values.lo - air, values.hi + air}
	}
	width := limits.hi - limits.lo
	if width == 0 { // one limit only
		width = math.Max(math.Abs(limits.hi)*0.6, 1e-9)
	}
	e := extent{limits.lo - width/3, limits.hi + width/2}
	far := extent{limits.lo - width*1.2, limits.hi + width*1.2}
	if !values.empty() {
		e.add(math.Max(values.lo-width/20, far.lo), math.Min(values.hi+width/20, far.hi))
	}
	return e
}
