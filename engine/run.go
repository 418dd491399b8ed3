// SPDX-License-Identifier: Apache-2.0

package engine

import "witnessmark/units"

// Run is what the first start needs.
type Run struct {
	Priming      LimitOf[units.Pressure]  `yaml:"priming_pressure"` // with starting disabled
	PrimingTime  Value[Duration]          `yaml:"priming_time"`     // at most, at the starter
	StopAfter    Value[Duration]          `yaml:"stop_without_pressure_after"`
	PressureCold []OilPressure            `yaml:"oil_pressure_cold"`
	PressureHot  []OilPressure            `yaml:"oil_pressure_hot"`
	HeatCycles   Value[Number]            `yaml:"heat_cycles"`
	WarmTo       Value[units.Temperature] `yaml:"warm_to"`
	CoolTo       Value[units.Temperature] `yaml:"cool_to"`
	LoadFrom     Value[units.Temperature] `yaml:"no_load_below"`
	Notes        []string                 `yaml:"notes"`
}

// OilPressure is the pressure wanted at a speed.
type OilPressure struct {
	ID          string                       `yaml:"id,required"`
	Speed       Value[units.RotationalSpeed] `yaml:"speed,required"`
	Temperature Value[units.Temperature]     `yaml:"temperature"` // of the oil
	Limit       LimitOf[units.Pressure]      `yaml:"limit,required"`
}

// RunningIn is what the owner is told, and when the engine is seen again.
type RunningIn struct {
	Advice   []Advice              `yaml:"advice"`
	FirstOil Value[units.Distance] `yaml:"first_oil_change"`
	Recheck  Value[units.Distance] `yaml:"torque_recheck"`
	Basis    `yaml:"-"`
}

// Advice holds until a distance is done.
type Advice struct {
	Text  string                       `yaml:"text,required"`
	Until Value[units.Distance]        `yaml:"until"`
	Speed Value[units.RotationalSpeed] `yaml:"speed_at_most"`
}

// Caution is a warning that a step shows before the entry it belongs to.
type Caution struct {
	At   string `yaml:"at,required"` // strip, measure, assemble, run, handover
	Text string `yaml:"text,required"`
}

// PhotoWanted is a picture whose absence is an obstacle.
type PhotoWanted struct {
	ID     string `yaml:"id,required"`
	Of     string `yaml:"of,required"` // kind of entry: wear, journal, debris, shell_fitted, arrival, operation, witness_mark, note
	Each   string `yaml:"each"`        // "position", "shell" or "engine" (the default)
	Phase  string `yaml:"phase"`       // "as_found", "as_fitted" or ""
	Before string `yaml:"before"`      // "close_up", "start" or "handover" (the default)
	Why    string `yaml:"why"`
}
