// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"witnessmark/units"
)

// Kinds that a sheet has beside those of package units.
const (
	KindNumber              = units.KindNumber // without unit
	KindDuration units.Kind = "duration"       // s
)

// Number is a number without unit, or with its unit in the key's name.
type Number float64

// Kind returns KindNumber.
func (Number) Kind() units.Kind { return KindNumber }

// UnmarshalText reads decimal digits with a point.
func (n *Number) UnmarshalText(text []byte) error {
	f, err := strconv.ParseFloat(string(text), 64)
	if err != nil || strings.Trim(string(text), "0123456789.+-eE") != "" {
		return fmt.Errorf("%q is not a number; write digits and a point, without unit", text)
	}
	*n = Number(f)
	return nil
}

// Duration is a time in seconds.
type Duration float64

// Seconds returns it in seconds.
func (t Duration) Seconds() float64 { return float64(t) }

// Kind returns KindDuration.
func (Duration) Kind() units.Kind { return KindDuration }

// UnmarshalText reads "10 s", "15 min" or "24 h".
func (t *Duration) UnmarshalText(text []byte) error {
	digits, unit, _ := strings.Cut(string(text), " ")
	var n Number
	scale, ok := map[string]Duration{"s": 1, "min": 60, "h": 3600}[strings.TrimSpace(unit)]
	if err := n.UnmarshalText([]byte(digits)); err != nil || !ok || n < 0 {
		return fmt.Errorf("%q is not a time; write a number with s, min or h, such as 10 s", text)
	}
	*t = Duration(n) * scale
	return nil
}

func unitOf(k units.Kind) string {
	switch k {
	case KindNumber:
		return ""
	case KindDuration:
		return "s"
	}
	return k.Canonical().Symbol
}

// unreadable records a text that its type did not take. The types' errors end
// in what to write, after the last semicolon.
func (d *decoder) unreadable(n ast.Node, path string, err error) {
	what, want := oneLine(err.Error()), ""
	var p *units.ParseError
	if errors.As(err, &p) {
		what = strings.TrimPrefix(what, "units: ")
	}
	if i := strings.LastIndex(what, "; "); i >= 0 {
		what, want = what[:i], what[i+2:]
	}
	d.problem(placeOf(n), last(path)+": "+what, want)
}

// quantities reads a limit of each quantity that a setting may have.
var quantities = map[string]func(*decoder, ast.Node, string, Basis) Bounds{
	string(units.KindLength):          limitAs[units.Length],
	string(units.KindAngle):           limitAs[units.Angle],
	string(units.KindTorque):          limitAs[units.Torque],
	string(units.KindForce):           limitAs[units.Force],
	string(units.KindPressure):        limitAs[units.Pressure],
	string(units.KindTemperature):     limitAs[units.Temperature],
	string(units.KindRotationalSpeed): limitAs[units.RotationalSpeed],
	string(units.KindVolume):          limitAs[units.Volume],
	string(KindNumber):                limitAs[Number],
}

const quantityNames = "length, angle, torque, force, pressure, temperature, rotational speed, volume, number"
