// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"math"
	"strconv"
	"strings"
)

// Ticks returns round numbers from lo to hi, both included where they are
// round themselves: multiples of 1, 2 or 5 times a power of ten, at most about
// n of them. It returns none if lo is not below hi, either is not finite, or n
// is not positive.
func Ticks(lo, hi float64, n int) []float64 {
	if !finite(lo, hi, hi-lo) || lo >= hi || n < 1 {
		return nil
	}
	step := roundStep((hi - lo) / float64(n))
	// A tick is never farther outside than a rounding error of the step.
	first, last := math.Ceil(lo/step-1e-9), math.Floor(hi/step+1e-9)
	var ticks []float64
	for i := first; i <= last; i++ {
		v := i * step
		if v == 0 {
			v = 0 // no negative zero
		}
		ticks = append(ticks, v)
	}
	return ticks
}

// roundStep returns the smallest of 1, 2, 5 times a power of ten that is not
// below v.
func roundStep(v float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 5} {
		if m*p >= v*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// stepDecimals returns how many decimals the ticks need to be told apart.
func stepDecimals(ticks []float64) int {
	if len(ticks) < 2 {
		return 0
	}
	step := ticks[1] - ticks[0]
	return max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
}

// decimal prints a number with so many decimals and a true minus sign. What no
// gauge reads is kept short enough for a drawing.
func decimal(v float64, places int) string {
	text := strconv.FormatFloat(v, 'f', places, 64)
	if math.Abs(v) >= 1e6 {
		text = strconv.FormatFloat(v, 'g', 3, 64)
	}
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-") // no negative zero
	}
	return strings.Replace(text, "-", "−", 1)
}
