// SPDX-License-Identifier: Apache-2.0

package film

import "math"

// Roughness returns the combined roughness (m) of journal and shell, each as the
// mean height of its surface (m, zero or more), zero if neither is known.
//
//	σ = √(σ_journal² + σ_shell²)
//
// With Ra in place of the root mean square it is a tenth or so too small.
//
// Source: common in texts on lubrication, from memory.
func Roughness(journal, shell float64) float64 { return math.Hypot(journal, shell) }

// Lambda returns the film (m) over the combined roughness (m), dimensionless: the
// least film in peaks of the surface. It is zero where no roughness is known.
func Lambda(film, roughness float64) float64 {
	if !(roughness > 0) {
		return 0
	}
	return film / roughness
}
