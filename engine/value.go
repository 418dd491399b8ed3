// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"math"
	"strings"

	"witnessmark/units"
)

// Basis says what a value rests on: where it was taken from, and whether
// somebody held it against that source.
type Basis struct {
	Source    string // id in Sheet.Sources, "" when none is named
	Locator   string // place within the source, such as "p. 12"
	Checked   bool   // somebody compared the value with the source
	CheckedBy string // who, and when, as the sheet says; may be empty
}

// Value is one quantity with its basis. The zero Value is "not given".
type Value[Q units.Quantity] struct {
	V    Q      // the quantity
	Text string // as written, "" when not given
	Path string // its place in the sheet, such as "big_end.width"
	Basis
}

// Given reports whether the sheet has this value.
func (v Value[Q]) Given() bool { return v.Text != "" }

func (v Value[Q]) String() string { return v.Text }

// LimitOf is an interval that a quantity of type Q must lie in. A nil Min or
// Max is an open side. The zero LimitOf is "not given".
type LimitOf[Q units.Quantity] struct {
	Min, Max         *Q
	MinText, MaxText string   // as written
	Confidence       *float64 // in [0.5, 1); nil: the workshop's
	Path             string   // its place in the sheet
	Basis
}

// Given reports whether the sheet has a limit on at least one side.
func (l LimitOf[Q]) Given() bool { return l.Min != nil || l.Max != nil }

// Range returns both ends in the unit of [LimitOf.Unit], an open side as
// minus or plus infinity.
func (l LimitOf[Q]) Range() (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	if l.Min != nil {
		lo = float64(*l.Min)
	}
	if l.Max != nil {
		hi = float64(*l.Max)
	}
	return lo, hi
}

// Unit returns the canonical unit of [LimitOf.Range], "mm" for lengths.
func (l LimitOf[Q]) Unit() string {
	var q Q
	return unitOf(q.Kind())
}

// Bounds returns the limit without its type, for code that treats limits of
// every quantity alike.
func (l LimitOf[Q]) Bounds() Bounds {
	var q Q
	lo, hi := l.Range()
	return Bounds{Min: lo, Max: hi, Kind: q.Kind(), Unit: l.Unit(), MinText: l.MinText, MaxText: l.MaxText,
		Confidence: l.Confidence, Path: l.Path, Basis: l.Basis}
}

func (l LimitOf[Q]) String() string { return rangeText(l.MinText, l.MaxText) }

// Nominal is a size or target with optional limits around it. The zero
// Nominal is "not given".
type Nominal[Q units.Quantity] struct {
	Value *Q
	Text  string // the value as written
	LimitOf[Q]
}

// Given reports whether there is a value or a limit.
func (n Nominal[Q]) Given() bool { return n.Value != nil || n.LimitOf.Given() }

// Mid returns the middle of the two limits, else the value, in the canonical
// unit: what a part is expected to be. ok is false when neither is there.
func (n Nominal[Q]) Mid() (mid float64, ok bool) {
	lo, hi := n.Range()
	switch {
	case !math.IsInf(lo, 0) && !math.IsInf(hi, 0):
		return (lo + hi) / 2, true
	case n.Value != nil:
		return float64(*n.Value), true
	}
	return 0, false
}

// Target returns the value, else the middle of the two limits, in the
// canonical unit: what a tool is set to. ok is false when neither is there.
func (n Nominal[Q]) Target() (target float64, ok bool) {
	if n.Value != nil {
		return float64(*n.Value), true
	}
	return n.Mid()
}

func (n Nominal[Q]) String() string {
	r := rangeText(n.MinText, n.MaxText)
	switch {
	case n.Text == "":
		return r
	case r == "":
		return n.Text
	default:
		return n.Text + " (" + r + ")"
	}
}

// Bounds is a limit of any quantity: canonical numbers, infinite on an open
// side, and their unit.
type Bounds struct {
	Min, Max         float64
	Kind             units.Kind
	Unit             string // canonical: "mm", "°", "N·m", "Pa" ...
	MinText, MaxText string // as written
	Confidence       *float64
	Path             string
	Basis
}

// Given reports whether there is a limit on at least one side.
func (b Bounds) Given() bool { return b.MinText != "" || b.MaxText != "" }

// Range returns both ends in Unit.
func (b Bounds) Range() (lo, hi float64) { return b.Min, b.Max }

// In writes the limit in the reader's units, with the decimals that the sheet
// wrote; as written if the unit is not converted.
func (b Bounds) In(p units.Preferences) string {
	return rangeText(inUnits(b.MinText, b.Kind, p), inUnits(b.MaxText, b.Kind, p))
}

// inUnits converts a text of the sheet to the reader's units.
func inUnits(text string, k units.Kind, p units.Preferences) string {
	if text == "" {
		return ""
	}
	r, err := units.Parse(k, text, units.Unit{})
	if err != nil {
		return text
	}
	return p.Format(r.Value, k, r.Resolution)
}

func (b Bounds) String() string { return rangeText(b.MinText, b.MaxText) }

// rangeText writes "0.030 to 0.060 mm", "at least 5.0 bar" or "at most ...".
func rangeText(lo, hi string) string {
	switch {
	case lo == "" && hi == "":
		return ""
	case hi == "":
		return "at least " + lo
	case lo == "":
		return "at most " + hi
	}
	if a, ua, ok := strings.Cut(lo, " "); ok {
		if _, ub, _ := strings.Cut(hi, " "); ua == ub {
			lo = a
		}
	}
	return lo + " to " + hi
}
