// SPDX-License-Identifier: Apache-2.0

// Package arch holds the shape of the project: which way imports go, which
// modules the top-level packages rest on, and what every file has or never
// has. It is tests only; the tables at the top of its files are the rules.
package arch
