// SPDX-License-Identifier: Apache-2.0

package units

import (
	"math"
	"strconv"
)

// Format prints value, in the canonical unit of kind, in unit with its symbol
// and that many decimals, rounded to nearest; negative decimals give the
// fewest digits that read back the same. The zero Unit, or one of another
// kind, stands for the canonical one. A value that is not finite prints as
// 'not known'.
func Format(value float64, kind Kind, unit Unit, decimals int) string {
	if unit.Kind != kind || unit.IsZero() {
		unit = kind.Canonical()
	}
	if unit.IsZero() || math.IsNaN(value) || math.IsInf(value, 0) {
		return "not known"
	}
	return Number(value, unit, decimals) + gap(unit) + unit.Symbol
}

// Number prints value as [Format] does, without the symbol, for a column that
// carries the unit in its head.
func Number(value float64, unit Unit, decimals int) string {
	return fixed(unit.FromCanonical(value), decimals)
}

// fixed prints x; never '-0'.
func fixed(x float64, decimals int) string {
	if decimals < 0 {
		return shortest(x)
	}
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if f, err := strconv.ParseFloat(s, 64); err == nil && f == 0 && s[0] == '-' {
		return s[1:]
	}
	return s
}

// shortest prints the fewest digits that read back as x, with an exponent
// only where the plain form would be long.
func shortest(x float64) string {
	if x == 0 {
		return "0"
	}
	if a := math.Abs(x); a < 1e-9 || a >= 1e15 {
		return strconv.FormatFloat(x, 'e', -1, 64)
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// gap is what stands between number and symbol: a space, except before the
// degree of an angle (SI Brochure, 9th edition, 5.4.3).
func gap(u Unit) string {
	if u == UnitDegree || u == UnitOne {
		return ""
	}
	return " "
}
