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

// component is the variance with Satterthwaite's degrees of freedom
// (F. E. Satterthwaite, Biometrics Bulletin 2 (1946) 110-114) and the χ²
// interval that goes with them, exact for a single line.
func (c combination) component() Component {
	if len(c) == 0 {
		return Component{}
	}
	variance, spread := 0.0, 0.0
	for _, t := range c.gathered() {
		x := t.factor * t.line.MeanSquare
		variance += x
		if t.line.DegreesOfFreedom > 0 {
			spread += x * x / t.line.DegreesOfFreedom
		}
	}
	out := Component{Known: true, StdDev: math.Sqrt(math.Max(0, variance))}
	if spread > 0 {
		out.DegreesOfFreedom = variance * variance / spread
		χ2 := distuv.ChiSquared{K: out.DegreesOfFreedom}
		out.Low = math.Sqrt(variance * out.DegreesOfFreedom / χ2.Quantile((1+studyCoverage)/2))
		out.High = boundless(math.Sqrt(variance*out.DegreesOfFreedom/χ2.Quantile((1-studyCoverage)/2)), out.StdDev)
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
	variance := (upper.MeanSquare - lower.MeanSquare) / k
	out := Component{Known: true, Clipped: variance < 0}
	if !out.Clipped {
		c := combination{{1 / k, upper}, {-1 / k, lower}}.component()
		out.StdDev, out.DegreesOfFreedom = c.StdDev, c.DegreesOfFreedom
	}
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
