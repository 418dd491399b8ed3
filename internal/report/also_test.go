// SPDX-License-Identifier: Apache-2.0

package report

import (
	"strings"
	"testing"

	"witnessmark/internal/job"
)

// One line for a throw that rods share, the end float before and after, and the
// washers with what they were worked out to make.
func TestAlsoMeasured(t *testing.T) {
	val := func(s string) *job.ValueView { return &job.ValueView{WithUnit: s} }
	v := job.View{FloatFound: val("0.310 mm"), EndFloat: val("0.150 mm"), Sides: []job.SideView{
		{Name: "Throw 1", Rods: "positions 1 (A1) and 2 (B1)", Value: val("0.350 mm")}, {Name: "Throw 2"}, {Name: "Position 5 (A3)", Value: val("0.2 mm")}}}
	var got []string
	for _, m := range alsoMeasured(v) {
		got = append(got, m.What+" "+m.Value.WithUnit)
	}
	want := "Side clearance, throw 1 (positions 1 (A1) and 2 (B1)) 0.350 mm|Side clearance, position 5 (A3) 0.2 mm|" +
		"End float of the crankshaft, as found 0.310 mm|End float of the crankshaft 0.150 mm"
	if strings.Join(got, "|") != want {
		t.Errorf("%q", got)
	}
	if thrustWords(v) != "" {
		t.Error("washers that nobody wrote down are named")
	}
	v.Thrust = &job.ThrustView{In: "Thrust washers that were in: 2.310 mm", Gap: "They share 4.930 mm.", Middle: "0.165 mm",
		Choices: []job.ThrustLine{{Washers: "2.360 mm + 2.410 mm", Float: "0.160 mm", Spread: "±0.013 mm", Verdict: job.WordView{Word: "fits"}}}}
	if w := thrustWords(v); !strings.Contains(w, "2.360 mm + 2.410 mm, which makes 0.160 mm ±0.013 mm (worked out): fits.") {
		t.Errorf("%q", w)
	}
}
