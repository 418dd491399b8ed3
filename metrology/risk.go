// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// Risks are chances for one thing picked blindly from a population.
type Risks struct {
	Consumer float64 // accepted although outside the limits
	Producer float64 // rejected although within them
}

// GlobalRisks returns the risks of accepting whatever reads within accept, for
// things that come out normal with the given mean and standard deviation,
// limits l, and a gauge with the spread of m (its value does not matter). This
// is prior knowledge, which [Decide] does not use.
//
//	consumer = ∫ outside l of P(reading in accept | η)·g(η) dη
//	producer = ∫ within l of P(reading not in accept | η)·g(η) dη
//
// It returns an error wrapping [ErrInput], [ErrMeasurement] or [ErrLimits].
//
// Source: JCGM 106:2012, 9.5.
func GlobalRisks(mean, sd float64, m Measurement, l, accept Limits) (Risks, error) {
	if !finite(mean) || !(sd > 0) || !finite(sd) {
		return Risks{}, fmt.Errorf("%w: population with mean %g and standard deviation %g", ErrInput, mean, sd)
	}
	for _, err := range []error{m.Validate(), l.Validate(), accept.Validate()} {
		if err != nil {
			return Risks{}, err
		}
	}
	g := distuv.Normal{Mu: mean, Sigma: sd}
	s := m.spread()
	accepted := func(η float64) float64 { return s.between(accept.Min-η, accept.Max-η) }
	var r Risks
	cuts := riskCuts(mean, sd, m.StandardUncertainty(), l, accept)
	for i := range cuts[1:] {
		a, b := cuts[i], cuts[i+1]
		if mid := a + (b-a)/2; mid < l.Min || mid > l.Max {
			r.Consumer += quad.Fixed(func(η float64) float64 { return accepted(η) * g.Prob(η) }, a, b, 40, quad.Legendre{}, 0)
		} else {
			r.Producer += quad.Fixed(func(η float64) float64 { return (1 - accepted(η)) * g.Prob(η) }, a, b, 40, quad.Legendre{}, 0)
		}
	}
	return r, nil
}

// riskCuts parts the population where the integrand bends, and into pieces of
// half a standard deviation elsewhere.
func riskCuts(mean, sd, u float64, l, accept Limits) []float64 {
	low, high := mean-9*sd, mean+9*sd
	var cuts []float64
	for k := range 37 {
		cuts = append(cuts, low+float64(k)*sd/2)
	}
	for _, edge := range []float64{l.Min, l.Max, accept.Min, accept.Max} {
		for _, k := range []float64{-6, -3, -1, 0, 1, 3, 6} {
			if c := edge + k*u; c > low && c < high && !math.IsInf(c, 0) {
				cuts = append(cuts, c)
			}
		}
	}
	slices.Sort(cuts)
	return slices.Compact(cuts)
}
