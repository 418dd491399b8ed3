// SPDX-License-Identifier: Apache-2.0

package oil

// TemperatureAt returns the temperature (°C) at which the oil has the kinematic
// viscosity v (mm²/s): the inverse of [Model.Kinematic], by bisection.
//
// It returns a *RangeError if the oil is thinner than v at the coldest or
// thicker at the hottest temperature that the curve covers.
func (m *Model) TemperatureAt(v float64) (float64, error) {
	cold, err := m.Kinematic(curveColdest)
	if err != nil {
		return 0, err
	}
	hot, err := m.Kinematic(curveHottest)
	if err != nil {
		return 0, err
	}
	if err := within("kinematic viscosity", "mm²/s", v, hot, cold); err != nil {
		return 0, err
	}
	return bisect(curveColdest, curveHottest, func(t float64) (bool, error) {
		now, err := m.Kinematic(t)
		return now > v, err
	})
}

// The span in which [Model.TemperatureAt] looks, °C.
const (
	curveColdest = -20
	curveHottest = 150
)
