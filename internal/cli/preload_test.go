// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"math"
	"strings"
	"testing"

	"witnessmark/fastener"
)

const inventedBolt = `thread: M9x1
class: 10.9
under_head: {outer: 13 mm, hole: 9.2 mm}
friction: {thread: {min: 0.10, max: 0.16}, head: 0.13}
bolt: {segments: [{length: 25 mm, diameter: 8 mm}, {length: 10 mm}]}
joint: {stiffness: {min: 800 kN/mm, max: 1.2e6 N/mm}}
stages: [{torque: 20 Nm, tool: {iso_6789: II A}}, {id: s2, kind: angle, angle: 130°, tool: {angle: 2 deg}}]
`

func TestPreloadCase(t *testing.T) {
	c, err := preloadCase([]byte(inventedBolt))
	if err != nil {
		t.Fatal(err)
	}
	if c.JointStiffness != (fastener.Spread{Min: 8e5, Max: 1.2e6}) || c.FrictionHead != fastener.Exactly(0.13) || !math.IsNaN(c.Embedding) {
		t.Errorf("%+v", c)
	}
	want := []fastener.Stage{{TorqueNm: 20, TorqueTolerance: 0.04}, {AngleDeg: 130, AngleTolerance: 2}}
	for i, s := range c.Stages {
		if math.Abs(s.TorqueNm-want[i].TorqueNm)+math.Abs(s.AngleDeg-want[i].AngleDeg)+math.Abs(s.TorqueTolerance-want[i].TorqueTolerance)+math.Abs(s.AngleTolerance-want[i].AngleTolerance) > 1e-9 {
			t.Errorf("stage %d: %+v, want %+v", i+1, s, want[i])
		}
	}
}

func TestPreloadProblemsHaveAPlace(t *testing.T) {
	for want, swap := range map[string][2]string{
		"line 1, column 9: thread M9x9":                           {"M9x1", "M9x9"},
		"line 2, column 8: property class":                        {"10.9", "11.9"},
		"line 3, column 13: under the head":                       {"outer: 13 mm", "outer: 3 mm"},
		"line 4, column 20: friction of the thread":               {"min: 0.10", "min: 0"},
		"line 4, column 50: \"slippery\" is no number":            {"head: 0.13", "head: slippery"},
		"line 5, column 7: bolt: no segments":                     {"[{length: 25 mm, diameter: 8 mm}, {length: 10 mm}]", "[]"},
		"line 6, column 20: \"800\" is no stiffness":              {"800 kN/mm", "800"},
		"line 7, column 19: torque \"20\": the unit":              {"20 Nm", "20"},
		"line 7, column 10: stage 1: kind is angle":               {"{torque: 20 Nm", "{kind: angle, torque: 20 Nm"},
		"line 7, column 10: stage 1: tool: torque tool \"III A\"": {"II A", "III A"},
		"line 7, column 1: unknown field \"steps\"":               {"stages:", "steps:"},
		"line 7, column 10: stage 1: an angle of 130°":            {"{torque: 20 Nm, tool: {iso_6789: II A}}, ", ""},
		"line 5, column 7: bolt: segment 1: diameter: 1":          {"diameter: 8 mm", "diameter: 1 mm"},
	} {
		text := strings.Replace(inventedBolt, swap[0], swap[1], 1)
		if text == inventedBolt {
			t.Fatalf("%q is not in the file", swap[0])
		}
		c, err := preloadCase([]byte(text))
		if err == nil {
			_, err = preloadOf(c)
			err = atPlace([]byte(text), err)
		}
		if err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}

func FuzzPreloadCase(f *testing.F) {
	f.Add(inventedBolt)
	f.Add("thread: 3/8-24 UNF\nclass: {yield: 940 MPa, tensile: 1040 MPa}\nstages:\n  - {stretch: 0.1 mm}\n")
	f.Add("a: &a {b: *a}\n")
	f.Add("stages: [[{]")
	f.Fuzz(func(t *testing.T, s string) {
		c, err := preloadCase([]byte(s))
		if err != nil {
			if err.Error() == "" {
				t.Fatal("an error without words")
			}
			return
		}
		c.Draws = 20
		r, err := preloadOf(c)
		if err == nil && !(r.Final.Min > 0 && r.Final.Min <= r.Final.Max && !math.IsInf(r.Final.Max, 0)) {
			t.Fatalf("%+v", r)
		}
	})
}
