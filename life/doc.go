// SPDX-License-Identifier: Apache-2.0

// Package life says how likely something is needed within a distance that is
// still to be run, if its lives follow a Weibull distribution.
//
// Start with [Weibull.Within]. A distribution comes from its two figures, from
// two quantiles such as B10 and B50 ([FromQuantiles]), or from what a workshop
// found when it looked ([Fit]).
//
//	w := life.Weibull{Shape: 2.5, Scale: 160_000}
//	p, err := w.Within(92_400, 60_000) // given that it has lasted 92 400 km
//
// # Model and limits
//
// One way of failing, one Weibull distribution for all vehicles, age counted in
// distance since new. What is looked at once is known as found or not found
// worn at that distance, no more (current status). Vehicles that never came in
// are not in the figures. Distances may be in any unit, the same throughout.
//
// The package has no clock and reads no file.
//
// # Sources
//
// W. Weibull, A statistical distribution function of wide applicability, J.
// Appl. Mech. 18 (1951) 293-297; W. Nelson, Applied Life Data Analysis (1982),
// for parts inspected once. Cited from memory.
package life
