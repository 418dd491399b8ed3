// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"testing"

	"witnessmark/bearing"
)

// FuzzParsePair: whatever the file, it is refused or gives a pairing.
func FuzzParsePair(f *testing.F) {
	f.Add("target: 0.042 mm\npositions: [{position: 1, housing_bore: 57.0, journal: 53.958}]\nuppers: [{id: a, wall: 1.5}]\nlowers: [{id: b, wall: 1.5}]\nlimits: {min: 0.03, max: 0.05}\n")
	f.Add("target: 42 µm\npairs: [[a, b]]\ncommitted: [{position: 1, upper: a, lower: b}]\ngrades: [{id: g, wall: 1.5, count: 2, half: upper}]\n")
	f.Add("target: [\n")
	f.Fuzz(func(t *testing.T, text string) {
		in, err := parsePair([]byte(text))
		if err != nil {
			return
		}
		bearing.Doubts(in)
		p, err := bearing.Pair(in, bearing.Budget{Steps: 10_000})
		if err == nil && len(p.Fits) != len(in.Bores) {
			t.Errorf("%d fits for %d positions", len(p.Fits), len(in.Bores))
		}
		if err == nil {
			bearing.Remedies(in, p)
		}
	})
}

// FuzzParseExcess: whatever the file, it is refused or gives four parts.
func FuzzParseExcess(f *testing.F) {
	f.Add("clearance: {value: 0.057 mm, u: 3 µm}\nparts:\n  housing_bore: {min: 57.000, max: 57.012, u: 0.002}\n  journal: {min: 53.952, max: 53.964}\n  upper_shell: {min: 1.497, max: 1.503}\n  lower_shell: {min: 1.497, max: 1.503}\nmeasured:\n  journal: {value: 53.96, u: 0.001}\nas_found: {value: 0.06, u: 0.003}\n")
	f.Add("clearance: {value: 0.057\n")
	f.Add("measured: {journal: }\n")
	f.Fuzz(func(t *testing.T, text string) {
		in, err := parseExcess([]byte(text))
		if err != nil {
			return
		}
		bearing.ExcessDoubts(in)
		if r, err := bearing.Excess(in); err == nil && len(r.Parts) != 4 {
			t.Errorf("%d parts", len(r.Parts))
		}
	})
}
