// SPDX-License-Identifier: Apache-2.0

// Package demo is an invented scenario: a workshop with four people, its
// tools and six jobs: one half-way, one handed over and followed up, one whose
// parts are coming, one just opened, one whose estimate is to be talked through,
// one half back under the car. No person, engine, car, part or place in it is real.
//
// Start with [Fill]. It goes through the ordinary append, entry by entry, as
// the people of the workshop would have, at times and with randomness from a
// [Replay], so that the same start gives the same log.
package demo
