// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
)

// Plane is a mean diameter at a place along the journal, both in mm; At counts
// from the front.
type Plane struct {
	At       float64
	Diameter Measurement
}

// Taper is what the planes of one journal say.
type Taper struct {
	// Difference is the fitted diameter at the front plane less that at the
	// rear one: positive is larger at the front.
	Difference Measurement
	// PerLength is Difference over the distance of those planes.
	PerLength float64
	// Bow is how much the planes between lie above the straight line at most:
	// positive for a barrel, negative for a waist, 0 for two planes. UBow is its
	// standard uncertainty.
	Bow, UBow float64
}

// FitTaper fits a straight line through the diameters of two or more planes at
// different places, weighted equally. What the planes share (CommonU: setting,
// temperature) drops out.
//
// It returns an error wrapping [ErrInput] or [ErrMeasurement].
func FitTaper(planes []Plane) (Taper, error) {
	n := float64(len(planes))
	mean, front, rear := 0.0, math.Inf(1), math.Inf(-1)
	for _, p := range planes {
		if err := p.Diameter.Validate(); err != nil {
			return Taper{}, err
		}
		if !finite(p.At) {
			return Taper{}, fmt.Errorf("%w: a plane at %g mm", ErrInput, p.At)
		}
		mean += p.At / n
		front, rear = math.Min(front, p.At), math.Max(rear, p.At)
	}
	span := rear - front
	if len(planes) < 2 || span <= 0 {
		return Taper{}, fmt.Errorf("%w: taper needs planes at two different places", ErrInput)
	}
	sxx := 0.0
	for _, p := range planes {
		sxx += square(p.At - mean)
	}
	var t Taper
	slope, variance, level := 0.0, 0.0, 0.0
	for _, p := range planes {
		w := (p.At - mean) / sxx
		slope += w * p.Diameter.Value
		variance += square(w * p.Diameter.own())
		level += p.Diameter.Value / n
		t.Difference.Assumed = t.Difference.Assumed || p.Diameter.Assumed
	}
	t.PerLength = -slope
	t.Difference.Value = -slope * span
	t.Difference.U = math.Sqrt(variance) * span
	t.bow(planes, line{mean, level, slope, sxx, n}, front, rear)
	return t, nil
}

// line is a fitted straight line, with what its spread needs.
type line struct{ mean, level, slope, sxx, n float64 }

// bow finds the plane between front and rear that is farthest from the line.
func (t *Taper) bow(planes []Plane, l line, front, rear float64) {
	for i, p := range planes {
		e := p.Diameter.Value - l.level - l.slope*(p.At-l.mean)
		if p.At == front || p.At == rear || math.Abs(e) < math.Abs(t.Bow) {
			continue
		}
		t.Bow, t.UBow = e, 0
		for j, q := range planes { // weights of the residual
			w := -1/l.n - (p.At-l.mean)*(q.At-l.mean)/l.sxx
			if i == j {
				w++
			}
			t.UBow = math.Hypot(t.UBow, w*q.Diameter.own())
		}
	}
}
