// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// StudentFactor returns the coverage factor t: a Student variable with ν
// degrees of freedom lies within ± t with probability p. p is in (0, 1), ν
// above zero; +Inf gives the normal factor. NaN outside.
//
// Source: JCGM 100:2008, Table G.2.
func StudentFactor(p, ν float64) float64 {
	if !(p > 0 && p < 1) || !(ν > 0) {
		return math.NaN()
	}
	if math.IsInf(ν, 1) {
		return distuv.UnitNormal.Quantile((1 + p) / 2)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: ν}.Quantile((1 + p) / 2)
}

// MinRepeats is how many repeats are needed before their own scatter is used
// instead of the gauge study's repeatability.
const MinRepeats = 6

// Repeatability is the standard deviation of one reading, from a gauge study,
// with its degrees of freedom; 0 of them means that it is assumed or taken as
// exact.
type Repeatability struct {
	StdDev           float64
	DegreesOfFreedom float64
	Assumed          bool
}

// Mean is the mean of repeats.
type Mean struct {
	N     int
	Value float64
	// StdDev is the scatter of the repeats themselves (0 for one).
	StdDev float64
	// U is the standard uncertainty of Value, with its degrees of freedom
	// (infinite where the study's repeatability is taken as exact).
	U                float64
	DegreesOfFreedom float64
	// FromStudy says that U comes from the gauge study, not from the scatter.
	FromStudy bool
	Assumed   bool
}

// MeanOf returns the mean of repeats of the same thing with its Student spread:
// u = s/√n with n−1 degrees of freedom, s their own scatter from [MinRepeats]
// on, else the study's repeatability. With no repeatability known (StdDev 0),
// their own scatter is used from two on.
//
// It returns an error wrapping [ErrInput] for no readings, one that is not
// finite, or a single one without a repeatability.
//
// Source: JCGM 100:2008, 4.2.
func MeanOf(readings []float64, r Repeatability) (Mean, error) {
	s, err := Summarise(readings)
	if err != nil {
		return Mean{}, err
	}
	if math.IsNaN(r.StdDev) || r.StdDev < 0 || math.IsInf(r.StdDev, 0) || math.IsNaN(r.DegreesOfFreedom) || r.DegreesOfFreedom < 0 {
		return Mean{}, fmt.Errorf("%w: repeatability %g with %g degrees of freedom", ErrInput, r.StdDev, r.DegreesOfFreedom)
	}
	m := Mean{N: s.N, Value: s.Mean, StdDev: s.StdDev}
	root := math.Sqrt(float64(s.N))
	switch {
	case r.StdDev > 0 && s.N < MinRepeats:
		m.U, m.FromStudy, m.Assumed = r.StdDev/root, true, r.Assumed
		m.DegreesOfFreedom = r.DegreesOfFreedom
		if r.DegreesOfFreedom == 0 {
			m.DegreesOfFreedom = math.Inf(1)
		}
	case s.N < 2:
		return Mean{}, fmt.Errorf("%w: one reading and no repeatability of the gauge gives no spread", ErrInput)
	default:
		m.U, m.DegreesOfFreedom = s.StdDev/root, float64(s.N-1)
	}
	return m, nil
}

// Input makes a budget line of the mean.
func (m Mean) Input(name string) Input {
	in := NormalInput(name, m.Value, m.U)
	if !math.IsInf(m.DegreesOfFreedom, 1) {
		in = StudentInput(name, m.Value, m.U, m.DegreesOfFreedom)
	}
	in.Assumed = m.Assumed
	return in
}

// CoverageInterval returns Value ± t·U for probability p in (0, 1).
func (m Mean) CoverageInterval(p float64) (low, high float64) {
	k := StudentFactor(p, m.DegreesOfFreedom) * m.U
	return m.Value - k, m.Value + k
}
