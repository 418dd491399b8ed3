// SPDX-License-Identifier: Apache-2.0

package job

import (
	"testing"

	"witnessmark/internal/filmwork"
)

// What a form costs is said with what was measured, in plain shares.
func TestShapeWords(t *testing.T) {
	for left, want := range map[float64]string{1.04: "nothing, it even helps a little", 0.995: "next to nothing", 0.95: "about 5 % of the film",
		0.81: "a fifth of the film", 0.48: "half of the film", 0.05: "nearly all of the film"} {
		if got := costs(left); got != want {
			t.Errorf("%g left costs %q, want %q", left, got, want)
		}
	}
	w := &filmShower{at: filmwork.PositionFilm{Shape: &filmwork.ShapeFilm{RoundUM: 2, AsIsUM: 1, WorstUM: 0.5,
		Form: filmwork.Shape{JournalTaper: -0.004, JournalOvality: 0.002}}}}
	w.shape()
	if want := "The form that was measured, 4.0 µm of taper over the journal and 2.0 µm of ovality of the journal, costs half of the film: " +
		"0.50 of what round and straight parts would keep, 0.25 if it is worse by twice its uncertainty."; w.out.Shape != want {
		t.Errorf("%q", w.out.Shape)
	}
	w.at.Shape.AsIsUM, w.at.Shape.WorstUM, w.at.Shape.Failed = 0, 0, "overloaded"
	w.out.Shape = ""
	if w.shape(); w.out.Shape != "With the form that was measured, 4.0 µm of taper over the journal and 2.0 µm of ovality of the journal, no film holds: the parts would touch." {
		t.Errorf("%q", w.out.Shape)
	}
}

// Roughness names where it comes from.
func TestSurfacesFrom(t *testing.T) {
	for want, s := range map[string]filmwork.Surfaces{"both by the sheet": {}, "both measured": {JournalMeasured: true, ShellMeasured: true},
		"the journal’s measured, the shells’ by the sheet": {JournalMeasured: true}, "the shells’ measured, the journal’s by the sheet": {ShellMeasured: true}} {
		if got := surfacesFrom(&s); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
