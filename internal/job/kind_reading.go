// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"

	"witnessmark/units"
)

// What a reading is of.
const (
	OfClearance     = "clearance" // of a big end
	OfJournal       = "journal"
	OfHousingBore   = "housing_bore"
	OfShellBore     = "shell_bore" // with the shells in and the cap torqued
	OfUpperWall     = "upper_wall"
	OfLowerWall     = "lower_wall"
	OfSideClearance = "side_clearance"
	OfEndFloat      = "end_float"
)

// When a reading was taken.
const (
	AsFound  = "found"
	AsFitted = "fitted"
)

// How a strip gauge was read.
const (
	StripOne     = "one"     // as wide as one bar of the scale
	StripBetween = "between" // between two neighbouring bars
	StripOrMore  = "or_more" // narrower than the narrowest bar: this clearance or more
	StripOrLess  = "or_less" // wider than the widest bar: this clearance or less
	StripWidth   = "width"   // a measured width
	StripTyped   = "typed"   // a clearance estimated between the bars and typed
)

// Reading is one measurement as it was read: digits, unit, gauge and part
// temperature stay as they were; value and spread are computed from them.
type Reading struct {
	Of       string `json:"of"`
	Phase    string `json:"phase"`
	Position int    `json:"position,omitempty"` // none for end float
	Gauge    string `json:"gauge,omitempty"`    // tool id in the register

	// A strip gauge: one read, or front and rear when the ends differ.
	Strip *StripRead `json:"strip,omitempty"`
	Rear  *StripRead `json:"rear,omitempty"`

	// A direct reading with its stated standard uncertainty and half width.
	Value     *units.Read `json:"value,omitempty"`
	U         *units.Read `json:"u,omitempty"`
	HalfWidth *units.Read `json:"half_width,omitempty"`

	// Where on the part: plane along the journal and angle around it.
	Plane string      `json:"plane,omitempty"`
	Angle *units.Read `json:"angle,omitempty"`

	PartTemperature  *units.Read `json:"part_temperature,omitempty"`
	GaugeTemperature *units.Read `json:"gauge_temperature,omitempty"`
	CrankMoved       bool        `json:"crank_moved,omitempty"` // voids a strip reading
	// Questioned says what seemed impossible, Reason why it was kept.
	Questioned string   `json:"questioned,omitempty"`
	Reason     string   `json:"reason,omitempty"`
	Photos     []string `json:"photos,omitempty"`
}

// StripRead is one flattened strip held against the scale.
type StripRead struct {
	How      string      `json:"how"`
	A        units.Read  `json:"a"`                  // the bar, or the lower of two, or the width
	B        *units.Read `json:"b,omitempty"`        // the higher of two
	Diameter *units.Read `json:"diameter,omitempty"` // of the strip before, with a width
}

func (b *Reading) check() error {
	if b.Of == OfEndFloat {
		if b.Position != 0 {
			return errors.New("end float belongs to the crankshaft: leave the position out")
		}
	} else if err := checkPosition(b.Position); err != nil {
		return err
	}
	if err := firstError(
		checkOneOf("reading of", b.Of, OfClearance, OfJournal, OfHousingBore, OfShellBore, OfUpperWall, OfLowerWall, OfSideClearance, OfEndFloat),
		checkOneOf("phase", b.Phase, AsFound, AsFitted),
		checkKind("value", b.Value, units.KindLength),
		checkKind("u", b.U, units.KindLength),
		checkKind("half width", b.HalfWidth, units.KindLength),
		checkKind("angle", b.Angle, units.KindAngle),
		checkKind("part temperature", b.PartTemperature, units.KindTemperature),
		checkKind("gauge temperature", b.GaugeTemperature, units.KindTemperature),
		checkLength("questioned", b.Questioned),
		checkLength("plane", b.Plane), checkLength("reason", b.Reason),
		checkCommitments("photo", b.Photos),
		b.Strip.check("strip"), b.Rear.check("rear strip"),
	); err != nil {
		return err
	}
	switch {
	case b.Strip == nil && b.Value == nil:
		return errors.New("no value: give what the strip was as wide as, or a number with its unit")
	case b.Strip != nil && b.Value != nil:
		return errors.New("both a strip and a number: they are two readings, enter them apart")
	case b.Strip != nil && b.Of != OfClearance:
		return fmt.Errorf("a strip reads clearance, not %s", b.Of)
	case b.Rear != nil && b.Strip == nil:
		return errors.New("a rear strip without a front one")
	case b.Value != nil && b.Value.Value < 0:
		return fmt.Errorf("%s is below zero", b.Value.Text)
	}
	return nil
}

func (s *StripRead) check(what string) error {
	if s == nil {
		return nil
	}
	if err := firstError(
		checkOneOf(what+" read as", s.How, StripOne, StripBetween, StripOrMore, StripOrLess, StripWidth, StripTyped),
		checkKind(what, &s.A, units.KindLength),
		checkKind(what, s.B, units.KindLength),
		checkKind(what+" diameter", s.Diameter, units.KindLength),
	); err != nil {
		return err
	}
	switch {
	case s.A.Value <= 0:
		return fmt.Errorf("%s %s must be above zero", what, s.A.Text)
	case s.How == StripBetween && (s.B == nil || s.B.Value <= s.A.Value):
		return fmt.Errorf("%s between: give the lower bar first, then the higher", what)
	case s.How == StripWidth && s.Diameter == nil:
		return fmt.Errorf("%s width: give the diameter of the strip before it was flattened", what)
	}
	return nil
}

func (b *Reading) apply(s *State, at At) {
	n := Noted[Reading]{At: at, Body: *b}
	s.Readings = append(s.Readings, n)
	s.Tools = appendUsed(s.Tools, b.Gauge, at)
	s.addPhotos(at, b.Photos)
}

func (b *Reading) words(name PositionNamer) string {
	return b.subject(name) + ": " + b.ReadBack() + "."
}

// subject says what was read: "Position 4 (B2), as fitted, clearance".
func (b *Reading) subject(name PositionNamer) string {
	w := "As " + b.Phase + ", " + ofWords[b.Of]
	if b.Position == 0 {
		return w
	}
	return "Position " + name(b.Position) + ", as " + b.Phase + ", " + ofWords[b.Of]
}

var ofWords = map[string]string{
	OfClearance: "clearance", OfJournal: "journal", OfHousingBore: "housing bore", OfShellBore: "bore with shells in",
	OfUpperWall: "upper shell wall", OfLowerWall: "lower shell wall",
	OfSideClearance: "side clearance", OfEndFloat: "end float",
}

// ReadBack repeats the reading alone, as it was understood, without a verdict.
func (b *Reading) ReadBack() string {
	var w string
	switch {
	case b.Strip != nil && b.Rear != nil:
		w = "front " + b.Strip.words() + ", rear " + b.Rear.words()
	case b.Strip != nil:
		w = b.Strip.words()
	default:
		w = readText(*b.Value)
	}
	if b.CrankMoved {
		w += "; the crank moved, so it does not count"
	}
	if b.Reason != "" {
		w += "; kept although questioned, because " + b.Reason
	}
	return w
}

func (s *StripRead) words() string {
	switch s.How {
	case StripBetween:
		return "between " + s.A.Digits + " and " + readText(*s.B)
	case StripOrMore:
		return readText(s.A) + " or more"
	case StripOrLess:
		return readText(s.A) + " or less"
	case StripWidth:
		return "a strip " + readText(s.A) + " wide"
	}
	return readText(s.A)
}

func checkKind(what string, r *units.Read, k units.Kind) error {
	if r == nil || r.Kind == k {
		return nil
	}
	return fmt.Errorf("%s: %s is a %s, not a %s", what, r.Text, r.Kind, k)
}

// readText prints a reading as it was read: its digits and its unit.
func readText(r units.Read) string { return r.String() }
