// SPDX-License-Identifier: Apache-2.0

package metrology

import "math"

// Comparison holds a budget against the propagation of distributions.
type Comparison struct {
	Budget     BudgetResult
	MonteCarlo Propagated
	// Low and High are the budget's coverage interval.
	Low, High float64
	// LowDifference and HighDifference are how far the ends lie apart.
	LowDifference, HighDifference float64
	// Tolerance is δ of JCGM 101:2008, 8.1.2, of the budget's u.
	Tolerance float64
	// Agrees says that both differences are within the tolerance. Where it is
	// false the Monte Carlo result counts.
	Agrees bool
}

// Compare validates the budget by the propagation of distributions: their
// coverage intervals must agree to half a unit in the last of mc.Digits
// significant digits of u. Unless mc says otherwise the trials go on to a fifth
// of that tolerance.
//
// Source: JCGM 101:2008, clause 8.
func (b Budget) Compare(mc MonteCarlo) (Comparison, error) {
	if mc.Tighten == 0 {
		mc.Tighten = 5
	}
	mc = mc.defaults()
	r, err := b.Evaluate()
	if err != nil {
		return Comparison{}, err
	}
	p, err := b.Propagate(mc)
	if err != nil {
		return Comparison{}, err
	}
	c := Comparison{Budget: r, MonteCarlo: p, Tolerance: numericalTolerance(r.U, mc.Digits)}
	c.Low, c.High, _ = r.CoverageInterval(p.Coverage)
	c.LowDifference, c.HighDifference = math.Abs(c.Low-p.Low), math.Abs(c.High-p.High)
	c.Agrees = c.LowDifference <= c.Tolerance && c.HighDifference <= c.Tolerance
	return c, nil
}

// Measurement is the result that counts, with a normal spread: the budget's
// where the two agree, else that of the trials.
func (c Comparison) Measurement() Measurement {
	m := c.Budget.Measurement()
	if !c.Agrees {
		m.Value, m.U = c.MonteCarlo.Value, c.MonteCarlo.U
	}
	return m
}

// NormalisedError returns |a−b| / (2·u(a−b)) of two results that have nothing
// in common: above 1 they disagree. Both exact and different gives +Inf.
//
// Source: ISO 13528:2015, 9.7 (from memory), with coverage factor 2.
func NormalisedError(a, b Measurement) float64 {
	return ratio(math.Abs(a.Value-b.Value), 2*math.Hypot(a.StandardUncertainty(), b.StandardUncertainty()))
}
