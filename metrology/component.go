// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// studyCoverage is the probability of a component's interval.
const studyCoverage = 0.95

// plus pools two lines of the table.
func (m MeanSquare) plus(o MeanSquare) MeanSquare {
	return meanSquare(m.SumOfSquares+o.SumOfSquares, m.DegreesOfFreedom+o.DegreesOfFreedom)
}

func meanSquare(sum, ν float64) MeanSquare {
	m := MeanSquare{SumOfSquares: sum, DegreesOfFreedom: ν}
	if ν > 0 {
		m.MeanSquare = sum / ν
	}
	return m
}

// pAgainst is the p-value of the F test of m against error; 1 when neither
// shows any scatter.
func (m MeanSquare) pAgainst(error MeanSquare) float64 {
	if m.MeanSquare == 0 {
		return 1
	}
	if error.MeanSquare == 0 {
		return 0
	}
	return survivalF(m.MeanSquare/error.MeanSquare, m.DegreesOfFreedom, error.DegreesOfFreedom)
}

// survivalF is P(F > f) with a and b degrees of freedom, accurate in the tail
// (Abramowitz and Stegun 26.6.2).
func survivalF(f, a, b float64) float64 {
	return mathext.RegIncBeta(b/2, a/2, b/(b+a*f))
}

// term is a mean square times a factor; a combination is their sum, a variance.
type term struct {
	factor float64
	line   *MeanSquare
}

type combination []term

// plus adds the component (upper−lower)/k, unless it was clipped.
func (c combination) plus(part Component, upper, lower *MeanSquare, k float64) combination {
	if part.Clipped || !part.Known {
		return c
	}
	return append(append(combination(nil), c...), term{1 / k, upper}, term{-1 / k, lower})
}

// gathered adds up the factors of one and the same line, so that Satterthwaite
// counts it once.
func (c combination) gathered() combination {
	var g combination
next:
	for _, t := range c {
		for i := range g {
			if g[i].line == t.line {
				g[i].factor += t.factor
				continue next
			}
		}
		g = append(g, t)
	}
	return g
}

// variance returns the sum with Satterthwaite's degrees of freedom (F. E.
// Satterthwaite, Biometrics Bulletin 2 (1946) 110-114); 0 and 0 for a sum that
// is nothing but rounding.
func (c combination) variance() (v, ν float64) {
	spread, largest := 0.0, 0.0
	for _, t := range c.gathered() {
		x := t.factor * t.line.MeanSquare
		v += x
		largest = math.Max(largest, math.Abs(x))
		if t.line.DegreesOfFreedom > 0 {
			spread += x * x / t.line.DegreesOfFreedom
		}
	}
	switch {
	case math.Abs(v) <= 1e-12*largest || spread == 0:
		return 0, 0
	case v < 0:
		return v, 0
	}
	return v, v * v / spread
}

// leastDegrees of freedom still give an interval worth the name.
const leastDegrees = 0.1

// component is the variance as a standard deviation, with the χ² interval of
// its degrees of freedom, exact for a single line.
func (c combination) component() Component {
	if len(c) == 0 {
		return Component{}
	}
	v, ν := c.variance()
	out := Component{Known: true, StdDev: math.Sqrt(math.Max(0, v)), DegreesOfFreedom: ν}
	switch {
	case ν >= leastDegrees:
		χ2 := distuv.ChiSquared{K: ν}
		out.Low = math.Sqrt(v * ν / χ2.Quantile((1+studyCoverage)/2))
		out.High = boundless(math.Sqrt(v*ν/χ2.Quantile((1-studyCoverage)/2)), out.StdDev)
	case ν > 0:
		out.High = math.Inf(1)
	}
	return out
}

// difference is the component (upper−lower)/k, clipped at zero, with the
// interval of Williams and Tukey, which holds for clipped ones too:
//
//	low²  = SS·(1 − F(1−α/2)/F)/(k·χ²(1−α/2)),  high² with α/2
//
// each set to zero when below. Source: J. S. Williams, Biometrika 49 (1962)
// 278-281; formula from memory.
func difference(upper, lower *MeanSquare, k float64) Component {
	v, ν := combination{{1 / k, upper}, {-1 / k, lower}}.variance()
	out := Component{Known: true, Clipped: v < 0, StdDev: math.Sqrt(math.Max(0, v)), DegreesOfFreedom: ν}
	if upper.MeanSquare == 0 {
		return out
	}
	F := distuv.F{D1: upper.DegreesOfFreedom, D2: lower.DegreesOfFreedom}
	χ2 := distuv.ChiSquared{K: upper.DegreesOfFreedom}
	bound := func(q float64) float64 {
		excess := 1 - F.Quantile(q)*lower.MeanSquare/upper.MeanSquare
		return math.Sqrt(math.Max(0, upper.SumOfSquares*excess/(k*χ2.Quantile(q))))
	}
	out.Low = bound((1 + studyCoverage) / 2)
	out.High = boundless(bound((1-studyCoverage)/2), math.Sqrt(upper.MeanSquare/k))
	return out
}

// boundless makes +Inf of an upper end that says nothing any more.
func boundless(high, scale float64) float64 {
	if !(high < 1000*scale) {
		return math.Inf(1)
	}
	return high
}
