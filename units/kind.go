// SPDX-License-Identifier: Apache-2.0

package units

// Kind is the kind of a quantity. Two kinds never convert into each other.
type Kind string

// The kinds, with the canonical unit of each.
const (
	KindLength             Kind = "length"              // mm
	KindAngle              Kind = "angle"               // °
	KindTorque             Kind = "torque"              // N·m
	KindForce              Kind = "force"               // N
	KindPressure           Kind = "pressure"            // Pa
	KindTemperature        Kind = "temperature"         // °C
	KindRotationalSpeed    Kind = "rotational speed"    // rpm
	KindDynamicViscosity   Kind = "dynamic viscosity"   // Pa·s
	KindKinematicViscosity Kind = "kinematic viscosity" // mm²/s
	KindMass               Kind = "mass"                // kg
	KindVolume             Kind = "volume"              // L
	KindHours              Kind = "hours"               // h
	KindDistance           Kind = "distance"            // km
	KindNumber             Kind = "number"              // 1, which is not written
)

// Kinds lists every kind, in the order of the constants.
func Kinds() []Kind {
	return []Kind{
		KindLength, KindAngle, KindTorque, KindForce, KindPressure,
		KindTemperature, KindRotationalSpeed, KindDynamicViscosity,
		KindKinematicViscosity, KindMass, KindVolume, KindHours, KindDistance, KindNumber,
	}
}

// Canonical returns the unit in which values of the kind are held; the zero
// Unit if the kind is not known.
func (k Kind) Canonical() Unit {
	for _, e := range table {
		if e.unit.Kind == k {
			return e.unit // the canonical unit stands first
		}
	}
	return Unit{}
}

// Units lists the units of the kind, the canonical one first.
func (k Kind) Units() []Unit {
	var list []Unit
	for _, e := range table {
		if e.unit.Kind == k {
			list = append(list, e.unit)
		}
	}
	return list
}
