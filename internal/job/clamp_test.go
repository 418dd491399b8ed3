// SPDX-License-Identifier: Apache-2.0

package job

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"witnessmark/record"
	"witnessmark/sheets"
	"witnessmark/units"
)

// folded makes a state from bodies, one entry each, a minute apart.
func folded(t *testing.T, bodies ...any) State {
	t.Helper()
	var entries []record.Entry
	for i, b := range bodies {
		name := ""
		switch b.(type) {
		case StageDone:
			name = "stage_done"
		case Loosened:
			name = "fastener_loosened"
		case RunStep:
			name = "run_step"
		case GearRead:
			name = "gear_read"
		case BoltLength:
			name = "bolt_length"
		case SettingMade:
			name = "setting_made"
		default:
			t.Fatalf("no kind for %T", b)
		}
		raw, err := json.Marshal(b)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Decode(name, 1, raw); err != nil {
			t.Fatal(err)
		}
		e := record.Entry{Seq: int64(i + 1), Received: time.Date(2026, 3, 1, 9, i, 0, 0, time.UTC)}
		e.Kind, e.Version, e.Body = name, 1, raw
		entries = append(entries, e)
	}
	return Fold(entries)
}

func nm(t *testing.T, text string) *units.Read {
	t.Helper()
	r, err := units.Parse(units.KindTorque, text, units.Unit{})
	if err != nil {
		t.Fatal(err)
	}
	return &r
}

func basisOf(t *testing.T, name string, tools ...ToolAdded) Basis {
	t.Helper()
	sheet, err := sheets.Named(name)
	if err != nil {
		t.Fatal(err)
	}
	reg := Register{}
	for _, x := range tools {
		reg[x.ID] = Tool{ToolAdded: x}
	}
	return Basis{Sheet: sheet, Tools: reg}
}

func stages(position int, tool string, ids ...string) []any {
	var out []any
	for _, id := range ids {
		out = append(out, StageDone{Fastener: "rod_bolt", Tightening: Final, Stage: id, Set: "N1", Tool: tool, Bolts: []BoltAt{{position, "a"}, {position, "b"}}})
	}
	return out
}

// Both bolts of a place share one clamp load; a final angle narrows it against
// torque alone; a tool's tolerance widens a torque stage, never narrows it.
func TestClampLoadsOfAPlace(t *testing.T) {
	wrench := ToolAdded{ID: "TW-1", Kind: "torque_wrench", Title: "Wrench", TorqueTool: TorqueTool{ISO6789: "II A"}}
	b := basisOf(t, sheets.V8, wrench)
	bare := Assess(folded(t, stages(4, "", "snug", "seat")...), b).Clamps[0]
	with := Assess(folded(t, stages(4, "TW-1", "snug", "seat")...), b).Clamps[0]
	if len(bare.Places) != 1 || strings.Join(bare.Places[0].Bolts, "") != "ab" || bare.Places[0].Complete {
		t.Fatalf("places %+v", bare.Places)
	}
	if got := with.Places[0].Tools[0]; got.Percent != 4 { // ISO 6789: ±4 % above 10 N·m, as in a tool's manual
		t.Errorf("tolerance %+v", got)
	}
	if bare.Places[0].Load.ScatterRatio >= with.Places[0].Load.ScatterRatio {
		t.Errorf("scatter %.4f without the wrench's tolerance, %.4f with it", bare.Places[0].Load.ScatterRatio, with.Places[0].Load.ScatterRatio)
	}
	if bare.Alone == nil || bare.Alone.ScatterRatio <= bare.Asked.ScatterRatio {
		t.Errorf("torque alone scatters by %v, with the angle by %v", bare.Alone, bare.Asked.ScatterRatio)
	}
	view := Show(Assess(folded(t, stages(4, "TW-1", "snug", "seat", "turn")...), b), State{}, b, Voice{})
	c := view.Clamps[0]
	if len(c.Sides) != 3 || !strings.Contains(c.Sides[2].How, "torque alone") || c.Places[0].Word != "final" {
		t.Errorf("view %+v, %+v", c.Sides, c.Places)
	}
}

// The joint at speed, by hand from the invented sheet: λ = 35/128,
// [0.540(1+λ)+0.400−0.150] kg · 0.035 m · (7000·π/30)² = 17.635 kN.
func TestJointAtSpeed(t *testing.T) {
	j := Assess(State{}, basisOf(t, sheets.V8)).Clamps[0].Joint
	if j == nil || len(j.Speeds) != 2 || j.AsTightened {
		t.Fatalf("joint %+v", j)
	}
	if got := j.Speeds[0].PartingForce; math.Abs(got-17.635) > 0.0006 {
		t.Errorf("parting force %.4f kN", got)
	}
	if s := j.Speeds[1]; s.RPM != 7600 || s.Separation >= j.Speeds[0].Separation || s.ClampLeft >= s.ClampAtRest {
		t.Errorf("over-speed %+v", s)
	}
	if last := j.Assumptions[len(j.Assumptions)-2]; last != "a calculation, not an approval" && j.Assumptions[len(j.Assumptions)-1] != "a calculation, not an approval" {
		t.Errorf("assumptions %q", j.Assumptions)
	}
}

// What the sheet does not say is named, and nothing is computed.
func TestClampLoadOfAPoorSheet(t *testing.T) {
	b := basisOf(t, sheets.V8)
	poor := *b.Sheet
	poor.Fasteners = append(poor.Fasteners[:0:0], poor.Fasteners...)
	poor.Fasteners[0].Geometry.Segments = nil
	b.Sheet = &poor
	c := Assess(State{}, b).Clamps
	if len(c) != 1 || c[0].Asked != nil || strings.Join(c[0].Missing, "") != "geometry.segments" {
		t.Errorf("clamps %+v", c)
	}
}

// A torque outside the range of the tool is recorded, and stands in the way;
// so does a tool that was counted past its cycles.
func TestTorqueToolObstacles(t *testing.T) {
	wrench := ToolAdded{ID: "TW-1", Kind: "torque_wrench", Title: "Wrench", Low: nm(t, "24 N·m"), High: nm(t, "120 N·m")}
	b := basisOf(t, sheets.V8, wrench)
	a := Assess(folded(t, stages(1, "TW-1", "snug", "seat")...), b)
	found := 0
	for _, o := range a.Obstacles {
		if o.Code == ToolRange {
			found++
			if len(o.RestsOn) != 1 || o.RestsOn[0] != 1 || !strings.Contains(o.Items[0], "24 to 120 N·m") {
				t.Errorf("obstacle %+v", o)
			}
		}
	}
	if found != 1 {
		t.Errorf("%d obstacles about the range", found)
	}

	tool := Tool{ToolAdded: ToolAdded{ID: "TW-9", Kind: "torque_wrench", NeedsCalibration: true},
		Calibrations: []Noted[ToolCalibrated]{{At: At{Seq: 2}, Body: ToolCalibrated{Date: "2026-01-01", Due: "2027-01-01"}}},
		Counts:       []Noted[ToolCounted]{{At: At{Seq: 3}, Body: ToolCounted{Date: "2026-02-01", Cycles: 5001}}}}
	for day, want := range map[string]Trust{"2026-01-31": Trusted, "2026-02-01": Overdue, "2026-03-01": Overdue} {
		if got := tool.TrustOn(day); got != want {
			t.Errorf("on %s the tool is %s, want %s", day, got, want)
		}
	}
	tool.Calibrations = append(tool.Calibrations, Noted[ToolCalibrated]{At: At{Seq: 4}, Body: ToolCalibrated{Date: "2026-02-10", Due: "2027-02-10"}})
	if got := tool.TrustOn("2026-03-01"); got != Trusted {
		t.Errorf("calibrated since, it is %s", got)
	}
}

// The sheet's silicone bead cures 2 h; the entries of this log are a minute
// apart, so that priming comes too early.
func TestOilWaitsForTheCure(t *testing.T) {
	sump := StageDone{Fastener: "sump_bolt", Tightening: Final, Stage: "final", Set: "new", Bolts: []BoltAt{{0, AllBolts}}}
	for _, c := range []struct {
		bodies []any
		want   int
	}{{[]any{sump, RunStep{Step: StepPrime, OK: true}}, 1}, {[]any{RunStep{Step: StepPrime, OK: true}, sump}, 0}, {[]any{sump}, 0}} {
		n := 0
		for _, o := range Assess(folded(t, c.bodies...), basisOf(t, sheets.V8)).Obstacles {
			if o.Code == CureShort && o.Of == "sump_bolt" {
				n++
			}
		}
		if n != c.want {
			t.Errorf("%d obstacles, want %d", n, c.want)
		}
	}
}

// By hand: the bead of the sheet cures 2 h, the threadlock 1 h, each from its
// last stage; the second entry of this log is received at 08:02 or so.
func TestCureClock(t *testing.T) {
	b := basisOf(t, sheets.V8)
	sump := StageDone{Fastener: "sump_bolt", Tightening: Final, Stage: "final", Set: "new", Bolts: []BoltAt{{0, AllBolts}}}
	s := folded(t, sump)
	begun := s.Bolts[BoltKey{"sump_bolt", BoltAt{0, AllBolts}}].Stages[0].At.Received
	for after, want := range map[time.Duration]string{
		time.Second:                "unproven Sump bolt, silicone bead 2 mm: cures until %s, 2 h from now.",
		61 * time.Minute:           "unproven Sump bolt, silicone bead 2 mm: cures until %s, 59 min from now.",
		40*time.Minute + time.Hour: "unproven Sump bolt, silicone bead 2 mm: cures until %s, 20 min from now.",
		30 * time.Minute:           "unproven Sump bolt, silicone bead 2 mm: cures until %s, 1 h 30 min from now.",
		2 * time.Hour:              "fits Sump bolt, silicone bead 2 mm: cured since %s.",
	} {
		clock := CureClock(s, b, Voice{}, begun.Add(after))
		if len(clock) != 2 {
			t.Fatalf("clocks %+v", clock)
		}
		if got, want := clock[0].State+" "+clock[0].Words, fmt.Sprintf(want, begun.Add(2*time.Hour).UTC().Format("2006-01-02 15:04")); got != want {
			t.Errorf("after %s: %q, want %q", after, got, want)
		}
		if clock[1].State != stateTodo || !strings.Contains(clock[1].Words, "medium threadlock: cures 1 h, and is not tightened yet") {
			t.Errorf("threadlock: %+v", clock[1])
		}
		if !OilWaits(s, clock) || OilWaits(s, clock[:1]) != (after < 2*time.Hour) {
			t.Errorf("after %s oil waits: %t, for the bead alone %t", after, OilWaits(s, clock), OilWaits(s, clock[:1]))
		}
	}
	if primed := folded(t, sump, RunStep{Step: StepPrime, OK: true}); OilWaits(primed, CureClock(primed, b, Voice{}, begun)) {
		t.Error("oil is in and waits all the same")
	}
}
