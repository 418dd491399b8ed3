// SPDX-License-Identifier: Apache-2.0

// Package fastener computes what a threaded fastener does: the clamp load that
// tightening stages produce and how sure it is, the load from a measured
// stretch, what a torque-angle trace shows, and whether a big-end joint stays
// closed at speed.
//
// Start with [Preload]. [ParseThread] and [PropertyClass] make its inputs;
// [StretchPreload] answers the same question from two length readings;
// [ReadTraces] reads a torque wrench's file; [JointAtSpeed] takes the preload
// to rated speed. Nothing here reads a clock or a file by name.
//
// # Units
//
// Unless a name says otherwise: lengths in mm, forces in N, stresses in N/mm²
// (MPa), compliances in mm/N, torques in N·m, angles in degrees, masses in kg,
// speeds in revolutions per minute. Utilisation is in percent.
//
// # Model and limits
//
// Linear joint and bolt up to yield; at yield the load stays where it is (no
// strain hardening, nothing extrapolated). One concentric load, no bending of
// the bolt, no temperature. docs/fastener.md derives every equation.
//
// # Sources
//
// VDI 2230 part 1 (2001 and 2015 editions), from memory; ISO 724, ISO 898-1,
// ISO 261, ISO 16047, ISO 6789-1:2017, from memory except where a function or
// check says where a value was read.
//
// The figures are calculations, not approvals: the manufacturer's current
// service information prevails.
package fastener
