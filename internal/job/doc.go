// SPDX-License-Identifier: Apache-2.0

// Package job turns the log of a job into its state, the state into an
// assessment, and the assessment into a view.
//
//	entries --Fold--> State --Assess--> Assessment --Show--> View
//
// Start with [Fold], [Assess] and [Show]. A State is only ever the fold of a
// log; an Assessment is only ever a function of a State, its engine sheet, the
// workshop's settings and the tool register; a View holds the decided words
// and rounded numbers for page, report and text output. Nothing here reads a
// clock, a file or a database, and nothing here holds a formula: readings are
// decided by package metrology.
//
// Each entry kind is one file, kind_*.go: its body, what can be understood of
// it, how it folds and how it reads. [Kinds] lists them all. Facts are never
// refused because they are unwelcome; they become an [Obstacle].
package job
