// SPDX-License-Identifier: Apache-2.0

package units

// Temperature is a temperature, a point on the scale, in degrees Celsius.
type Temperature float64

// ParseTemperature reads a temperature; see [Parse].
func ParseTemperature(text string, assumed Unit) (Temperature, error) {
	return ParseAs[Temperature](text, assumed)
}

// Celsius returns it in degrees Celsius.
func (t Temperature) Celsius() float64 { return float64(t) }

// Fahrenheit returns it in degrees Fahrenheit.
func (t Temperature) Fahrenheit() float64 { return UnitFahrenheit.FromCanonical(float64(t)) }

// Kelvin returns it in kelvins.
func (t Temperature) Kelvin() float64 { return UnitKelvin.FromCanonical(float64(t)) }

// Kind returns KindTemperature.
func (Temperature) Kind() Kind { return KindTemperature }

// String prints the fewest digits that read back the same, with the unit.
func (t Temperature) String() string { return str(t) }

// MarshalText is String; a value that is not finite is an error.
func (t Temperature) MarshalText() ([]byte, error) { return marshal(t) }

// UnmarshalText reads a number with its unit, which may not be left out.
func (t *Temperature) UnmarshalText(text []byte) error { return unmarshal(t, text) }

// DynamicViscosity is a dynamic viscosity in pascal seconds.
type DynamicViscosity float64

// ParseDynamicViscosity reads a dynamic viscosity; see [Parse].
func ParseDynamicViscosity(text string, assumed Unit) (DynamicViscosity, error) {
	return ParseAs[DynamicViscosity](text, assumed)
}

// PascalSeconds returns it in pascal seconds.
func (d DynamicViscosity) PascalSeconds() float64 { return float64(d) }

// MillipascalSeconds returns it in millipascal seconds.
func (d DynamicViscosity) MillipascalSeconds() float64 {
	return UnitMillipascalSecond.FromCanonical(float64(d))
}

// Kind returns KindDynamicViscosity.
func (DynamicViscosity) Kind() Kind { return KindDynamicViscosity }

// String prints the fewest digits that read back the same, with the unit.
func (d DynamicViscosity) String() string { return str(d) }

// MarshalText is String; a value that is not finite is an error.
func (d DynamicViscosity) MarshalText() ([]byte, error) { return marshal(d) }

// UnmarshalText reads a number with its unit, which may not be left out.
func (d *DynamicViscosity) UnmarshalText(text []byte) error { return unmarshal(d, text) }

// KinematicViscosity is a kinematic viscosity in square millimetres per second.
type KinematicViscosity float64

// ParseKinematicViscosity reads a kinematic viscosity; see [Parse].
func ParseKinematicViscosity(text string, assumed Unit) (KinematicViscosity, error) {
	return ParseAs[KinematicViscosity](text, assumed)
}

// SquareMillimetresPerSecond returns it in square millimetres per second.
func (k KinematicViscosity) SquareMillimetresPerSecond() float64 { return float64(k) }

// SquareMetresPerSecond returns it in square metres per second.
func (k KinematicViscosity) SquareMetresPerSecond() float64 {
	return UnitSquareMetrePerSecond.FromCanonical(float64(k))
}

// Kind returns KindKinematicViscosity.
func (KinematicViscosity) Kind() Kind { return KindKinematicViscosity }

// String prints the fewest digits that read back the same, with the unit.
func (k KinematicViscosity) String() string { return str(k) }

// MarshalText is String; a value that is not finite is an error.
func (k KinematicViscosity) MarshalText() ([]byte, error) { return marshal(k) }

// UnmarshalText reads a number with its unit, which may not be left out.
func (k *KinematicViscosity) UnmarshalText(text []byte) error { return unmarshal(k, text) }

// Volume is a volume in litres.
type Volume float64

// ParseVolume reads a volume; see [Parse].
func ParseVolume(text string, assumed Unit) (Volume, error) { return ParseAs[Volume](text, assumed) }

// Litres returns it in litres.
func (v Volume) Litres() float64 { return float64(v) }

// Millilitres returns it in millilitres.
func (v Volume) Millilitres() float64 { return UnitMillilitre.FromCanonical(float64(v)) }

// USQuarts returns it in US quarts.
func (v Volume) USQuarts() float64 { return UnitUSQuart.FromCanonical(float64(v)) }

// Kind returns KindVolume.
func (Volume) Kind() Kind { return KindVolume }

// String prints the fewest digits that read back the same, with the unit.
func (v Volume) String() string { return str(v) }

// MarshalText is String; a value that is not finite is an error.
func (v Volume) MarshalText() ([]byte, error) { return marshal(v) }

// UnmarshalText reads a number with its unit, which may not be left out.
func (v *Volume) UnmarshalText(text []byte) error { return unmarshal(v, text) }
