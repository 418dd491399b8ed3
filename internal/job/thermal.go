// SPDX-License-Identifier: Apache-2.0

package job

import (
	"witnessmark/bearing"
	"witnessmark/engine"
	"witnessmark/metrology"
	"witnessmark/units"
)

// cold is a part, or a scale, at 20 °C exactly.
var cold = metrology.Thermal{Temperature: metrology.ReferenceTemperature}

// Standard uncertainties of what nobody measured. Assumed, no source.
const (
	assumedExpansionU = 1e-6 // per kelvin, of a coefficient from a chart
	assumedApart      = 0.5  // kelvin, between a part and the gauge on it
	assumedCelsiusU   = 1.0  // of a gauge's temperature that was not read
)

// thermal is a part's expansion and temperature.
func (a *assessor) thermal(of string, warm *units.Read) metrology.Thermal {
	mat := a.b.Sheet.Materials
	of3 := map[string]*engine.Material{OfJournal: mat.Crank, OfHousingBore: mat.Rod, OfShellBore: mat.Shell, OfUpperWall: mat.Shell, OfLowerWall: mat.Shell}[of]
	t := metrology.Thermal{Alpha: expansion(of3), UAlpha: assumedExpansionU, Temperature: metrology.ReferenceTemperature, UTemperature: assumedApart}
	if warm != nil {
		t.Temperature = warm.Value
	}
	return t
}

// scaleThermal is the gauge's scale: at the temperature read, else at 20 °C,
// which is uncertain only where the part was found to be at another.
func scaleThermal(in Instrument, g partGroup) metrology.Thermal {
	t := metrology.Thermal{Alpha: in.Expansion, UAlpha: assumedExpansionU, Temperature: metrology.ReferenceTemperature}
	switch {
	case g.cool != nil:
		t.Temperature, t.UTemperature = g.cool.Value, assumedApart
	case g.warm != nil:
		t.UTemperature = assumedCelsiusU
	}
	return t
}

// expansion per kelvin; steel where the sheet names no material.
func expansion(m *engine.Material) float64 {
	if m == nil || !m.Expansion.Given() {
		return bearing.Steel.Expansion
	}
	return float64(m.Expansion.V) * 1e-6
}
