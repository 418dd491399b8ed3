// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Combined is what repeats of the same thing say together.
type Combined struct {
	Measurement
	// N is how many readings made the value; censored ones only bound it.
	N int
	// Birge is √(χ²/(N−1)): about 1 when the readings agree as well as their
	// spreads say. Above 1 it has widened the spread. 0 for one reading and for
	// readings without any spread of their own.
	Birge float64
	// NormalisedError is the largest |difference|/(2·u(difference)) of any two:
	// above 1 those two disagree.
	NormalisedError float64
	// PValue is the chance of readings at least this far apart if the spreads
	// are right.
	PValue float64
	// Consistent is false when PValue is under 5 %, or when a censored reading
	// contradicts the others.
	Consistent bool
}

// Combine takes readings of the same thing together.
//
//	x = Σwᵢxᵢ,  wᵢ ∝ 1/uᵢ²,  uᵢ² = Uᵢ² − CommonUᵢ² + HalfWidthᵢ²/3
//	u² = Birge²·(1/Σuᵢ⁻²) + (Σwᵢ·CommonUᵢ)²,  Birge counted as at least 1
//
// What the readings share (CommonU, fully) does not shrink; the rest is taken
// as independent. Two or more are taken as normal, with no uniform part left.
// One reading comes back as it is. Readings without any independent spread
// count equally.
//
// Censored readings alone: the tightest on their side; on both sides,
// [Unknown]. Beside others they only confirm or contradict (by more than twice
// the standard uncertainty); contradiction makes the result Unknown.
//
// It returns an error wrapping [ErrInput] for no readings and
// [ErrMeasurement] for a bad one.
//
// Source: weighted mean and Birge ratio as usual for key comparisons, e.g.
// R. T. Birge, Phys. Rev. 40 (1932) 207-227; from memory.
func Combine(ms []Measurement) (Combined, error) {
	if len(ms) == 0 {
		return Combined{}, fmt.Errorf("%w: no readings to combine", ErrInput)
	}
	var plain, open []Measurement
	for i, m := range ms {
		if err := m.Validate(); err != nil {
			return Combined{}, fmt.Errorf("reading %d: %w", i+1, err)
		}
		if m.Side == NotCensored {
			plain = append(plain, m)
		} else {
			open = append(open, m)
		}
	}
	if len(plain) == 0 {
		return combineOpen(open), nil
	}
	c := combinePlain(plain)
	for _, m := range open {
		if contradicts(c.Measurement, m) {
			c.Side, c.Consistent = Unknown, false
		}
	}
	return c, nil
}

// combineOpen keeps the tightest of censored readings.
func combineOpen(open []Measurement) Combined {
	c := Combined{Measurement: open[0], Consistent: true, PValue: 1}
	for _, m := range open[1:] {
		switch {
		case m.Side != c.Side:
			c.Side = Unknown
		case m.Side == OrMore && m.Value > c.Value, m.Side == OrLess && m.Value < c.Value:
			c.Measurement = m
		}
	}
	return c
}

func contradicts(m, open Measurement) bool {
	reach := 2 * math.Hypot(m.StandardUncertainty(), open.StandardUncertainty())
	switch open.Side {
	case OrMore:
		return m.Value < open.Value-reach
	case OrLess:
		return m.Value > open.Value+reach
	}
	return true
}

func combinePlain(ms []Measurement) Combined {
	if len(ms) == 1 {
		return Combined{Measurement: ms[0], N: 1, PValue: 1, Consistent: true}
	}
	w, inner := weights(ms)
	c := Combined{N: len(ms), PValue: 1}
	for i, m := range ms {
		c.Value += w[i] * m.Value
		c.CommonU += w[i] * m.CommonU
		c.Assumed = c.Assumed || m.Assumed
	}
	if inner == 0 {
		inner = c.exactAgreement(ms, w)
	} else {
		c.agreement(ms)
	}
	c.U = math.Hypot(math.Max(1, c.Birge)*inner, c.CommonU)
	return c
}

// own is the part of a reading's spread that repeats do not share.
func (m Measurement) own() float64 {
	return math.Sqrt(math.Max(0, m.U*m.U-m.CommonU*m.CommonU) + m.HalfWidth*m.HalfWidth/3)
}

// weights by inverse variance, and the standard uncertainty that is left.
// Exact readings (no own spread) count alone and equally.
func weights(ms []Measurement) (w []float64, u float64) {
	w = make([]float64, len(ms))
	exact := 0
	for _, m := range ms {
		if m.own() == 0 {
			exact++
		}
	}
	sum := 0.0
	for i, m := range ms {
		switch {
		case exact == 0:
			w[i] = 1 / (m.own() * m.own())
		case m.own() == 0:
			w[i] = 1
		}
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	if exact > 0 {
		return w, 0
	}
	return w, 1 / math.Sqrt(sum)
}

// agreement fills in Birge ratio, normalised error and p-value.
func (c *Combined) agreement(ms []Measurement) {
	χ2 := 0.0
	for _, m := range ms {
		χ2 += square(ratio(m.Value-c.Value, m.own()))
	}
	c.NormalisedError = normalisedError(ms)
	ν := float64(len(ms) - 1)
	c.Birge = math.Sqrt(χ2 / ν)
	c.PValue = distuv.ChiSquared{K: ν}.Survival(χ2)
	c.Consistent = c.PValue >= 0.05
}

// normalisedError is the largest |a−b|/(2·u(a−b)) of any two. Of readings with
// the same spread only the least and the greatest can be among the two, so that
// its cost grows with the square of the number of spreads, not of readings.
func normalisedError(ms []Measurement) float64 {
	type ends struct{ own, least, greatest float64 }
	var of []ends
	at := map[float64]int{}
	for _, m := range ms {
		own := m.own()
		i, ok := at[own]
		if !ok {
			i = len(of)
			at[own] = i
			of = append(of, ends{own, m.Value, m.Value})
		}
		of[i].least, of[i].greatest = math.Min(of[i].least, m.Value), math.Max(of[i].greatest, m.Value)
	}
	most := 0.0
	for i, a := range of {
		for _, b := range of[:i+1] {
			apart := math.Max(math.Abs(a.greatest-b.least), math.Abs(b.greatest-a.least))
			most = math.Max(most, ratio(apart, 2*math.Hypot(a.own, b.own)))
		}
	}
	return most
}

// exactAgreement is for readings without any own spread: if they differ all the
// same, their scatter is the only spread there is, and it is returned.
func (c *Combined) exactAgreement(ms []Measurement, w []float64) float64 {
	sum, n := 0.0, 0.0
	for i, m := range ms {
		if w[i] > 0 {
			sum += square(m.Value - c.Value)
			n++
		}
	}
	c.Consistent = sum == 0
	if c.Consistent {
		return 0
	}
	c.PValue = 0
	return math.Sqrt(sum / (n - 1) / n)
}

func square(x float64) float64 { return x * x }

// ratio is a/b, with 0/0 = 0.
func ratio(a, b float64) float64 {
	if a == 0 {
		return 0
	}
	return a / b
}
