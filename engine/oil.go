// SPDX-License-Identifier: Apache-2.0

package engine

import "witnessmark/units"

// Oil is what may be filled, and how much.
type Oil struct {
	Allowed  []OilGrade               `yaml:"allowed,required"` // the first is the usual one
	Capacity Nominal[units.Volume]    `yaml:"capacity"`
	Filter   string                   `yaml:"filter"`
	Inlet    Value[units.Temperature] `yaml:"inlet_temperature"`   // at the bearing, hot
	WarmUp   Value[units.Temperature] `yaml:"warm_up_temperature"` // at the bearing, while it warms up
	Level    string                   `yaml:"level_check"`         // how the level is read, in words
}

// OilGrade is one oil that the sheet allows. The figures are of the product
// where known; else the grade's own range holds.
type OilGrade struct {
	Grade   string                          `yaml:"grade,required"` // such as 5W-40 or VG 46
	Quality string                          `yaml:"quality"`
	When    string                          `yaml:"when"`
	V40     Value[units.KinematicViscosity] `yaml:"v40"`
	V100    Value[units.KinematicViscosity] `yaml:"v100"`
	HTHS    Value[units.DynamicViscosity]   `yaml:"hths"` // 150 °C, 10⁶ per second
	Density Value[Number]                   `yaml:"density_15C_kg_m3"`
	Basis   `yaml:"-"`
}

// AllowsOil reports whether the sheet allows this grade.
func (s *Sheet) AllowsOil(grade string) bool {
	for _, o := range s.Oil.Allowed {
		if o.Grade == grade {
			return true
		}
	}
	return false
}
