// SPDX-License-Identifier: Apache-2.0

// Package film computes the oil film of a plain journal bearing through a
// working cycle: the journal's orbit, the least film, pressure, friction, side
// flow and temperature.
//
// Start with [Solve] for a load that varies and [SolveSteady] for one that does
// not. Loads come from a table ([NewCycle]) or from [Engine], the slider-crank
// and its gas pressure. For many cases at once see [Sweep] and [MonteCarlo].
//
// # Three methods, one interface
//
// [Film] is what the orbit needs: given position and load, how fast does the
// journal move.
//
//   - [Short]: the short-bearing film (no pressure-driven flow around the
//     bearing), by its exact integrals. At a width ratio of 0.35 its film is a
//     third to a half too thick: for screening only.
//   - [Map]: finite length, the mobility interpolated from a table of this
//     package's own two-dimensional solutions.
//   - [Field]: Reynolds' equation in two dimensions with P >= 0 by
//     complementarity, solved at every step. It alone takes a measured [Shape].
//
// # Frames and signs
//
// The frame is fixed to the bearing; x and y span it, y is 90° ahead of x in the
// sense of the journal's rotation. The load is the external force on the
// journal; the journal moves along it. On a big end the frame is the rod, x
// along the rod towards the piston, so gas load points to +x and thins the film
// in the rod's own half. Angles are radians, all quantities SI, clearance is
// diametral unless a name says radial.
//
// # Dimensionless form
//
//	e = c·ε (c radial clearance), n = (cos θ, sin θ), H = h/c = 1 − ε·n + g
//	∂θ(H³ ∂θP) + (D/L)² ∂Z(H³ ∂ZP) = −12 (V·n − s·g')       P >= 0, P = 0 at Z = ±1
//	p = μ ω (R/c)² P,  velocity of squeeze V = dε/dα − s ẑ×ε,  s = ω̄/ω
//	W = μ ω (R/c)² (L D/2) W̄,  W̄ = ∫ ⟨P⟩Z n dθ
//
// ω̄ is the mean of the journal's and the bearing's speeds seen from the frame,
// α = ω t. docs/film.md derives every line.
//
// # Model and limits
//
// Rigid parts, one viscosity for the whole film, laminar flow, no grooves or oil
// holes, no misalignment, full supply. Good for ranking and trends; the absolute
// least film to a third or so, and pressure is overstated above 100 MPa. Where a
// method cannot hold the load the answer is an [OverloadError], never a NaN.
//
// Nothing here reads a clock, a file or a network.
//
// # Sources
//
// Pinkus and Sternlicht, Theory of Hydrodynamic Lubrication (1961); Ocvirk, NACA
// TN 2808 (1952); Booker, J. Basic Eng. 87 (1965) 537; Raimondi and Boyd, ASLE
// Trans. 1 (1958) 159; Dormand and Prince, J. Comp. Appl. Math. 6 (1980) 19.
// All cited from memory; docs/film.md says what each was held against.
//
// # Race detector
//
// The innermost loops carry go:norace: they touch nothing but the memory of one
// worker, or tables that nobody writes any more, and with the detector's
// bookkeeping a cycle takes ten times longer. Everything around them is watched.
package film
