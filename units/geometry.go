// SPDX-License-Identifier: Apache-2.0

package units

// Length is a length in millimetres.
type Length float64

// ParseLength reads a length; see [Parse].
func ParseLength(text string, assumed Unit) (Length, error) { return ParseAs[Length](text, assumed) }

// MM returns it in millimetres.
func (l Length) MM() float64 { return float64(l) }

// Micrometres returns it in micrometres.
func (l Length) Micrometres() float64 { return UnitMicrometre.FromCanonical(float64(l)) }

// Metres returns it in metres.
func (l Length) Metres() float64 { return UnitMetre.FromCanonical(float64(l)) }

// Inches returns it in inches.
func (l Length) Inches() float64 { return UnitInch.FromCanonical(float64(l)) }

// Thou returns it in thousandths of an inch.
func (l Length) Thou() float64 { return UnitThou.FromCanonical(float64(l)) }

// Kind returns KindLength.
func (Length) Kind() Kind { return KindLength }

// String prints the fewest digits that read back the same, with the unit.
func (l Length) String() string { return str(l) }

// MarshalText is String; a value that is not finite is an error.
func (l Length) MarshalText() ([]byte, error) { return marshal(l) }

// UnmarshalText reads a number with its unit, which may not be left out.
func (l *Length) UnmarshalText(text []byte) error { return unmarshal(l, text) }

// Angle is an angle in degrees.
type Angle float64

// ParseAngle reads an angle; see [Parse].
func ParseAngle(text string, assumed Unit) (Angle, error) { return ParseAs[Angle](text, assumed) }

// Degrees returns it in degrees.
func (a Angle) Degrees() float64 { return float64(a) }

// Radians returns it in radians.
func (a Angle) Radians() float64 { return UnitRadian.FromCanonical(float64(a)) }

// Kind returns KindAngle.
func (Angle) Kind() Kind { return KindAngle }

// String prints the fewest digits that read back the same, with the unit.
func (a Angle) String() string { return str(a) }

// MarshalText is String; a value that is not finite is an error.
func (a Angle) MarshalText() ([]byte, error) { return marshal(a) }

// UnmarshalText reads a number with its unit, which may not be left out.
func (a *Angle) UnmarshalText(text []byte) error { return unmarshal(a, text) }

// Distance is a distance driven in kilometres.
type Distance float64

// ParseDistance reads a distance driven; see [Parse].
func ParseDistance(text string, assumed Unit) (Distance, error) {
	return ParseAs[Distance](text, assumed)
}

// Kilometres returns it in kilometres.
func (d Distance) Kilometres() float64 { return float64(d) }

// Miles returns it in miles.
func (d Distance) Miles() float64 { return UnitMile.FromCanonical(float64(d)) }

// Kind returns KindDistance.
func (Distance) Kind() Kind { return KindDistance }

// String prints the fewest digits that read back the same, with the unit.
func (d Distance) String() string { return str(d) }

// MarshalText is String; a value that is not finite is an error.
func (d Distance) MarshalText() ([]byte, error) { return marshal(d) }

// UnmarshalText reads a number with its unit, which may not be left out.
func (d *Distance) UnmarshalText(text []byte) error { return unmarshal(d, text) }
