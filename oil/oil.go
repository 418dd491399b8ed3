// SPDX-License-Identifier: Apache-2.0

package oil

import (
	"fmt"
	"math"
)

// Oil is one oil: two points of its viscosity curve, its density and, for an
// oil that thins under shear, its high-shear viscosity.
type Oil struct {
	Name      string
	V40, V100 float64 // kinematic viscosity, mm²/s
	Density15 float64 // kg/m³ at 15 °C; 0 means 860, assumed
	HTHS      float64 // mPa·s at 150 °C and 10⁶ 1/s; 0 means it does not thin
	// SecondNewtonian is the viscosity left at infinite shear over that at none;
	// 0 means half of the way from none to the HTHS point, assumed.
	SecondNewtonian float64
	Assumed         []string // what no sheet said, in words
}

// HTHS test conditions (ASTM D4683, CEC L-36).
const (
	HTHSTemperature = 150 // °C
	HTHSRate        = 1e6 // 1/s
)

// assumedDensity15 is usual for engine oils. Common practice, no source.
const assumedDensity15 = 860

// Model is an oil ready to be asked for its viscosity.
type Model struct {
	oil   Oil
	curve Walther
	rho15 float64
	alpha float64 // thermal expansion, 1/K
	ratio float64 // η∞/η0
	k     float64 // Pa, critical shear stress; 0 for Newtonian
}

// Prepare checks the oil's values and fits its curves.
//
// It returns an error naming the value if a viscosity or density is outside its
// range, or if HTHS lies above what the oil has without shear.
func (o Oil) Prepare() (*Model, error) {
	curve, err := WaltherThrough(40, o.V40, 100, o.V100)
	if err != nil {
		return nil, err
	}
	m := &Model{oil: o, curve: curve, rho15: o.Density15}
	if m.rho15 == 0 {
		m.rho15 = assumedDensity15
		m.oil.Assumed = append(m.oil.Assumed[:len(m.oil.Assumed):len(m.oil.Assumed)], "density 860 kg/m³ at 15 °C")
	}
	if err := within("density at 15 °C", "kg/m³", m.rho15, 600, 1200); err != nil {
		return nil, err
	}
	// K0/ρ² + K1/ρ for lubricating oils: K0 = 0, K1 = 0.6278.
	m.alpha = 0.6278 / m.rho15
	if o.HTHS != 0 {
		if err := m.fitShear(); err != nil {
			return nil, err
		}
	}
	return m, nil
}

// Oil returns the oil with everything that was assumed noted.
func (m *Model) Oil() Oil { return m.oil }

// Kinematic returns the kinematic viscosity (mm²/s) at t °C. See [Walther.At].
func (m *Model) Kinematic(t float64) (float64, error) { return m.curve.At(t) }

// Density returns the density (kg/m³) at t °C, in −50 to 250.
//
//	ρ(T) = ρ15 exp(−α Δt (1 + 0.8 α Δt)),  Δt = T − 15 °C,  α = 0.6278/ρ15
//
// Source: API MPMS 11.1 / ASTM D1250, lubricating oils (table 54D), constants
// and form from memory.
func (m *Model) Density(t float64) (float64, error) {
	if err := within("temperature", "°C", t, ColdestC, HottestC); err != nil {
		return 0, err
	}
	x := m.alpha * (t - 15)
	return m.rho15 * math.Exp(-x*(1+0.8*x)), nil
}

// Dynamic returns the dynamic viscosity (mPa·s) at t °C without shear:
// kinematic viscosity times density.
func (m *Model) Dynamic(t float64) (float64, error) {
	v, err := m.curve.At(t)
	if err != nil {
		return 0, err
	}
	rho, err := m.Density(t)
	if err != nil {
		return 0, err
	}
	return v * rho * 1e-3, nil
}

// Sheared returns the dynamic viscosity (mPa·s) at t °C and shear rate (1/s,
// zero or more):
//
//	η = η0 (K + η∞ γ̇)/(K + η0 γ̇)
//
// η0 = [Model.Dynamic], η∞ = r η0, and K a shear stress that does not change
// with temperature, fitted so that η = HTHS at 150 °C and 10⁶ 1/s. The form is
// Cross's equation with exponent one, η = η∞ + (η0 − η∞)/(1 + η0 γ̇/K), written
// over one bar; a test holds the identity.
//
// It assumes one fall of viscosity at one critical stress. Measurements show oils
// without a second plateau, so r is an assumption unless given.
//
// Source: Cross, J. Colloid Sci. 20 (1965) 417 for the equation; Gecim,
// Tribology Trans. 33 (1990) for its use with engine oils, cited from memory and
// not read.
func (m *Model) Sheared(t, rate float64) (float64, error) {
	if !(rate >= 0 && rate < 1e12) {
		return 0, &RangeError{"shear rate", "1/s", rate, 0, 1e12}
	}
	eta, err := m.Dynamic(t)
	if err != nil || m.k == 0 {
		return eta, err
	}
	stress := eta * 1e-3 * rate // Pa, without thinning
	return eta * (m.k + m.ratio*stress) / (m.k + stress), nil
}

// fitShear finds K: from HTHS/η0 = (K + r τ)/(K + τ), τ = η0·10⁶ at 150 °C.
func (m *Model) fitShear() error {
	eta, err := m.Dynamic(HTHSTemperature)
	if err != nil {
		return err
	}
	q := m.oil.HTHS / eta
	if !(q > 0.2) || math.IsInf(q, 0) {
		return &RangeError{"high-shear viscosity at 150 °C", "mPa·s", m.oil.HTHS, 0.2 * eta, eta}
	}
	// Measured values of an oil that does not thin scatter about η0 by some
	// hundredths; only clearly more is a contradiction.
	if q > 1.05 {
		return fmt.Errorf("high-shear viscosity %.4g mPa·s at 150 °C is above the %.4g mPa·s that the oil has there without shear; check the values at 40 and 100 °C", m.oil.HTHS, eta)
	}
	if q >= 0.995 {
		return nil
	}
	m.ratio = m.oil.SecondNewtonian
	if m.ratio == 0 {
		m.ratio = q - (1-q)/2
		m.oil.Assumed = append(m.oil.Assumed[:len(m.oil.Assumed):len(m.oil.Assumed)],
			"viscosity at infinite shear: half as far again below the high-shear point as that lies below the low-shear curve")
	}
	if !(m.ratio >= 0 && m.ratio < q) {
		return &RangeError{"viscosity at infinite shear over that at none", "", m.ratio, 0, q}
	}
	tau := eta * 1e-3 * HTHSRate
	m.k = tau * (q - m.ratio) / (1 - q)
	return nil
}
