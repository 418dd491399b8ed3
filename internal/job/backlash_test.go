// SPDX-License-Identifier: Apache-2.0

package job

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"witnessmark/metrology"
	"witnessmark/sheets"
	"witnessmark/units"
)

// around makes readings evenly around a gear: mean + swing·cos(angle − at), mm
// as the indicator shows it.
func around(t *testing.T, n int, mean, swing, at float64) []GearPlace {
	t.Helper()
	var out []GearPlace
	for i := range n {
		deg := 360 * float64(i) / float64(n)
		a, err := units.Parse(units.KindAngle, number(deg, 1), units.UnitDegree)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, GearPlace{Angle: a, Value: *lengthRead(t, number(mean+swing*math.Cos((deg-at)*math.Pi/180), 5))})
	}
	return out
}

// By hand from the invented sheet, R = 38 mm, r = 34 mm, αn = 20°, β = 15°: a
// mean of 0.0760 at the indicator is 0.0760·34/38 = 0.0680 at the pitch circle;
// square to the flank × cos 20° · cos 15° = 0.9077 it is 0.0617; a swing of
// 0.0038 is 0.0034; to 0.07 the centres move by 0.002/(2·tan 20°/cos 15°) =
// 0.0027 apart.
func TestBacklashAroundTheGear(t *testing.T) {
	b := basisOf(t, sheets.V8)
	read := GearRead{Setting: "balance_backlash", Readings: around(t, 8, 0.0760, 0.0038, 90)}
	s := folded(t, read)
	a := Assess(s, b)
	set := a.Settings[0]
	if set.Backlash == nil || set.Decision == nil {
		t.Fatalf("setting %+v", set)
	}
	g := *set.Backlash
	for _, c := range []struct {
		what      string
		got, want float64
		tol       float64
	}{{"mean", g.Mean, 0.0680, 5e-5}, {"least", g.Min, 0.0646, 5e-5}, {"greatest", g.Max, 0.0714, 5e-5}, {"square to the flank", g.NormalMean, 0.0617, 5e-5},
		{"run-out", *g.RunoutAmplitude, 0.0034, 5e-5}, {"its angle", *g.RunoutAngle, 90, 0.1}, {"centres", *g.CentreChange, 0.0027, 5e-5}} {
		if math.Abs(c.got-c.want) > c.tol {
			t.Errorf("%s %.5f, by hand %.4f", c.what, c.got, c.want)
		}
	}
	if g.Verdict != metrology.Within || !g.Assumed || g.Readings != 8 {
		t.Errorf("backlash %+v", g)
	}
	v := Show(a, s, b, Voice{}).Settings[0]
	if v.Read != "0.065 to 0.071 mm" || v.Verdict.Word != "within" || v.Backlash.Runout != "±0.003 mm, greatest at 90°" || v.Backlash.Centre != "0.003 mm apart" ||
		v.Backlash.How != "8 readings, transverse at radius 38 mm, brought to the pitch circle" {
		t.Errorf("in words %+v, %+v", v, v.Backlash)
	}
}

// The verdict holds the least and the greatest; what is read last counts; what
// can't be used leaves the setting to be made.
func TestBacklashDecides(t *testing.T) {
	b := basisOf(t, sheets.V8)
	of := func(bodies ...any) (Code, SettingAssessment) {
		a := Assess(folded(t, bodies...), b)
		for _, o := range a.Obstacles {
			if o.Of == "balance_backlash" {
				return o.Code, a.Settings[0]
			}
		}
		return "", a.Settings[0]
	}
	read := func(mean, swing float64, change func(*GearRead)) GearRead {
		g := GearRead{Setting: "balance_backlash", Readings: around(t, 12, mean, swing, 30)}
		if change != nil {
			change(&g)
		}
		return g
	}
	plain := SettingMade{Setting: "balance_backlash", Value: *lengthRead(t, "0.120")}
	for name, c := range map[string]struct {
		bodies []any
		want   Code
		say    string
	}{
		"within":              {[]any{read(0.078, 0.002, nil)}, "", ""},
		"greatest is over":    {[]any{read(0.078, 0.020, nil)}, SettingOut, ""},
		"too tight":           {[]any{read(0.060, 0.001, nil)}, SettingOut, ""},
		"not proven":          {[]any{read(0.078, 0.002, func(g *GearRead) { g.U = lengthRead(t, "0.020") })}, SettingNotProven, ""},
		"normal":              {[]any{read(0.0635, 0, func(g *GearRead) { g.Measured = "normal" })}, "", ""},
		"axial":               {[]any{read(0.26, 0, func(g *GearRead) { g.Measured = "axial" })}, "", ""},
		"the gear came last":  {[]any{plain, read(0.078, 0.002, nil)}, "", ""},
		"the plain one did":   {[]any{read(0.078, 0.002, nil), plain}, SettingOut, ""},
		"a radius of its own": {[]any{read(0.140, 0, func(g *GearRead) { g.ReadRadius = lengthRead(t, "68 mm") })}, "", ""},
		"a radius that can't": {[]any{read(0.078, 0, func(g *GearRead) { g.ReadRadius = lengthRead(t, "3800 mm") })}, SettingMissing, "check both"},
	} {
		got, set := of(c.bodies...)
		if got != c.want || !strings.Contains(set.Problem, c.say) {
			t.Errorf("%s: %q, %+v", name, got, set)
		}
	}
	for _, raw := range []string{`{"setting":"x","readings":[]}`, `{"setting":"x","measured":"sideways","readings":[{"angle":{"text":"0","unit":"°","kind":"angle"},"value":{"text":"0.07","unit":"mm","kind":"length"}}]}`,
		`{"setting":"x","readings":[{"angle":{"text":"0","unit":"°","kind":"angle"},"value":{"text":"-0.07","unit":"mm","kind":"length"}}]}`,
		`{"setting":"x","readings":[{"angle":{"text":"0","unit":"mm","kind":"length"},"value":{"text":"0.07","unit":"mm","kind":"length"}}]}`} {
		if _, err := Decode("gear_read", 1, json.RawMessage(raw)); err == nil {
			t.Errorf("%s was taken", raw)
		}
	}
}
