// SPDX-License-Identifier: Apache-2.0

package units

import (
	"fmt"
	"slices"
	"strings"
)

// Preferences says in which unit a reader wants each kind printed: metric or
// inch, kind by kind. It is a value: compare with ==, change with [With]. The
// zero value is Metric.
type Preferences struct {
	inch uint16 // one bit a kind, in the order of Kinds
}

// Metric and Inch are the two plain preferences.
var (
	Metric = Preferences{}
	Inch   = Preferences{inch: 1<<len(Kinds()) - 1}
)

// preferred holds the metric and the inch unit of each kind.
var preferred = map[Kind][2]Unit{
	KindLength:             {UnitMillimetre, UnitInch},
	KindAngle:              {UnitDegree, UnitDegree},
	KindTorque:             {UnitNewtonMetre, UnitPoundForceFoot},
	KindForce:              {UnitNewton, UnitPoundForce},
	KindPressure:           {UnitBar, UnitPoundPerSquareInch},
	KindTemperature:        {UnitCelsius, UnitFahrenheit},
	KindRotationalSpeed:    {UnitRPM, UnitRPM},
	KindDynamicViscosity:   {UnitMillipascalSecond, UnitMillipascalSecond},
	KindKinematicViscosity: {UnitSquareMillimetrePerSecond, UnitSquareMillimetrePerSecond},
	KindMass:               {UnitKilogram, UnitPound},
	KindVolume:             {UnitLitre, UnitUSQuart},
	KindHours:              {UnitHour, UnitHour},
	KindDistance:           {UnitKilometre, UnitMile},
	KindNumber:             {UnitOne, UnitOne},
}

// Unit returns the unit in which the reader wants the kind; the zero Unit if
// the kind is not known.
func (p Preferences) Unit(kind Kind) Unit {
	if p.IsInch(kind) {
		return preferred[kind][1]
	}
	return preferred[kind][0]
}

// IsInch tells whether the kind is printed in inch units.
func (p Preferences) IsInch(kind Kind) bool { return p.inch&bit(kind) != 0 }

// With returns p with the kind in inch or in metric units.
func (p Preferences) With(kind Kind, inch bool) Preferences {
	if inch {
		p.inch |= bit(kind)
	} else {
		p.inch &^= bit(kind)
	}
	return p
}

// Format prints value, in the canonical unit of kind, in the reader's unit
// with the decimals that resolution (canonical) is worth; see [DecimalsFor].
func (p Preferences) Format(value float64, kind Kind, resolution float64) string {
	u := p.Unit(kind)
	return Format(value, kind, u, DecimalsFor(resolution, u))
}

// bit returns the kind's place in the set; 0 if the kind is not known.
func bit(kind Kind) uint16 {
	i := slices.Index(Kinds(), kind)
	if i < 0 {
		return 0
	}
	return 1 << i
}

// String returns "metric", "inch", or "inch for length, torque".
func (p Preferences) String() string {
	switch p {
	case Metric:
		return "metric"
	case Inch:
		return "inch"
	}
	var names []string
	for _, k := range Kinds() {
		if p.IsInch(k) {
			names = append(names, string(k))
		}
	}
	return "inch for " + strings.Join(names, ", ")
}

// MarshalText is String.
func (p Preferences) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads what String prints.
func (p *Preferences) UnmarshalText(text []byte) error {
	s := strings.TrimSpace(string(text))
	switch names, some := strings.CutPrefix(s, "inch for "); {
	case s == "metric":
		*p = Metric
	case s == "inch":
		*p = Inch
	case some:
		return p.setKinds(names)
	default:
		return fmt.Errorf("units: preference %q is none of metric, inch, inch for KIND, KIND", s)
	}
	return nil
}

func (p *Preferences) setKinds(names string) error {
	got := Metric
	for name := range strings.SplitSeq(names, ",") {
		k := Kind(strings.TrimSpace(name))
		if bit(k) == 0 {
			return fmt.Errorf("units: preference: %q is no kind of quantity", k)
		}
		got = got.With(k, true)
	}
	*p = got
	return nil
}
