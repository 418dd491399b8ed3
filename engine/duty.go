// SPDX-License-Identifier: Apache-2.0

package engine

import "witnessmark/units"

// Duty is what the engine does and weighs: the loads come from it.
type Duty struct {
	Cycle         string                       `yaml:"cycle,required"` // "four_stroke" or "two_stroke"
	Bore          Value[units.Length]          `yaml:"bore,required"`
	Stroke        Value[units.Length]          `yaml:"stroke,required"`
	RodLength     Value[units.Length]          `yaml:"rod_length,required"` // between centres
	PinOffset     Value[units.Length]          `yaml:"pin_offset"`          // of the piston pin, towards the thrust side
	Compression   Value[Number]                `yaml:"compression_ratio"`
	Idle          Value[units.RotationalSpeed] `yaml:"idle_speed"`
	RatedSpeed    Value[units.RotationalSpeed] `yaml:"rated_speed,required"`
	OverSpeed     Value[units.RotationalSpeed] `yaml:"over_speed"`
	PeakPressure  Value[units.Pressure]        `yaml:"peak_pressure"`           // one of these two
	MeanPressure  Value[units.Pressure]        `yaml:"mean_effective_pressure"` // brake, at rated speed
	Intake        Value[units.Pressure]        `yaml:"intake_pressure"`         // absolute, in the cylinder at the end of induction
	Exhaust       Value[units.Pressure]        `yaml:"exhaust_pressure"`        // absolute
	BurnStart     Value[units.Angle]           `yaml:"burn_start"`              // after firing top dead centre, negative before
	BurnDuration  Value[units.Angle]           `yaml:"burn_duration"`           // from start to end of burning
	PortOpen      Value[units.Angle]           `yaml:"port_open"`               // two-stroke: after top dead centre
	Pressures     []CylinderPressure           `yaml:"pressure_cycle"`          // measured; instead of peak and mean
	WarmUpSpeed   Value[units.RotationalSpeed] `yaml:"warm_up_speed"`           // the most that is asked of it cold
	Reciprocating Value[units.Mass]            `yaml:"reciprocating_mass"`      // piston, pin, rings and the rod's share
	Rotating      Value[units.Mass]            `yaml:"rotating_mass"`           // the rod's share at the big end
	Cap           Value[units.Mass]            `yaml:"cap_mass"`                // cap with bolts, part of Rotating
	Running       Value[units.Temperature]     `yaml:"running_temperature"`     // of journal and housing, hot
}

// CylinderPressure is one row of a measured cycle, absolute, from firing top
// dead centre; the last row repeats the first one working cycle later.
type CylinderPressure struct {
	Angle    Value[units.Angle]    `yaml:"angle,required"`
	Pressure Value[units.Pressure] `yaml:"pressure,required"`
}

// Material is what a part grows and yields by.
type Material struct {
	Name      string                `yaml:"name,required"`
	Expansion Value[Number]         `yaml:"expansion_um_m_K,required"` // µm per metre and kelvin
	Modulus   Value[units.Pressure] `yaml:"modulus"`
	Poisson   Value[Number]         `yaml:"poisson"`
}

// Materials are those of the parts that make the clearance.
type Materials struct {
	Crank    *Material           `yaml:"crankshaft"`
	Rod      *Material           `yaml:"rod"`
	Shell    *Material           `yaml:"shell"`              // of its back
	RodOuter Value[units.Length] `yaml:"rod_outer_diameter"` // of the big end, taken as a ring
}
