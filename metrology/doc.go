// SPDX-License-Identifier: Apache-2.0

// Package metrology turns a reading into a value with its spread, and a value
// with its spread into a decision against limits.
//
// Start with [Measurement] and [Decide]. A deformable strip gauge is a
// [StripScale]; [StripScale.Measure] makes a Measurement of what was read, and
// [CanProve] says before the reading what the gauge could prove at all.
// [Combine] takes repeats of the same thing together, [Study] is the gauge
// study, [Budget] the uncertainty budget.
//
// # Units
//
// Lengths are float64 millimetres, diametral unless said otherwise; spreads
// are in the unit of the value. [Decide] works in any one unit. Nothing here
// reads a clock, a file or a database, and nothing is rounded.
//
// # Model and limits
//
// A Measurement is a normal spread convolved with a uniform one. Probabilities
// are about the one thing that was measured, with no prior knowledge of how
// such things usually come out (JCGM 106:2012, clause 7.2).
//
// # Sources
//
// JCGM 100:2008 (uncertainty budget), JCGM 101:2008 (Monte Carlo), JCGM
// 106:2012 (conformity). The area law of a strip is volume conservation. The
// strip gauge's 6 % is an assumption of this program until a gauge study says
// better, and is marked so.
package metrology
