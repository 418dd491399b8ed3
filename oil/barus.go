// SPDX-License-Identifier: Apache-2.0

package oil

import "math"

// Barus is good to about this pressure; beyond, it overstates.
const BarusMaxMPa = 100

// Barus returns the factor exp(α p) by which pressure p (MPa, 0 to 100) raises
// viscosity, for a pressure coefficient alpha in 1/GPa, 5 to 45.
//
// Petroleum oils lie at 13 to 25 /GPa at 100 °C and 16 to 29 /GPa at 60 °C
// (Stachowiak and Batchelor, Engineering Tribology, table 2.3, seen). In a rigid
// bearing the rule must not be fed back into the film: pressure runs away;
// piezoviscosity needs elastic parts.
//
// It returns a *RangeError outside those ranges.
//
// Source: Barus, Am. J. Sci. 45 (1893) 87.
func Barus(alpha, p float64) (float64, error) {
	if err := within("pressure-viscosity coefficient", "1/GPa", alpha, 5, 45); err != nil {
		return 0, err
	}
	if err := within("pressure", "MPa", p, 0, BarusMaxMPa); err != nil {
		return 0, err
	}
	return math.Exp(alpha * 1e-3 * p), nil
}
