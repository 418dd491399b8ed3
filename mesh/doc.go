// SPDX-License-Identifier: Apache-2.0

// Package mesh turns an indicator reading on a gear into backlash where its
// limits hold: in the transverse plane at the pitch circle.
//
// Start with [Measure], which takes readings around the gear. [FromReading]
// converts one, [CentreChange] says how far to move the centres, and
// [ReadReadings] reads a file. Nothing here reads a clock or a file by name.
//
// # Words
//
// Transverse (circumferential) backlash j_t lies along the pitch circle, in
// the plane of rotation. Normal backlash j_bn is the shortest distance between
// the flanks. Axial play at the teeth of a helical gear is what it moves along
// its axis between flanks. Lengths are mm, angles degrees.
//
// # Model and limits
//
// Involute gears on parallel axes at or near their reference centre distance;
// rigid teeth; the other gear held. The linear relation for the centre
// distance is low by under 1 % at a twentieth of a module.
//
// # Sources
//
// ISO 21771:2007 for words and relations, from memory; the relation of centre
// distance to backlash was read in a gear maker's handbook pages.
package mesh
