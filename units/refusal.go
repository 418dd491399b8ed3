// SPDX-License-Identifier: Apache-2.0

package units

import (
	"fmt"
	"slices"
	"strings"
)

// ParseError says why a text was not taken for a quantity: what was entered,
// what was expected, why not, and what to write. Where it was entered is for
// the caller to add.
type ParseError struct {
	Text       string // as entered
	Kind       Kind   // what was expected
	Reason     string // why it was refused
	Suggestion string // what to write instead; may be empty
}

// Error returns the text, the reason and the suggestion in one line.
func (e *ParseError) Error() string {
	s := fmt.Sprintf("%s %q: %s", e.Kind, e.Text, e.Reason)
	if e.Suggestion != "" {
		s += "; " + e.Suggestion
	}
	return s
}

// refusal is the part of a ParseError that does not depend on the text.
type refusal struct{ reason, suggestion string }

func (r refusal) about(text string, kind Kind) *ParseError {
	return &ParseError{Text: text, Kind: kind, Reason: r.reason, Suggestion: r.suggestion}
}

// refusedSpellings are the spellings that mean two things in the trade, or
// the wrong thing. Keys are normalised; common practice, no source.
var refusedSpellings = buildRefusals()

func buildRefusals() map[spelling]refusal {
	m := map[spelling]refusal{}
	refuse := func(kind Kind, reason, suggestion string, texts ...string) {
		for _, t := range texts {
			m[spelling{kind, normalise(t)}] = refusal{reason, suggestion}
		}
	}
	refuse(KindLength, "mil may be a thousandth of an inch or a millimetre", "write thou or mm", "mil", "mils")
	refuse(KindTorque, "a pound alone may be lbf·ft or lbf·in", "write lbf·ft or lbf·in", "lb", "lbs", "lbf", "#")
	refuse(KindTorque, "kg is a mass, not a force", "write kgf·m if the kilogram-force is meant", "kg", "kg·m", "kgm", "mkg", "m·kg")
	refuse(KindTorque, "kg is a mass, not a force", "write kgf·cm if the kilogram-force is meant", "kg·cm", "kgcm")
	refuse(KindForce, "lb is a mass", "write lbf if the pound-force is meant", "lb", "lbs")
	refuse(KindForce, "kg is a mass", "write kgf if the kilogram-force is meant, else N", "kg")
	refuse(KindPressure, "small m is milli, capital M is mega, and they are 1 000 000 000 apart", "write MPa for megapascal", "mPa", "mpa", "MPA", "mPA")
	refuse(KindPressure, "kg is a mass, not a force", "write kgf/cm² if the kilogram-force is meant", "kg/cm²")
	refuse(KindDynamicViscosity, "small m is milli, capital M is mega, and they are 1 000 000 000 apart", "write mPa·s", "MPa·s", "MPas", "MPA·s", "MPAS", "MPA·S", "Mpa·s", "Mpas")
	refuse(KindTemperature, "a degree may be °C or °F", "write °C or °F", "°", "deg", "degree", "degrees")
	refuse(KindAngle, "grad may be a degree or a gon (400 to the turn)", "write ° or deg", "grad")
	refuse(KindVolume, "the US and the imperial quart differ by a fifth", "write US qt, imp qt or L", "qt", "qts", "quart", "quarts")
	refuse(KindVolume, "the US and the imperial gallon differ by a fifth", "write US gal or L", "gal", "gallon", "gallons")
	refuse(KindVolume, "a capital M is mega", "write mL", "ML", "Ml")
	refuse(KindHours, "m may be a minute or a month", "write min or h", "m")
	refuse(KindDistance, "m may be a mile or a metre", "write mi or km", "m")
	refuse(KindDistance, "k may be a thousand or a kilometre", "write all digits, and km or mi", "k")
	return m
}

// unknownUnit says which kind the spelling belongs to, if any, and what units
// would be right.
func unknownUnit(kind Kind, symbol string) *ParseError {
	e := &ParseError{Text: symbol, Kind: kind, Suggestion: "write one of " + symbols(kind)}
	if len(kind.Units()) == 0 {
		e.Reason, e.Suggestion = "not a kind of quantity", ""
		return e
	}
	e.Reason = fmt.Sprintf("the unit %q is not known", symbol)
	if k := kindWritten(symbol); k != "" {
		e.Reason = fmt.Sprintf("%s is a unit of %s, not of %s", symbol, k, kind)
	}
	return e
}

// kindWritten returns the kind of the first unit that is spelled so, in this
// very case; empty if there is none.
func kindWritten(symbol string) Kind {
	n := normalise(symbol)
	for _, e := range table {
		for _, s := range slices.Concat(list(e.unit.Symbol), e.exact, e.folded) {
			if normalise(s) == n {
				return e.unit.Kind
			}
		}
	}
	return ""
}

func symbols(kind Kind) string {
	var s []string
	for _, u := range kind.Units() {
		s = append(s, u.Symbol)
	}
	return strings.Join(s, ", ")
}
