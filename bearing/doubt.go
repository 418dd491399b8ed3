// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"cmp"
	"fmt"
	"math"
)

// Sighting is one reading with what it is held against before it counts. What
// is not known is zero. Lengths in mm.
type Sighting struct {
	What   string // "journal"
	Value  float64
	Wall   bool   // a shell's wall
	Usual  Limits // the size that the sheet gives, undersizes included
	Beside string // where Usual is from; "" is the sheet
	Reads  Limits // what the gauge can read at all
	Gauge  string
	Bore   float64 // the bore that a journal goes into
	Pin    float64 // the journal that goes into a bore
	Others []float64
}

// Far is how far beyond the usual sizes, as a share of the middle size, a
// reading of a diameter or wall may lie before it is questioned. Common
// practice, no source.
const Far = 0.02

// Question says in words what is impossible or unlikely in a reading, "" when
// nothing is: a wall of nothing, a gauge outside its range, a slip of 25.4 or
// 1000, a journal that is no smaller than its bore, a size far from the
// sheet's. It questions, it refuses nothing.
func Question(s Sighting) string {
	switch {
	case !finite(s.Value) || s.Value < 0:
		return fmt.Sprintf("%g mm is no size", s.Value)
	case s.Value == 0 && s.Wall:
		return "a wall of 0 mm is impossible"
	case s.Value == 0:
		return "0 mm is impossible"
	}
	if mid := s.Usual.Mid(); mid > 0 {
		if reason := slip(s.Value, mid, 0, math.Inf(1)); reason != "" {
			return fmt.Sprintf("%g mm beside %g mm of %s: %s", s.Value, mid, s.beside(), reason)
		}
	}
	switch {
	case s.Reads != (Limits{}) && !s.Reads.Has(s.Value):
		return fmt.Sprintf("%g mm is outside what gauge %s can read, %g to %g mm", s.Value, s.Gauge, s.Reads.Min, s.Reads.Max)
	case s.Bore > 0 && s.Value >= s.Bore:
		return fmt.Sprintf("a journal of %g mm is not smaller than its bore of %g mm", s.Value, s.Bore)
	case s.Pin > 0 && s.Value <= s.Pin:
		return fmt.Sprintf("a bore of %g mm is not larger than its journal of %g mm", s.Value, s.Pin)
	}
	if mid := s.Usual.Mid(); mid > 0 {
		room := Far * mid
		if s.Value < s.Usual.Min-room || s.Value > s.Usual.Max+room {
			return fmt.Sprintf("%g mm is far from %s: %g to %g mm", s.Value, s.beside(), s.Usual.Min, s.Usual.Max)
		}
	}
	return ""
}

// beside names where the usual size is from.
func (s Sighting) beside() string { return cmp.Or(s.Beside, "the sheet") }

// QuestionClearance is [Question] for a clearance: one of nothing, or one that
// no big end has and that a slip of the unit would explain.
func QuestionClearance(value float64, usual Limits) string {
	switch {
	case !finite(value) || value < 0:
		return fmt.Sprintf("%g mm is no clearance", value)
	case value == 0:
		return "a clearance of 0 mm is impossible: the journal would not turn"
	case value >= usual.Min/3 && value <= 4*usual.Max:
		return ""
	}
	for _, s := range []struct {
		factor float64
		reason string
	}{
		{25.4, "this looks like inches"}, {1e-3, "this looks like micrometres"}, {0.0254, "this looks like thousandths of an inch"}, {1e3, "this looks like metres"},
	} {
		if meant := value * s.factor; meant >= usual.Min/3 && meant <= 4*usual.Max {
			return fmt.Sprintf("%g mm: %s, it would be %.3f mm then", value, s.reason, meant)
		}
	}
	return fmt.Sprintf("%g mm is far from any clearance of this engine, %g to %g mm", value, usual.Min, usual.Max)
}
