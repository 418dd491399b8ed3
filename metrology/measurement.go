// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
)

// Censor says on which side a reading is open.
type Censor string

const (
	// NotCensored: the value is what was read.
	NotCensored Censor = ""
	// OrMore: read at the end of the scale, the thing is this or more.
	OrMore Censor = "or_more"
	// OrLess: read at the end of the scale, the thing is this or less.
	OrLess Censor = "or_less"
	// Unknown: readings that contradict each other; the value proves nothing.
	Unknown Censor = "unknown"
)

// Measurement is a value with its spread: a normal standard uncertainty U
// convolved with a uniform spread of half-width HalfWidth, both about Value
// and in its unit, both at least zero.
//
// CommonU is the part of U that readings by the same means share, so that
// repeating does not shrink it; 0 to U. Assumed says that the spread is a
// default and no study of this gauge stands behind it.
type Measurement struct {
	Value     float64
	U         float64
	HalfWidth float64
	CommonU   float64
	Side      Censor
	Assumed   bool
}

// Direct is a direct reading with a stated standard uncertainty.
func Direct(value, u float64) Measurement { return Measurement{Value: value, U: u} }

// StandardUncertainty returns √(U² + HalfWidth²/3), the standard deviation of
// the convolution (JCGM 100:2008, 4.3.7 for the uniform part).
func (m Measurement) StandardUncertainty() float64 {
	return math.Hypot(m.U, m.HalfWidth/math.Sqrt(3))
}

// CDF returns the probability of at most x, ignoring Side.
func (m Measurement) CDF(x float64) float64 {
	return m.spread().cdf(x - m.Value)
}

func (m Measurement) spread() spread { return spread{m.U, m.HalfWidth} }

// CoverageInterval returns the interval about Value that holds the thing with
// probability p, in (0, 1), exactly for the convolution. It is symmetric, and
// so the shortest too (JCGM 106:2012, 3.2.7). A censored value gives a one-sided
// interval that is open to its side; [Unknown] gives the whole line.
func (m Measurement) CoverageInterval(p float64) (low, high float64, err error) {
	if err := m.Validate(); err != nil {
		return 0, 0, err
	}
	if !(p > 0 && p < 1) {
		return 0, 0, fmt.Errorf("%w: coverage probability %g is not between 0 and 1", ErrConfidence, p)
	}
	switch m.Side {
	case OrMore:
		return m.Value - m.spread().reach(1-p), math.Inf(1), nil
	case OrLess:
		return math.Inf(-1), m.Value + m.spread().reach(1-p), nil
	case Unknown:
		return math.Inf(-1), math.Inf(1), nil
	}
	k := m.spread().reach((1 - p) / 2)
	return m.Value - k, m.Value + k, nil
}

// Validate returns an error that wraps [ErrMeasurement] unless value and
// spreads are finite, the spreads at least zero and CommonU at most U.
func (m Measurement) Validate() error {
	switch {
	case !finite(m.Value):
		return fmt.Errorf("%w: the value %g is not a finite number", ErrMeasurement, m.Value)
	case !finite(m.U) || m.U < 0:
		return fmt.Errorf("%w: the standard uncertainty %g is not a finite number of at least 0", ErrMeasurement, m.U)
	case !finite(m.HalfWidth) || m.HalfWidth < 0:
		return fmt.Errorf("%w: the half width %g is not a finite number of at least 0", ErrMeasurement, m.HalfWidth)
	case !(m.CommonU >= 0 && m.CommonU <= m.U):
		return fmt.Errorf("%w: the common part %g is not between 0 and the standard uncertainty %g", ErrMeasurement, m.CommonU, m.U)
	}
	switch m.Side {
	case NotCensored, OrMore, OrLess, Unknown:
		return nil
	}
	return fmt.Errorf("%w: unknown side %q", ErrMeasurement, m.Side)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
