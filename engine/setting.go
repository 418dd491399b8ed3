// SPDX-License-Identifier: Apache-2.0

package engine

import "witnessmark/units"

// Setting is something adjusted or verified during assembly: a backlash, the
// slack of a chain, a sensor's gap, a pump's end play.
type Setting struct {
	ID        string   `yaml:"id,required"`
	Title     string   `yaml:"title,required"`
	Kind      string   `yaml:"kind"` // "backlash", "chain_slack", "thrust", "sensor", "pump" or "other"
	Limit     AnyLimit `yaml:"limit,required"`
	SetTo     string   `yaml:"set_to"`    // the set point in words or a value
	Positions []int    `yaml:"positions"` // empty: once for the engine
	Gear      *Gear    `yaml:"gear"`
	How       string   `yaml:"how"`
	Basis     `yaml:"-"`
}

// AnyLimit is a limit of a quantity that the sheet names.
type AnyLimit struct {
	Quantity string // "length", "angle", "torque", "force", "pressure", "temperature", "rotational speed", "volume", "number"
	Bounds
}

// Gear is what turns an indicator reading into backlash at the pitch circle.
type Gear struct {
	Measured      string              `yaml:"measured"` // "transverse" (the default), "normal" or "axial"
	ReadRadius    Value[units.Length] `yaml:"read_radius"`
	PitchRadius   Value[units.Length] `yaml:"pitch_radius,required"`
	PressureAngle Value[units.Angle]  `yaml:"pressure_angle"` // normal
	Helix         Value[units.Angle]  `yaml:"helix"`
	Teeth         int                 `yaml:"teeth"`
}

// Setting returns the setting with this id.
func (s *Sheet) Setting(id string) (Setting, bool) {
	for _, x := range s.Settings {
		if x.ID == id {
			return x, true
		}
	}
	return Setting{}, false
}
