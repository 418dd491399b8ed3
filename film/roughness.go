// SPDX-License-Identifier: Apache-2.0

package film

import "math"

// Roughness returns the combined roughness (m) of journal and shell, each as the
// mean height of its surface (m, zero or more), zero if neither is known.
//
//	σ = √(σ_journal² + σ_shell²)
//
// Both by the same parameter. With Ra in place of the root mean square it is a
// fifth too small, see [RaFromRq].
//
// Source: common in texts on lubrication, from memory.
func Roughness(journal, shell float64) float64 { return math.Hypot(journal, shell) }

// RaFromRq returns the mean height Ra of a surface whose heights scatter normally,
// from their root mean square Rq, in the unit of Rq:
//
//	Ra = √(2/π) Rq
//
// rq is zero or more. A ground or plated surface comes near to it, one with deep
// scores does not: there Ra is smaller still.
//
// Source: mean absolute deviation of the normal distribution, derived by hand.
func RaFromRq(rq float64) float64 { return math.Sqrt(2/math.Pi) * rq }

// Lambda returns the film (m) over the combined roughness (m), dimensionless: the
// least film in peaks of the surface. It is zero where no roughness is known.
func Lambda(film, roughness float64) float64 {
	if !(roughness > 0) {
		return 0
	}
	return film / roughness
}
