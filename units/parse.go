// SPDX-License-Identifier: Apache-2.0

package units

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// maxText is the longest text that is looked at, in bytes.
const maxText = 100

// Parse reads text as a quantity of the kind. assumed is the unit of a bare
// number; the zero Unit means that a unit must be written. The rules are in
// the package comment.
//
// It returns a *ParseError when the text is not a number with a unit of the
// kind, has two meanings, is too large or too small for a float64, or is a
// temperature below absolute zero.
func Parse(kind Kind, text string, assumed Unit) (Read, error) {
	text = strings.TrimFunc(text, isSpace)
	r, no := parse(kind, text, assumed)
	if no != nil {
		no.Text = clip(text)
		return Read{}, no
	}
	return r, nil
}

func parse(kind Kind, text string, assumed Unit) (Read, *ParseError) {
	switch {
	case kind.Canonical().IsZero():
		return Read{}, refusal{"not a kind of quantity", ""}.about(text, kind)
	case !assumed.IsZero() && assumed.Kind != kind:
		return Read{}, refusal{fmt.Sprintf("%s is a unit of %s", assumed.Symbol, assumed.Kind), ""}.about(text, kind)
	case text == "":
		return Read{}, refusal{"nothing was entered", "write a number and its unit"}.about(text, kind)
	case len(text) > maxText || !utf8.ValidString(text):
		return Read{}, refusal{"this is not one number with a unit", "write a number and its unit"}.about(text, kind)
	}
	n, rest, no := scanNumeral(text)
	if no.reason != "" {
		return Read{}, no.about(text, kind)
	}
	unit, err := unitOf(kind, n, rest, assumed)
	if err != nil {
		return Read{}, err
	}
	return newRead(kind, text, n, unit)
}

// unitOf finds the unit in what follows the number.
func unitOf(kind Kind, n numeral, rest string, assumed Unit) (Unit, *ParseError) {
	symbol := strings.TrimFunc(rest, isSpace)
	if symbol == "" {
		if kind == KindNumber {
			return UnitOne, nil
		}
		if assumed.IsZero() {
			return Unit{}, refusal{"the unit is missing", "write it behind the number: " + symbols(kind)}.about(rest, kind)
		}
		return assumed, nil
	}
	unit, err := lookup(kind, symbol)
	if err == nil {
		return unit, nil
	}
	if _, known := refusedAs(kind, symbol); !known {
		if no, ok := compound(kind, n, symbol); ok {
			return Unit{}, no.about(rest, kind)
		}
	}
	return Unit{}, err
}

// hoursMinutes matches what follows the 1 of 1h30, 1 h 20 min and 1:30.
var hoursMinutes = regexp.MustCompile(`^[hH:] ?(\d{1,2})(?:\D.*)?$`)

// compound explains a text that holds a second number.
func compound(kind Kind, n numeral, symbol string) (refusal, bool) {
	if !strings.ContainsAny(symbol, "0123456789") {
		return refusal{}, false
	}
	if m := hoursMinutes.FindStringSubmatch(symbol); m != nil && kind == KindHours {
		hours, _ := n.rat().Float64()
		minutes, _ := strconv.Atoi(m[1])
		return refusal{"hours and minutes are not taken together", fmt.Sprintf("write %g min", hours*60+float64(minutes))}, true
	}
	return refusal{"this is more than one number", "write one number and its unit, with no space or sign between the digits"}, true
}

// newRead scales the number exactly and rounds once.
func newRead(kind Kind, text string, n numeral, unit Unit) (Read, *ParseError) {
	value, step, ok := n.scaledShort(unit)
	if !ok {
		value, step, ok = n.scaledExactly(unit)
	}
	if n.isZero() {
		n.digits = strings.TrimPrefix(n.digits, "-")
	}
	switch {
	case !ok:
		return Read{}, refusal{"the number is too large or too small", "write it with fewer digits"}.about(text, kind)
	case kind == KindTemperature && value < absoluteZero:
		return Read{}, refusal{"this is below absolute zero, -273.15 °C", "check sign and unit"}.about(text, kind)
	}
	return Read{
		Text: text, Kind: kind, Unit: unit,
		Digits: n.digits, Decimals: max(n.decimals, 0),
		Value: value, Resolution: step,
	}, nil
}

const absoluteZero = -273.15 // °C; SI Brochure, 9th edition, 2.3.1

// clip shortens a text for an error message.
func clip(text string) string {
	text = strings.ToValidUTF8(text, "\ufffd")
	if len(text) <= maxText {
		return text
	}
	return strings.ToValidUTF8(text[:maxText], "") + "…"
}
