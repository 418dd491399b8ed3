// SPDX-License-Identifier: Apache-2.0

// Package filmwork computes the oil film of a whole engine: of every position
// with its own measured clearance, as found and as fitted, for every oil that
// the engine sheet allows, hot and while it warms up; the map of the film over
// clearance, speed and oil; and how the film spreads with what is not known
// exactly.
//
// Start with [Desk.Start]: it computes behind the pages, on all cores, tells
// how far it has come, can be stopped, and keeps results by the content of what
// was asked, so that a page shows what is there at once.
//
// Formulas are in packages oil and film; what a sheet does not say is assumed
// here, in one place, and every result lists it. Words are found in package job.
package filmwork
