// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"strings"
	"testing"
)

func TestQuestion(t *testing.T) {
	journal := Sighting{What: "journal", Usual: Limits{51.984, 52}, Reads: Limits{50, 75}, Gauge: "MM-1", Bore: 56.01}
	wall := Sighting{What: "upper shell wall", Wall: true, Usual: Limits{1.982, 1.991}}
	for _, c := range []struct {
		s    Sighting
		v    float64
		want string // "" for nothing
	}{
		{journal, 51.979, ""},
		{journal, 51.7, ""}, // an undersize
		{journal, 2.0464, "inches"},
		{journal, 51979, "micrometres"},
		{journal, 0.051979, "metres"},
		{journal, 56.2, "not smaller than its bore"},
		{journal, 49.9, "outside what gauge MM-1 can read"},
		{journal, 53.5, "far from the sheet"},
		{journal, 0, "impossible"},
		{wall, 0, "wall of 0 mm"},
		{wall, 1.986, ""},
		{wall, 0.0782, "inches"},
		{Sighting{Usual: Limits{56, 56.016}, Pin: 56.02}, 56.01, "not larger than its journal"},
	} {
		c.s.Value = c.v
		if got := Question(c.s); (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%g: %q, want %q", c.v, got, c.want)
		}
	}
}

func TestQuestionClearance(t *testing.T) {
	usual := Limits{0.030, 0.060}
	for v, want := range map[float64]string{0.044: "", 0.070: "", 0.088: "", 0.2: "", 0: "impossible", 0.0017: "inches", 44: "micrometres", 1.7: "thousandths", 0.9: "thousandths", 0.000044: "metres"} {
		if got := QuestionClearance(v, usual); (got == "") != (want == "") || !strings.Contains(got, want) {
			t.Errorf("%g mm: %q, want %q", v, got, want)
		}
	}
}

// The growth at the middle is CrushFit's own; wider heights spread it more.
func TestCrushGrowth(t *testing.T) {
	seat := Seat{Bore: 56, Outer: 72, Wall: 1.9865, Width: 18, Housing: Steel, Shell: Steel}
	g, fit, err := CrushGrowth(Limits{0.055, 0.085}, seat)
	if err != nil {
		t.Fatal(err)
	}
	if g.Value != fit.BoreChange || g.Value <= 0 || g.Value >= fit.Interference {
		t.Errorf("growth %g of interference %g", g.Value, fit.Interference)
	}
	narrow, _, err := CrushGrowth(Limits{0.070, 0.070}, seat)
	if err != nil || narrow.U >= g.U || narrow.Value != g.Value {
		t.Errorf("one height: %+v beside %+v, %v", narrow, g, err)
	}
	if _, _, err := CrushGrowth(Limits{0.09, 0.05}, seat); err == nil {
		t.Error("heights the wrong way round are taken")
	}
}
