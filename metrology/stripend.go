// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
	"sort"
)

// StripClearance returns the clearance (mm) that flattens a round strip of
// diameter d (mm) to the width w (mm), both above zero:
//
//	c = πd²/(4w)
//
// The volume stays and the strip's length is taken to stay too, so the cross
// section is a circle before and a rectangle after.
func StripClearance(d, w float64) float64 { return math.Pi * d * d / (4 * w) }

// MeasureEnd returns the clearance that one end of the strip says; see
// [StripScale.Measure].
func (s StripScale) MeasureEnd(e StripEnd) (Measurement, error) {
	if err := s.Validate(); err != nil {
		return Measurement{}, err
	}
	switch e.Kind {
	case OneGraduation:
		i, err := s.index(e.At)
		if err != nil {
			return Measurement{}, err
		}
		return s.oneBar(i), nil
	case BetweenGraduations:
		i, err := s.index(e.At)
		if err != nil {
			return Measurement{}, err
		}
		j, err := s.index(e.To)
		if err != nil {
			return Measurement{}, err
		}
		if j != i+1 {
			return Measurement{}, fmt.Errorf("%w: %g and %g mm are not neighbours in rising order on this scale", ErrReading, e.At, e.To)
		}
		return s.uniform(s.Graduations[i], s.Graduations[j], NotCensored), nil
	case TypedWidth:
		return s.width(e)
	case TypedClearance:
		if !finite(e.At) || e.At <= 0 || !finite(e.HalfWidth) || e.HalfWidth < 0 {
			return Measurement{}, fmt.Errorf("%w: clearance %g mm, resolution half width %g mm", ErrReading, e.At, e.HalfWidth)
		}
		return s.uniform(e.At-e.HalfWidth, e.At+e.HalfWidth, NotCensored), nil
	}
	return Measurement{}, fmt.Errorf("%w: unknown kind %q", ErrReading, e.Kind)
}

// oneBar is a reading of bar i.
func (s StripScale) oneBar(i int) Measurement {
	g, last := s.Graduations, len(s.Graduations)-1
	switch i {
	case 0:
		q := (g[1] - g[0]) / 4
		return s.uniform(g[0]-q, g[0]+q, OrLess)
	case last:
		q := (g[last] - g[last-1]) / 4
		return s.uniform(g[last]-q, g[last]+q, OrMore)
	}
	return s.uniform(g[i]-(g[i]-g[i-1])/4, g[i]+(g[i+1]-g[i])/4, NotCensored)
}

// uniform is a reading between low and high, with the scale's normal spread.
func (s StripScale) uniform(low, high float64, side Censor) Measurement {
	rel, assumed := s.relativeU()
	c := low + (high-low)/2
	return Measurement{
		Value: c, U: rel * c, CommonU: s.CommonRelativeU * c,
		HalfWidth: (high - low) / 2, Side: side, Assumed: assumed,
	}
}

// width is a reading of the flattened width: u(c)/c = 2·u(d)/d comes on top,
// and the width's resolution becomes c·HalfWidth/w.
func (s StripScale) width(e StripEnd) (Measurement, error) {
	if s.Diameter == 0 {
		return Measurement{}, fmt.Errorf("%w: the strip's own diameter is needed for a width", ErrScale)
	}
	if !finite(e.Width) || e.Width < s.Diameter || !finite(e.HalfWidth) || e.HalfWidth < 0 {
		return Measurement{}, fmt.Errorf("%w: width %g mm of a strip of %g mm, which is not flattened", ErrReading, e.Width, s.Diameter)
	}
	c := StripClearance(s.Diameter, e.Width)
	m := s.uniform(c, c, NotCensored)
	fromDiameter := 2 * c * s.DiameterU / s.Diameter
	m.U, m.CommonU = math.Hypot(m.U, fromDiameter), math.Hypot(m.CommonU, fromDiameter)
	m.HalfWidth = c * e.HalfWidth / e.Width
	return m, nil
}

// index finds a bar by its clearance, to a tenth of a micrometre.
func (s StripScale) index(g float64) (int, error) {
	for i, have := range s.Graduations {
		if math.Abs(have-g) < 1e-4 {
			return i, nil
		}
	}
	return 0, fmt.Errorf("%w: this scale has no graduation %g mm", ErrReading, g)
}

// place is where e, which measured m, was read on the scale, counted in
// graduations.
func (s StripScale) place(e StripEnd, m Measurement) float64 {
	switch e.Kind {
	case OneGraduation:
		return s.steps(e.At)
	case BetweenGraduations:
		return s.steps(e.At) + 0.5
	}
	return s.steps(m.Value)
}

// steps is where c stands on the scale, counted in graduations, between and
// beyond them in proportion.
func (s StripScale) steps(c float64) float64 {
	g := s.Graduations
	i := min(max(sort.SearchFloat64s(g, c)-1, 0), len(g)-2)
	return float64(i) + (c-g[i])/(g[i+1]-g[i])
}
