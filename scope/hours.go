// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"math"
	"strconv"

	"witnessmark/units"
)

// Hours is a length of work, exact: a whole number of ticks, 3.6e10 to the
// hour (0.1 µs), so that sums do not depend on their order.
type Hours int64

const (
	tick     Hours = 1
	oneHour        = 36_000_000_000 * tick
	maxHours       = 10_000 // of one figure in a plan
)

// HoursOf returns h hours to the nearest tick.
func HoursOf(h float64) Hours { return Hours(math.Round(h * float64(oneHour))) }

// Hours returns the length in hours, unrounded.
func (h Hours) Hours() float64 { return float64(h) / float64(oneHour) }

// String prints hours, such as "0.3 h".
func (h Hours) String() string { return strconv.FormatFloat(h.Hours(), 'g', 6, 64) + " h" }

// UnmarshalText reads hours or minutes with their unit, such as "0.3 h" or
// "20 min"; zero needs no unit. Negative hours are refused.
func (h *Hours) UnmarshalText(text []byte) error {
	if string(text) == "0" {
		*h = 0
		return nil
	}
	var u units.Hours
	if err := u.UnmarshalText(text); err != nil {
		return err
	}
	if u < 0 {
		return fmt.Errorf("hours %q: below zero; write how long it takes", text)
	}
	if u > maxHours {
		return fmt.Errorf("hours %q: more than %d h; a digit may be wrong", text, maxHours)
	}
	*h = HoursOf(float64(u))
	return nil
}
