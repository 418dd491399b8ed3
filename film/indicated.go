// SPDX-License-Identifier: Apache-2.0

package film

// Indicated returns the mean effective pressure on the piston (the unit of
// brake) from that at the flywheel and the mechanical efficiency, in (0, 1].
//
//	p_i = p_e/η_m
//
// It is zero for an efficiency outside the interval. Source: definition.
func Indicated(brake, efficiency float64) float64 {
	if !(efficiency > 0 && efficiency <= 1) {
		return 0
	}
	return brake / efficiency
}
