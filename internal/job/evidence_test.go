// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"
	"testing"
	"time"

	"witnessmark/record"
	"witnessmark/sheets"
	"witnessmark/units"
)

// log writes entries as a store would, one a minute.
type log struct {
	t       *testing.T
	entries []record.Entry
}

func (l *log) add(kind string, body any) int64 {
	l.t.Helper()
	p, err := Propose("job/1", kind, body)
	if err != nil {
		l.t.Fatal(err)
	}
	seq := int64(len(l.entries) + 1)
	when := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC).Add(time.Duration(seq) * time.Minute)
	if p.ID, err = record.NewID(when, zeros{}); err != nil {
		l.t.Fatal(err)
	}
	p.DeviceTime = when
	e, err := record.NewEntry(p, "p1", seq, when)
	if err != nil {
		l.t.Fatal(err)
	}
	l.entries = append(l.entries, e)
	return seq
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

// has reports whether the assessment of the log has the obstacle.
func (l *log) has(code Code, position int) bool {
	l.t.Helper()
	sheet, err := sheets.Named(sheets.V8)
	if err != nil {
		l.t.Fatal(err)
	}
	a := Assess(Fold(l.entries), Basis{Sheet: sheet})
	return slices.ContainsFunc(a.Obstacles, func(o Obstacle) bool { return o.Code == code && o.Position == position })
}

func read(t *testing.T, kind units.Kind, text string) *units.Read {
	t.Helper()
	r, err := units.Parse(kind, text, units.Unit{})
	if err != nil {
		t.Fatal(err)
	}
	return &r
}

func (l *log) tighten() {
	for _, stage := range []string{"snug", "seat", "turn"} {
		l.add("stage_done", StageDone{Fastener: "rod_bolt", Tightening: Measuring, Stage: stage, Set: OldSet, Bolts: rodBolts(1)})
	}
}

func (l *log) read(phase string) {
	l.add("reading", Reading{Of: OfClearance, Phase: phase, Position: 1, Value: read(l.t, units.KindLength, "0.045 mm")})
}

func rodBolts(position int) []BoltAt {
	return []BoltAt{{Position: position, Bolt: "a"}, {Position: position, Bolt: "b"}}
}

// A strip is read with the cap off: the tightening before it counts.
func TestReadingCountsAfterLoosening(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	l.tighten()
	l.add("fastener_loosened", Loosened{Fastener: "rod_bolt", Bolts: rodBolts(1)})
	l.read(AsFitted)
	if l.has(ReadUntightened, 1) {
		t.Error("tightened, loosened, read: reported as read without a tightening")
	}
	if l.has(MeasuringIn, 1) {
		t.Error("loosened: measuring bolts reported as still in")
	}
}

func TestReadingNeedsItsOwnTightening(t *testing.T) {
	for name, write := range map[string]func(l *log){
		"none at all":                 func(l *log) {},
		"the one for as found":        func(l *log) { l.tighten(); l.read(AsFound) },
		"one before the shells":       func(l *log) { l.tighten(); l.add("shell_fitted", ShellFitted{Position: 1}) },
		"one stage of three is there": func(l *log) { l.tighten(); l.entries = l.entries[:2] },
	} {
		l := &log{t: t}
		l.add("job_opened", Opened{Number: "1"})
		write(l)
		l.read(AsFitted)
		if !l.has(ReadUntightened, 1) {
			t.Errorf("%s: a reading as fitted passed", name)
		}
	}
}

func TestWitnessMarkPhotoCounts(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	missing := func() []string {
		sheet, err := sheets.Named(sheets.V8)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range Assess(Fold(l.entries), Basis{Sheet: sheet}).Obstacles {
			if o.Code == PhotoMissing && o.Of == "marks" {
				return o.Items
			}
		}
		return nil
	}
	if !slices.Contains(missing(), "position 1") {
		t.Fatal("the photo of the mark is not asked for")
	}
	c, err := record.Commit(make([]byte, record.SaltSize), []byte("photo"))
	if err != nil {
		t.Fatal(err)
	}
	l.add("witness_seen", WitnessSeen{Fastener: "rod_bolt", Bolts: rodBolts(1), Photos: []string{string(c)}})
	if slices.Contains(missing(), "position 1") {
		t.Error("the photo of the mark is there and still asked for")
	}
	l.add("fastener_loosened", Loosened{Fastener: "rod_bolt", Bolts: rodBolts(1)})
	if !slices.Contains(missing(), "position 1") {
		t.Error("loosened since: the old photo still counts")
	}
}

// An oil pressure out of its limits is not hidden by a good one at another
// speed.
func TestPressurePointsStandAlone(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	step := func(point, value string) {
		l.add("run_step", RunStep{Step: StepPressureHot, OK: true, Point: point, Value: read(t, units.KindPressure, value)})
	}
	step("hot_idle", "0.6 bar")
	step("hot_3000", "4.8 bar")
	if !l.has(RunOut, 0) {
		t.Error("0.6 bar at idle passed, because 4.8 bar at 3000 rpm came later")
	}
	step("hot_idle", "1.6 bar")
	if l.has(RunOut, 0) {
		t.Error("1.6 bar at idle came later and still stands in the way")
	}
}
