// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// spread is the distribution of u·Z + h·R about zero, Z standard normal and R
// uniform on [-1, 1].
//
// With Φ the normal distribution function, φ its density and
// G(z) = ∫Φ = zΦ(z) + φ(z):
//
//	P(≤ x) = (u/2h)·[G((x+h)/u) − G((x−h)/u)]
//
// which is Φ averaged over x/u ± h/u.
type spread struct{ u, h float64 }

// cdf returns P(≤ x).
func (s spread) cdf(x float64) float64 {
	if x > 0 {
		return 1 - s.lower(-x)
	}
	if x == 0 && s.u == 0 && s.h == 0 {
		return 1
	}
	return s.lower(x)
}

// below and above return P(< x) and P(> x), each with its full relative
// accuracy in its own tail.
func (s spread) below(x float64) float64 {
	if x > 0 {
		return 1 - s.lower(-x)
	}
	return s.lower(x)
}

func (s spread) above(x float64) float64 { return s.below(-x) }

// between returns P(a ≤ · ≤ b), a ≤ b, without cancelling against 1 when both
// ends lie in one tail.
func (s spread) between(a, b float64) float64 {
	switch {
	case b < 0:
		return math.Max(0, s.cdf(b)-s.below(a))
	case a > 0:
		return math.Max(0, s.cdf(-a)-s.below(-b))
	}
	return math.Max(0, 1-s.below(a)-s.above(b))
}

// lower returns P(< x) for x ≤ 0.
func (s spread) lower(x float64) float64 {
	switch {
	case math.IsInf(x, -1):
		return 0
	case s.u == 0 && s.h == 0:
		return 0
	case s.u == 0:
		return math.Max(0, (x+s.h)/(2*s.h))
	case s.h == 0:
		return phi(x / s.u)
	}
	δ := s.h / s.u
	if δ < 0.5 {
		// The difference of two G would cancel; the average of Φ does not.
		m := x / s.u
		return quad.Fixed(phi, m-δ, m+δ, 20, quad.Legendre{}, 0) / (2 * δ)
	}
	return math.Min(0.5, (integralPhi((x+s.h)/s.u)-integralPhi((x-s.h)/s.u))/(2*δ))
}

// reach returns k ≥ 0 such that P(< −k) = tail, tail in (0, 0.5]; a tail above
// one half gives a negative k.
func (s spread) reach(tail float64) float64 {
	if tail > 0.5 {
		return -s.reach(1 - tail)
	}
	if s.u == 0 {
		return s.h * (1 - 2*tail)
	}
	low, high := 0.0, s.h+s.u
	for s.lower(-high) > tail {
		low, high = high, s.h+2*(high-s.h)
	}
	for range 200 { // bisection to the last bit; the tail falls monotonically
		mid := low + (high-low)/2
		if mid == low || mid == high {
			break
		}
		if s.lower(-mid) > tail {
			low = mid
		} else {
			high = mid
		}
	}
	return low + (high-low)/2
}

// phi is Φ, accurate in the lower tail.
func phi(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// integralPhi is G(z) = zΦ(z) + φ(z). Its two terms cancel below zero, so from
// -6 down ∫Φ is taken by quadrature over the 40 e-foldings that matter.
func integralPhi(z float64) float64 {
	if z >= -6 {
		return z*phi(z) + math.Exp(-z*z/2)/math.Sqrt(2*math.Pi)
	}
	return quad.Fixed(phi, z+40/z, z, 40, quad.Legendre{}, 0)
}
