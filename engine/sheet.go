// SPDX-License-Identifier: Apache-2.0

// Package engine reads the engine sheet: what is known of one engine family,
// each value with its source and whether somebody checked it against that
// source.
//
// Start with [Load]. A sheet is a YAML file; everything wrong in it comes back
// in one [Problems], with line, column and what would be right. A sheet that
// loads keeps its bytes and their hash, because jobs pin the bytes they used.
//
// # Writing a sheet
//
// A quantity carries its unit: "52.000 mm", "30 Nm", "0.5 bar". It is written
// alone, or as a mapping with what it rests on:
//
//	width: 18.0 mm
//	width: {value: 18.0 mm, source: book p. 12, checked: K. Weller 2026-02-11}
//
// A limit is a mapping with min, max or both, and may carry the confidence
// that a decision on it needs:
//
//	new: {min: 0.030 mm, max: 0.060 mm, confidence: 0.80}
//
// source names an entry of the table sources, then optionally the place in
// it. source and checked may stand on any mapping and then hold for every
// value below; a value that names another source needs its own checked.
//
// # Limits
//
// This package holds no formula. It never decides; package job does.
package engine

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"

	"witnessmark/units"
)

// FormatVersion is the format that this program writes and the newest that it
// reads.
const FormatVersion = 1

// Sheet is what is known of one engine family. It is read once and then left
// unchanged, so that many may use it at the same time.
type Sheet struct {
	Format        int                   `yaml:"format,required"`
	Family        string                `yaml:"family,required"`
	Title         string                `yaml:"title,required"`
	Edition       string                `yaml:"edition"`  // the sheet's own, such as a date
	Invented      bool                  `yaml:"invented"` // demonstration data: says so wherever it is shown
	Sources       map[string]Source     `yaml:"sources,required"`
	Layout        Layout                `yaml:"layout,required"`
	BigEnd        BigEnd                `yaml:"big_end,required"`
	MainJournal   Nominal[units.Length] `yaml:"main_journal"`
	SideClearance SideClearance         `yaml:"side_clearance"`
	EndFloat      Limit                 `yaml:"end_float"` // of the crankshaft
	Thrust        Thrust                `yaml:"thrust"`
	Materials     Materials             `yaml:"materials"`
	Fasteners     []Fastener            `yaml:"fasteners,required"`
	Settings      []Setting             `yaml:"settings"`
	Lives         []Life                `yaml:"life"` // of what wears with distance
	Oil           Oil                   `yaml:"oil,required"`
	Duty          Duty                  `yaml:"duty,required"`
	Run           Run                   `yaml:"run,required"`
	RunningIn     RunningIn             `yaml:"running_in"`
	Cautions      []Caution             `yaml:"cautions"`
	PhotosWanted  []PhotoWanted         `yaml:"photos_wanted"`

	// Hash is "sha256:" and the hexadecimal sum of the bytes.
	Hash string `yaml:"-"`

	raw      []byte
	refs     []Ref
	warnings []Problem
}

// Source is where values come from.
type Source struct {
	Title   string `yaml:"title,required"`
	Edition string `yaml:"edition"`
}

// Ref is one value of the sheet: where it stands and what it rests on.
type Ref struct {
	Path         string // such as "big_end.clearance.new"
	Line, Column int
	Basis
}

// Bytes returns a copy of the bytes that the sheet was read from.
func (s *Sheet) Bytes() []byte { return slices.Clone(s.raw) }

// Values returns every value of the sheet in the order of the file.
func (s *Sheet) Values() []Ref { return slices.Clone(s.refs) }

// Warnings returns what does not stop the sheet from being used: values that
// nobody checked against their source, values without one, sizes that do not
// add up to the clearance.
func (s *Sheet) Warnings() []Problem { return slices.Clone(s.warnings) }

// HashOf returns the name under which a sheet's bytes are kept: "sha256:" and
// the hexadecimal SHA-256 sum.
func HashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return "sha256:" + hex.EncodeToString(sum[:])
}
