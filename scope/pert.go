// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// PERT is a duration from three figures: the least, the most likely and the
// most. Its distribution is the beta-PERT: a beta distribution on [Least, Most]
// with the shapes
//
//	α = 1 + 4·(m−a)/(b−a),  β = 1 + 4·(b−m)/(b−a)
//
// Source: D. G. Malcolm et al., Operations Research 7 (1959) 646-669, for the
// mean; the shapes as in common use since (D. Vose, Risk Analysis). From memory.
type PERT struct{ Least, Likely, Most float64 }

// Sure is a duration without spread.
func Sure(x float64) PERT { return PERT{x, x, x} }

// Check refuses figures that are not numbers or that do not rise.
func (p PERT) Check() error {
	if !(p.Least <= p.Likely && p.Likely <= p.Most) || math.IsInf(p.Least, 0) || math.IsInf(p.Most, 0) {
		return fmt.Errorf("scope: least %g, likely %g and most %g do not rise", p.Least, p.Likely, p.Most)
	}
	return nil
}

// Mean is (a + 4m + b)/6.
func (p PERT) Mean() float64 { return (p.Least + 4*p.Likely + p.Most) / 6 }

// Variance is that of the beta-PERT, (μ−a)(b−μ)/7.
func (p PERT) Variance() float64 {
	m := p.Mean()
	return (m - p.Least) * (p.Most - m) / 7
}

// ClassicVariance is ((b−a)/6)², the round figure of the original method, for
// hand calculation. With m in the middle the beta-PERT has (b−a)²/28.
func (p PERT) ClassicVariance() float64 {
	s := (p.Most - p.Least) / 6
	return s * s
}

// shape returns α; β is 6 − α. Without spread it is 3.
func (p PERT) shape() float64 {
	if p.Most == p.Least {
		return 3
	}
	return 1 + 4*(p.Likely-p.Least)/(p.Most-p.Least)
}

// CDF is the chance of at most x.
func (p PERT) CDF(x float64) float64 {
	switch {
	case x >= p.Most:
		return 1
	case x <= p.Least:
		return 0
	}
	a := p.shape()
	return mathext.RegIncBeta(a, 6-a, (x-p.Least)/(p.Most-p.Least))
}

// Quantile is the x that is not exceeded with the chance q in [0, 1].
func (p PERT) Quantile(q float64) float64 {
	switch {
	case q <= 0 || p.Most == p.Least:
		return p.Least
	case q >= 1:
		return p.Most
	}
	a := p.shape()
	return p.Least + (p.Most-p.Least)*mathext.InvRegIncBeta(a, 6-a, q)
}

// cells is how many steps of equal chance a [quantiles] table has.
const cells = 1024

// quantiles is the inverse of a beta distribution function at k/cells, for
// drawing: in between it is a straight line, so the chance of every cell is
// exact. In the first and the last cell, where the density may rise from zero
// over a long way, it follows the power by which the distribution function does.
type quantiles struct {
	x         [cells + 1]float64
	low, high float64 // 1/α, 1/β
}

// betaTable tabulates the beta distribution with the shapes a and 6−a by
// walking its distribution function, which is taken as straight between knots.
func betaTable(a float64) *quantiles {
	const knots = 1024
	t := &quantiles{low: 1 / a, high: 1 / (6 - a)}
	t.x[cells] = 1
	k, f0 := 1, 0.0
	for i := 1; i <= knots; i++ {
		x1 := float64(i) / knots
		f1 := 1.0
		if i < knots {
			f1 = mathext.RegIncBeta(a, 6-a, x1)
		}
		for ; k < cells && float64(k)/cells <= f1; k++ {
			t.x[k] = x1 - (f1-float64(k)/cells)/(f1-f0)/knots
		}
		f0 = f1
	}
	return t
}

// at returns the quantile of u in [0, 1).
func (t *quantiles) at(u float64) float64 {
	y := u * cells
	i := int(y)
	v := y - float64(i)
	switch i {
	case 0:
		return t.x[1] * math.Pow(v, t.low)
	case cells - 1:
		return 1 - (1-t.x[cells-1])*math.Pow(1-v, t.high)
	}
	return t.x[i] + v*(t.x[i+1]-t.x[i])
}

// tables keeps one table per shape, as most durations of a plan share theirs.
type tables map[float64]*quantiles

func (s tables) of(p PERT) *quantiles {
	a := p.shape()
	t := s[a]
	if t == nil {
		t = betaTable(a)
		s[a] = t
	}
	return t
}
