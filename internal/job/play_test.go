// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"slices"
	"strings"
	"testing"

	"witnessmark/metrology"
	"witnessmark/sheets"
	"witnessmark/units"
)

// play adds a reading of an axial play with a stated spread.
func (b *bench) play(of, phase string, position int, value string) int64 {
	return b.add("reading", Reading{Of: of, Phase: phase, Position: position, Value: mm(b.T, value), U: mm(b.T, "0.004 mm")})
}

func (b *bench) assess() (Assessment, View) {
	s := Fold(b.entries)
	a := Assess(s, b.basis)
	return a, Show(a, s, b.basis, Voice{Units: units.Metric})
}

func obstacleAt(a Assessment, key string) *Obstacle {
	if i := slices.IndexFunc(a.Obstacles, func(o Obstacle) bool { return o.Key == key }); i >= 0 {
		return &a.Obstacles[i]
	}
	return nil
}

// Two rods of the V8 share a throw, so one reading at either of them is that of
// the throw; a throw without one stands in the way, and so does one that is off.
func TestSideClearancePerThrow(t *testing.T) {
	b := newBench(t)
	a, v := b.assess()
	if len(a.Sides) != 4 || !slices.Equal(a.Sides[0].Positions, []int{1, 2}) || a.Sides[0].Per != "throw" {
		t.Fatalf("sides %+v", a.Sides)
	}
	if o := obstacleAt(a, "play_not_read/side_clearance"); o == nil || len(o.Items) != 4 {
		t.Errorf("nothing asks for the side clearance: %+v", o)
	}
	if v.Sides[0].Title() != "Throw 1, positions 1 (A1) and 2 (B1)" {
		t.Errorf("named %q", v.Sides[0].Title())
	}
	b.play(OfSideClearance, AsFitted, 2, "0.35 mm")
	b.play(OfSideClearance, AsFitted, 3, "0.348 mm")
	b.play(OfSideClearance, AsFitted, 4, "0.352 mm") // the same throw again: they combine
	b.play(OfSideClearance, AsFitted, 5, "0.60 mm")
	a, v = b.assess()
	for _, p := range []int{1, 2} {
		if pa, _ := a.Position(p); pa.Side == nil || pa.Side.ValueMM != 0.35 || pa.Side.Decision.Verdict != metrology.Within {
			t.Errorf("position %d: %+v", p, pa.Side)
		}
	}
	if r := a.Sides[1].Read; r == nil || math.Abs(r.ValueMM-0.35) > 1e-9 || len(r.Readings) != 2 || r.U >= 0.004 {
		t.Errorf("throw 2: %+v", r)
	}
	o := obstacleAt(a, "too_wide/position-5/side_clearance")
	if o == nil || !slices.Equal(o.Others, []int{6}) {
		t.Fatalf("no obstacle for throw 3: %+v", a.Obstacles)
	}
	w := Words(*o, a, Fold(b.entries), b.basis, Voice{Units: units.Metric})
	if w.What != "Throw 3, side clearance, is too wide: 0.600 mm against 0.500 mm." || w.Page != "play" || !strings.Contains(w.How, "width of the throw") {
		t.Errorf("%+v", w)
	}
	if o := obstacleAt(a, "play_not_read/side_clearance"); o == nil || !slices.Equal(o.Items, []string{"throw 4"}) {
		t.Errorf("missing: %+v", o)
	}
}

// Rods that stand alone are read one by one.
func TestSideClearancePerRod(t *testing.T) {
	s := Fold(nil)
	a := Assess(s, basisOf(t, sheets.Inline4))
	if len(a.Sides) != 4 || a.Sides[2].Per != "rod" || !slices.Equal(a.Sides[2].Positions, []int{3}) {
		t.Fatalf("sides %+v", a.Sides)
	}
	if o := obstacleAt(a, "play_not_read/side_clearance"); o == nil || !strings.HasPrefix(o.Items[2], "position 3") {
		t.Errorf("%+v", o)
	}
}

// Wide as found, the washers that were in, and the sheet's thicknesses: by hand
// the gap is 0.300 + 2·2.310 = 4.920 mm, the middle of 0.08 to 0.25 mm takes
// 4.755 mm, and of 2.310, 2.360 and 2.410 mm twice 2.360 leaves 0.200, 2.360 +
// 2.410 0.150 and twice 2.410 0.100 mm.
func TestChoosingThrustWashers(t *testing.T) {
	b := newBench(t)
	if _, v := b.assess(); v.Thrust == nil || !strings.Contains(v.Thrust.Why, "not on record") {
		t.Errorf("%+v", v.Thrust)
	}
	b.add("thrust_washers", ThrustWashers{Phase: AsFound, Washers: []ThrustWasher{{"standard", *mm(t, "2.310 mm")}, {"standard", *mm(t, "2.310 mm")}}})
	if _, v := b.assess(); v.Thrust.Why != "The end float was not read with these washers in." {
		t.Errorf("%+v", v.Thrust)
	}
	b.play(OfEndFloat, AsFound, 0, "0.300 mm")
	a, v := b.assess()
	if a.FloatFound == nil || a.FloatFound.Decision.Verdict != metrology.Above || a.EndFloat != nil {
		t.Errorf("as found %+v, as fitted %+v", a.FloatFound, a.EndFloat)
	}
	if obstacleAt(a, "play_not_read/end_float") == nil {
		t.Error("nothing asks for the end float as fitted")
	}
	th := a.Thrust
	if th == nil || len(th.Choices) != 6 || math.Abs(th.GapMM-4.920) > 1e-9 || math.Abs(th.NeededMM-4.755) > 1e-9 || th.From != FromSheet {
		t.Fatalf("choice %+v", th)
	}
	best := th.Choices[0]
	if math.Abs(best.EndFloatMM-0.150) > 1e-9 || best.Washers[0].ID != "first oversize" || best.Washers[1].ID != "second oversize" || best.Decision.Verdict != metrology.Within {
		t.Errorf("best %+v", best)
	}
	// u by hand: the reading 0.004, present washers 0.001/√12 each, new ones
	// 0.005/√3 each; the verdict is that of the sheet's confidence of 95 %.
	if u := math.Sqrt(0.004*0.004 + best.u2(t, th)); math.Abs(best.U-u) > 1e-4 || best.Decision.Confidence != 0.95 {
		t.Errorf("u %.5f, by hand %.5f, %+v", best.U, u, best.Decision)
	}
	if l := v.Thrust.Choices[0]; !l.Best || l.Verdict.Word != "fits" || l.Washers != "2.360 mm (first oversize) + 2.410 mm (second oversize)" || l.Fit != "2.360 mm=first oversize;2.410 mm=second oversize" {
		t.Errorf("%+v", l)
	}
	if l := v.Thrust.Choices[5]; l.Verdict.Word != "too wide" || l.Washers != "2 × 2.310 mm (standard)" {
		t.Errorf("the ones that were in: %+v", l)
	}
}

// u2 is what washers bring to the variance, by hand.
func (c ThrustChoice) u2(t *testing.T, th *Thrust) float64 {
	t.Helper()
	return 2*th.Washers[0].U*th.Washers[0].U + 2*0.005*0.005/3
}

// Once others are in, what was read before is no reading of them; the float read
// afterwards is held against its limits, and typed thicknesses make a choice too.
func TestEndFloatBelongsToItsWashers(t *testing.T) {
	b := newBench(t)
	b.play(OfEndFloat, AsFitted, 0, "0.300 mm")
	if a, _ := b.assess(); obstacleAt(a, "too_wide/end_float") == nil {
		t.Error("a float that is too wide is in nobody's way")
	}
	pair := func(text string) []ThrustWasher { return []ThrustWasher{{"", *mm(t, text)}, {"", *mm(t, text)}} }
	b.add("thrust_washers", ThrustWashers{Phase: AsFitted, Washers: pair("2.380 mm")})
	a, v := b.assess()
	if a.EndFloat != nil || obstacleAt(a, "play_not_read/end_float") == nil || a.Thrust != nil {
		t.Errorf("a reading outlived its washers: %+v", a.EndFloat)
	}
	if v.Thrust.In != "Thrust washers fitted: 2.380 mm and 2.380 mm" {
		t.Errorf("%q", v.Thrust.In)
	}
	b.play(OfEndFloat, AsFitted, 0, "0.160 mm")
	a, _ = b.assess()
	if a.EndFloat == nil || a.EndFloat.Decision.Verdict != metrology.Within || obstacleAt(a, "play_not_read/end_float") != nil {
		t.Errorf("%+v", a.EndFloat)
	}
	th, err := ChooseThrust(Fold(b.entries), b.basis, []units.Read{*mm(t, "2.30 mm"), *mm(t, "2.50 mm")})
	if err != nil || th.From != FromTyped || len(th.Choices) != 3 {
		t.Fatalf("%+v, %v", th, err)
	}
	// By hand: gap 4.920; 2.3+2.3 leaves 0.32, 2.3+2.5 0.12, 2.5+2.5 −0.08.
	if math.Abs(th.Choices[0].EndFloatMM-0.12) > 1e-9 || th.Choices[2].EndFloatMM > 0 || th.Choices[2].Decision.Verdict != metrology.Below {
		t.Errorf("%+v", th.Choices)
	}
}

// A slip of the unit is questioned, a wide play is not.
func TestPlayIsQuestioned(t *testing.T) {
	b := newBench(t)
	s := Fold(b.entries)
	for value, want := range map[string]string{"0.014 mm": "inches", "350 mm": "micrometres", "0.60 mm": "", "0.05 mm": ""} {
		of := OfSideClearance
		q := Question(Reading{Of: of, Phase: AsFitted, Position: 1, Value: mm(t, value)}, s, b.basis)
		if want == "" && q != "" || !strings.Contains(q, want) {
			t.Errorf("%s: %q", value, q)
		}
	}
}

// The joint at speed is held against the crush that was measured, and says so;
// by hand from the readings 52.040 − 56.008 + 1.9885 + 1.9885 = 0.009 mm.
func TestJointTakesTheMeasuredCrush(t *testing.T) {
	b := newBench(t)
	joint := func() (RodJoint, string, Assessment) {
		a, v := b.assess()
		for i, c := range a.Clamps {
			if c.Joint != nil {
				return *c.Joint, v.Clamps[i].Joint.Crush, a
			}
		}
		t.Fatal("no joint")
		return RodJoint{}, "", a
	}
	sheet, words, _ := joint()
	if sheet.CrushFrom != CrushBySheet || !strings.Contains(words, "by the sheet") {
		t.Errorf("%s: %q", sheet.CrushFrom, words)
	}
	measure := func(position int, bore string) {
		b.part(OfHousingBore, AsFitted, "BG-1", position, []string{"0°", "60°", "120°"}, "56.008 mm", "56.008 mm", "56.008 mm", "56.008 mm", "56.008 mm", "56.008 mm")
		b.part(OfUpperWall, AsFitted, "TM-1", position, nil, "1.9885 mm", "1.9885 mm", "1.9885 mm")
		b.part(OfLowerWall, AsFitted, "TM-1", position, nil, "1.9885 mm", "1.9885 mm", "1.9885 mm")
		b.part(OfShellBore, AsFitted, "BG-1", position, []string{"0°", "60°", "120°"}, bore, bore, bore, bore, bore, bore)
	}
	measure(4, "52.040 mm")
	// Less than the sheet allows at one position says nothing of the others.
	got, words, a := joint()
	if got.CrushFrom != CrushBySheet || *got.Crush != *sheet.Crush || !strings.Contains(words, "is less, at position 4 (B2), but not every position was measured") {
		t.Errorf("%s %v: %q", got.CrushFrom, *got.Crush, words)
	}
	for _, position := range []int{1, 2, 3, 5, 6, 7, 8} {
		measure(position, "52.036 mm")
	}
	got, words, a = joint()
	c := a.CrushMeasured
	if c == nil || math.Abs(c.GrowthMM-0.009) > 1e-6 || c.MostN <= c.FaceLoadN || c.FaceLoadN <= 0 {
		t.Fatalf("measured crush %+v", c)
	}
	if got.CrushFrom != CrushMeasured || !strings.Contains(words, "as measured at position 4 (B2), where the bore with its shells is 0.009 mm wider") {
		t.Errorf("%s: %q", got.CrushFrom, words)
	}
	if want := 2 * c.MostN / 2 / 1000; math.Abs(*got.Crush-want) > 1e-9 || *got.Crush >= *sheet.Crush || got.Speeds[0].ClampAtRest <= sheet.Speeds[0].ClampAtRest {
		t.Errorf("off each bolt %.3f kN, from the growth %.3f, by the sheet %.3f", *got.Crush, want, *sheet.Crush)
	}
}
