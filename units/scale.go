// SPDX-License-Identifier: Apache-2.0

package units

import (
	"math"
	"math/big"
	"math/bits"
	"strconv"
	"strings"
)

// scaledExactly returns the number in the canonical unit of unit's kind, and
// one unit in its last digit, each worked out exactly and rounded once. It is
// not ok if one is too large for a float64, or the number too small; a last
// digit that is too small is the smallest step that there is.
func (n numeral) scaledExactly(unit Unit) (value, step float64, ok bool) {
	value, ok = toFloat(unit.exact(n.rat()))
	step, _ = new(big.Rat).Mul(n.step(), unit.exactFactor()).Float64()
	return value, max(step, math.SmallestNonzeroFloat64), ok && !math.IsInf(step, 0)
}

// toFloat rounds r to a float64; not ok if it overflows, or if a number other
// than zero would become zero.
func toFloat(r *big.Rat) (float64, bool) {
	f, _ := r.Float64()
	return f, !math.IsInf(f, 0) && (f != 0 || r.Sign() == 0)
}

// scaledShort is scaledExactly for the numbers of a workshop, which are short:
// it is not ok for a number with an exponent, for a unit with π in it, or where
// a numerator or denominator would not be a whole number below 2⁵³. Both then
// are exact as float64, and IEEE 754 rounds their quotient correctly, as the
// rational is rounded; so the two agree in every bit.
func (n numeral) scaledShort(unit Unit) (value, step float64, ok bool) {
	if unit.overPi || n.decimals < 0 || n.decimals >= len(powersOfTen) {
		return 0, 0, false
	}
	m, err := strconv.ParseInt(strings.Replace(n.digits, ".", "", 1), 10, 64)
	if err != nil {
		return 0, 0, false // an exponent, or too many digits
	}
	ten := powersOfTen[n.decimals]
	den, ok := product(ten, unit.den)
	num := unit.num
	value, step = 0, float64(num)/float64(den)
	if unit.offset100 != 0 { // (m/10ᵈ + o/100)·num/den = (100·m + o·10ᵈ)·num / (100·10ᵈ·den)
		var okM, okO, okDen bool
		var o int64
		m, okM = product(m, 100)
		o, okO = product(unit.offset100, ten)
		den, okDen = product(den, 100)
		m, ok = m+o, ok && okM && okO && okDen
	}
	top, okTop := product(m, num)
	return float64(top) / float64(den), step, ok && okTop && num < exactBelow
}

// exactBelow is 2⁵³: every smaller whole number is a float64.
const exactBelow = 1 << 53

var powersOfTen = [...]int64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12}

// product returns a·b; not ok unless its size is below 2⁵³.
func product(a, b int64) (int64, bool) {
	hi, lo := bits.Mul64(uint64(max(a, -a)), uint64(max(b, -b)))
	return a * b, hi == 0 && lo < exactBelow
}
