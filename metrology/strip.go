// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
)

// DefaultStripRelativeU is the relative standard uncertainty of a strip
// reading until a gauge study says better. Assumed, no source.
const DefaultStripRelativeU = 0.06

// StripScale is the scale printed with a deformable strip gauge.
type StripScale struct {
	// Graduations are the clearances (mm) of the bars, rising; at least two.
	Graduations []float64
	// RelativeU is the relative standard uncertainty of a reading; 0 means
	// DefaultStripRelativeU, marked as assumed.
	RelativeU float64
	// CommonRelativeU is the part of RelativeU that a second strip shares
	// (same batch, same person). 0: strips are taken as independent.
	CommonRelativeU float64
	// Assumed marks a RelativeU that no complete gauge study stands behind.
	Assumed bool
	// Diameter (mm) of the undeformed strip and its standard uncertainty, for
	// widths that are typed; 0 where widths are only compared with bars.
	Diameter, DiameterU float64
}

// StripKind says how an end of the strip was read.
type StripKind string

const (
	// OneGraduation: as wide as one bar, At. At an end of the scale it means
	// 'this or more' or 'this or less'.
	OneGraduation StripKind = "one"
	// BetweenGraduations: between the neighbouring bars At and To.
	BetweenGraduations StripKind = "between"
	// TypedWidth: the flattened width Width was measured.
	TypedWidth StripKind = "width"
	// TypedClearance: the clearance At was typed as a number.
	TypedClearance StripKind = "clearance"
)

// StripEnd is what was read at one place of the strip. Lengths in mm.
type StripEnd struct {
	Kind StripKind
	// At is the bar (or the lower of two, or the typed clearance), To the
	// upper of two.
	At, To float64
	// Width is the flattened width. HalfWidth is half the resolution to which
	// the width, or the clearance, was typed; 0 if not known.
	Width, HalfWidth float64
}

// AtGraduation reads one bar.
func AtGraduation(g float64) StripEnd { return StripEnd{Kind: OneGraduation, At: g} }

// BetweenBars reads between two neighbouring bars.
func BetweenBars(low, high float64) StripEnd {
	return StripEnd{Kind: BetweenGraduations, At: low, To: high}
}

// WidthRead is a flattened width that was measured.
func WidthRead(width float64) StripEnd { return StripEnd{Kind: TypedWidth, Width: width} }

// ClearanceRead is a clearance that was typed as a number.
func ClearanceRead(c float64) StripEnd { return StripEnd{Kind: TypedClearance, At: c} }

// StripReading is one strip. Rear is nil when the strip is as wide all along.
type StripReading struct {
	Front      StripEnd
	Rear       *StripEnd
	CrankMoved bool
}

// StripResult is what a strip says.
type StripResult struct {
	// Clearance is the diametral clearance, the mean of both ends.
	Clearance Measurement
	// EndsDiffer says that front and rear were read apart. Taper is front less
	// rear then: positive is wider at the front.
	EndsDiffer bool
	Taper      Measurement
	// TaperResolved is false when the ends differ by less than one graduation:
	// the strip can't tell it from none.
	TaperResolved bool
}

// Measure returns the clearance and taper of a reading (mm).
//
// One bar: uniform over a quarter step either side, to each neighbour with its
// own step, so unequal steps move the value off the bar by an eighth of their
// difference. Between two: uniform from bar to bar. The end bars are censored:
// 'this or less' at the first, 'this or more' at the last, value on the bar,
// half width a quarter of the inner step. A typed width w goes by the area law
// c = πd²/(4w). To each comes the normal RelativeU·c.
//
// Front and rear: the clearance is their mean, and RelativeU is common to both
// ends, so it does not shrink in the mean and hardly counts in the taper. Their
// resolutions are independent; the uniform spread of the mean has the variance
// of the two.
//
// It returns an error wrapping [ErrCrankMoved], [ErrScale] or [ErrReading].
func (s StripScale) Measure(r StripReading) (StripResult, error) {
	if err := s.Validate(); err != nil {
		return StripResult{}, err
	}
	if r.CrankMoved {
		return StripResult{}, ErrCrankMoved
	}
	front, err := s.MeasureEnd(r.Front)
	if err != nil {
		return StripResult{}, err
	}
	if r.Rear == nil {
		return StripResult{Clearance: front}, nil
	}
	rear, err := s.MeasureEnd(*r.Rear)
	if err != nil {
		return StripResult{}, err
	}
	result := s.ends(front, rear)
	apart := math.Abs(s.place(r.Front, front) - s.place(*r.Rear, rear))
	result.TaperResolved = apart >= 1-1e-6
	return result, nil
}

// ends takes front and rear together.
func (s StripScale) ends(front, rear Measurement) StripResult {
	mean := Measurement{
		Value:     (front.Value + rear.Value) / 2,
		U:         (front.U + rear.U) / 2,
		CommonU:   (front.CommonU + rear.CommonU) / 2,
		HalfWidth: math.Hypot(front.HalfWidth, rear.HalfWidth) / 2,
		Side:      sumSide(front.Side, rear.Side),
		Assumed:   front.Assumed || rear.Assumed,
	}
	taper := Measurement{
		Value:     front.Value - rear.Value,
		U:         math.Abs(front.U - rear.U),
		HalfWidth: math.Hypot(front.HalfWidth, rear.HalfWidth),
		Side:      sumSide(front.Side, opposite(rear.Side)),
		Assumed:   mean.Assumed,
	}
	return StripResult{Clearance: mean, EndsDiffer: true, Taper: taper}
}

// sumSide is the side on which a sum of two values is open.
func sumSide(a, b Censor) Censor {
	switch {
	case a == b || b == NotCensored:
		return a
	case a == NotCensored:
		return b
	}
	return Unknown
}

func opposite(c Censor) Censor {
	switch c {
	case OrMore:
		return OrLess
	case OrLess:
		return OrMore
	}
	return c
}

// relativeU returns the relative standard uncertainty and whether it is assumed.
func (s StripScale) relativeU() (float64, bool) {
	if s.RelativeU == 0 {
		return DefaultStripRelativeU, true
	}
	return s.RelativeU, s.Assumed
}

// WithStudy returns the scale with the spread that a gauge study of it found,
// over its mean reading. A study that can't tell persons apart gives the
// repeatability only, and the spread stays marked as assumed.
func (s StripScale) WithStudy(r StudyResult) StripScale {
	u, common := r.RelativeU()
	if u == 0 {
		return s
	}
	s.RelativeU, s.CommonRelativeU, s.Assumed = u, common, !r.Reproducibility.Known
	return s
}

// Validate returns an error wrapping [ErrScale] unless there are at least two
// bars, rising and above zero, and the spreads make sense.
func (s StripScale) Validate() error {
	if len(s.Graduations) < 2 {
		return fmt.Errorf("%w: %d graduations, at least two are needed", ErrScale, len(s.Graduations))
	}
	last := 0.0
	for _, g := range s.Graduations {
		if !finite(g) || g <= last {
			return fmt.Errorf("%w: graduation %g mm does not rise above %g mm", ErrScale, g, last)
		}
		last = g
	}
	rel, _ := s.relativeU()
	if !(rel > 0 && rel < 1) || !(s.CommonRelativeU >= 0 && s.CommonRelativeU <= rel) {
		return fmt.Errorf("%w: relative uncertainty %g with common part %g", ErrScale, rel, s.CommonRelativeU)
	}
	if !finite(s.Diameter) || s.Diameter < 0 || !finite(s.DiameterU) || s.DiameterU < 0 {
		return fmt.Errorf("%w: strip diameter %g mm, uncertainty %g mm", ErrScale, s.Diameter, s.DiameterU)
	}
	return nil
}
