// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"fmt"
	"math"
)

// ReferenceTemperature is the temperature (°C) at which lengths are stated, ISO 1.
const ReferenceTemperature = 20.0

// Thermal is a thing's expansion and temperature.
type Thermal struct {
	Alpha, UAlpha             float64 // linear coefficient per K and its standard uncertainty
	Temperature, UTemperature float64 // °C
}

func (t Thermal) growth() float64 { return 1 + t.Alpha*(t.Temperature-ReferenceTemperature) }

func (t Thermal) validate(what string) error {
	if !(t.Alpha >= 0 && t.Alpha < 1e-3) || !(t.UAlpha >= 0 && t.UAlpha < 1e-3) ||
		!(t.Temperature > -100 && t.Temperature < 1000) || !(t.UTemperature >= 0 && t.UTemperature < 1000) {
		return fmt.Errorf("%w: expansion of the %s: %g per K ± %g at %g °C ± %g", ErrInput, what, t.Alpha, t.UAlpha, t.Temperature, t.UTemperature)
	}
	return nil
}

// AtReference returns the length at 20 °C of a part that was read as m with a
// gauge whose scale is right at 20 °C:
//
//	L₂₀ = L·(1 + α_s(t_s−20)) / (1 + α(t−20))
//
// The spreads of both coefficients and temperatures are added to U, first
// order, as independent; they are common to all readings taken so.
//
// It returns an error wrapping [ErrMeasurement] or [ErrInput] (coefficients
// from 0 to 10⁻³ per K).
//
// Source: ISO 1; JCGM 100:2008, H.1.2.
func AtReference(m Measurement, part, scale Thermal) (Measurement, error) {
	for _, err := range []error{m.Validate(), part.validate("part"), scale.validate("scale")} {
		if err != nil {
			return Measurement{}, err
		}
	}
	factor := scale.growth() / part.growth()
	u := m.Value * factor * math.Hypot(scale.relativeU(), part.relativeU())
	m.Value *= factor
	m.HalfWidth *= factor
	m.U = math.Hypot(m.U*factor, u)
	m.CommonU = math.Min(m.U, math.Hypot(m.CommonU*factor, u))
	return m, nil
}

// relativeU is the relative standard uncertainty of the growth.
func (t Thermal) relativeU() float64 {
	θ := t.Temperature - ReferenceTemperature
	return math.Hypot(θ*t.UAlpha, t.Alpha*t.UTemperature) / t.growth()
}

// AtTemperature returns the length (mm) at temperature (°C) of a part that is
// length at 20 °C and expands by alpha per K.
func AtTemperature(length, alpha, temperature float64) float64 {
	return length * (1 + alpha*(temperature-ReferenceTemperature))
}
