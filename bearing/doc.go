// SPDX-License-Identifier: Apache-2.0

// Package bearing works out the clearance of a big end from its parts, says
// which part explains a clearance that is off, and chooses the shells that
// bring every position nearest to its target.
//
// Start with [FromParts] for a clearance, [Excess] for where an excess sits,
// and [Pair] for which shells go in which position. [CrushFit] gives what the
// crush of the shells does to the housing, [HotClearance] what heat does to
// the clearance.
//
// Lengths are float64 millimetres unless a name says otherwise (…UM is in
// micrometres), forces newtons, stresses and moduli megapascals (N/mm²),
// temperatures degrees Celsius, expansions per kelvin. Clearances are
// diametral. Nothing here reads a clock, a file or a database; where a search
// is limited, it is limited by a count of steps ([Budget]), so that the same
// input gives the same answer on every machine.
//
// # Sign of the clearance
//
//	clearance = housing bore − journal − upper wall − lower wall + growth
//
// # Model and limits
//
// The housing is taken as a closed ring of one section and the pair of shells
// as a ring inside it: neither the joint of the cap, nor the bolt bosses, nor
// an oil hole are in the model.
//
// # Sources
//
// G. Lamé's thick ring, in the form of any text on strength of materials;
// ISO 7902-1 for the clearance at running temperature (from memory);
// M. R. Garey and D. S. Johnson, Computers and Intractability (1979), SP16
// (numerical 3-dimensional matching) for what makes pairing hard.
package bearing
