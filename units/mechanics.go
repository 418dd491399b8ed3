// SPDX-License-Identifier: Apache-2.0

package units

// Torque is a torque in newton metres.
type Torque float64

// ParseTorque reads a torque; see [Parse].
func ParseTorque(text string, assumed Unit) (Torque, error) { return ParseAs[Torque](text, assumed) }

// NewtonMetres returns it in newton metres.
func (t Torque) NewtonMetres() float64 { return float64(t) }

// PoundForceFeet returns it in pound-force feet.
func (t Torque) PoundForceFeet() float64 { return UnitPoundForceFoot.FromCanonical(float64(t)) }

// PoundForceInches returns it in pound-force inches.
func (t Torque) PoundForceInches() float64 { return UnitPoundForceInch.FromCanonical(float64(t)) }

// Kind returns KindTorque.
func (Torque) Kind() Kind { return KindTorque }

// String prints the fewest digits that read back the same, with the unit.
func (t Torque) String() string { return str(t) }

// MarshalText is String; a value that is not finite is an error.
func (t Torque) MarshalText() ([]byte, error) { return marshal(t) }

// UnmarshalText reads a number with its unit, which may not be left out.
func (t *Torque) UnmarshalText(text []byte) error { return unmarshal(t, text) }

// Force is a force in newtons.
type Force float64

// ParseForce reads a force; see [Parse].
func ParseForce(text string, assumed Unit) (Force, error) { return ParseAs[Force](text, assumed) }

// Newtons returns it in newtons.
func (f Force) Newtons() float64 { return float64(f) }

// Kilonewtons returns it in kilonewtons.
func (f Force) Kilonewtons() float64 { return UnitKilonewton.FromCanonical(float64(f)) }

// PoundsForce returns it in pounds-force.
func (f Force) PoundsForce() float64 { return UnitPoundForce.FromCanonical(float64(f)) }

// Kind returns KindForce.
func (Force) Kind() Kind { return KindForce }

// String prints the fewest digits that read back the same, with the unit.
func (f Force) String() string { return str(f) }

// MarshalText is String; a value that is not finite is an error.
func (f Force) MarshalText() ([]byte, error) { return marshal(f) }

// UnmarshalText reads a number with its unit, which may not be left out.
func (f *Force) UnmarshalText(text []byte) error { return unmarshal(f, text) }

// Pressure is a pressure or stress in pascals.
type Pressure float64

// ParsePressure reads a pressure or stress; see [Parse].
func ParsePressure(text string, assumed Unit) (Pressure, error) {
	return ParseAs[Pressure](text, assumed)
}

// Pascals returns it in pascals.
func (p Pressure) Pascals() float64 { return float64(p) }

// Kilopascals returns it in kilopascals.
func (p Pressure) Kilopascals() float64 { return UnitKilopascal.FromCanonical(float64(p)) }

// Megapascals returns it in megapascals.
func (p Pressure) Megapascals() float64 { return UnitMegapascal.FromCanonical(float64(p)) }

// Gigapascals returns it in gigapascals.
func (p Pressure) Gigapascals() float64 { return UnitGigapascal.FromCanonical(float64(p)) }

// Bar returns it in bar.
func (p Pressure) Bar() float64 { return UnitBar.FromCanonical(float64(p)) }

// PSI returns it in pounds-force per square inch.
func (p Pressure) PSI() float64 { return UnitPoundPerSquareInch.FromCanonical(float64(p)) }

// Kind returns KindPressure.
func (Pressure) Kind() Kind { return KindPressure }

// String prints the fewest digits that read back the same, with the unit.
func (p Pressure) String() string { return str(p) }

// MarshalText is String; a value that is not finite is an error.
func (p Pressure) MarshalText() ([]byte, error) { return marshal(p) }

// UnmarshalText reads a number with its unit, which may not be left out.
func (p *Pressure) UnmarshalText(text []byte) error { return unmarshal(p, text) }

// RotationalSpeed is a speed of rotation in revolutions per minute.
type RotationalSpeed float64

// ParseRotationalSpeed reads a speed of rotation; see [Parse].
func ParseRotationalSpeed(text string, assumed Unit) (RotationalSpeed, error) {
	return ParseAs[RotationalSpeed](text, assumed)
}

// RPM returns it in revolutions per minute.
func (r RotationalSpeed) RPM() float64 { return float64(r) }

// RadPerSecond returns it in radians per second.
func (r RotationalSpeed) RadPerSecond() float64 { return UnitRadianPerSecond.FromCanonical(float64(r)) }

// Kind returns KindRotationalSpeed.
func (RotationalSpeed) Kind() Kind { return KindRotationalSpeed }

// String prints the fewest digits that read back the same, with the unit.
func (r RotationalSpeed) String() string { return str(r) }

// MarshalText is String; a value that is not finite is an error.
func (r RotationalSpeed) MarshalText() ([]byte, error) { return marshal(r) }

// UnmarshalText reads a number with its unit, which may not be left out.
func (r *RotationalSpeed) UnmarshalText(text []byte) error { return unmarshal(r, text) }

// Mass is a mass in kilograms.
type Mass float64

// ParseMass reads a mass; see [Parse].
func ParseMass(text string, assumed Unit) (Mass, error) { return ParseAs[Mass](text, assumed) }

// Kilograms returns it in kilograms.
func (m Mass) Kilograms() float64 { return float64(m) }

// Grams returns it in grams.
func (m Mass) Grams() float64 { return UnitGram.FromCanonical(float64(m)) }

// Pounds returns it in pounds.
func (m Mass) Pounds() float64 { return UnitPound.FromCanonical(float64(m)) }

// Kind returns KindMass.
func (Mass) Kind() Kind { return KindMass }

// String prints the fewest digits that read back the same, with the unit.
func (m Mass) String() string { return str(m) }

// MarshalText is String; a value that is not finite is an error.
func (m Mass) MarshalText() ([]byte, error) { return marshal(m) }

// UnmarshalText reads a number with its unit, which may not be left out.
func (m *Mass) UnmarshalText(text []byte) error { return unmarshal(m, text) }
