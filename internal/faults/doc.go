// SPDX-License-Identifier: Apache-2.0

// Package faults holds tests of what goes wrong in a workshop: the power, the
// disk, the network, the clock, and people who should not be there. They run
// the program as it is built, as a user without rights, and look only at what
// it answers and at what is on the disk afterwards.
//
// Every refusal is held to its four parts: where, what was entered, what it
// was held against, what to do. No page shows a stack.
//
// WITNESSMARK_LONG=1 runs the rounds of [TestKilled] 1,000 times, not 50.
package faults
