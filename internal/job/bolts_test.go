// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"
	"testing"
)

// stages tightens position 1 through the stages named, on one set.
func (l *log) stages(tightening, set string, ids ...string) {
	for _, id := range ids {
		l.add("stage_done", StageDone{Fastener: "rod_bolt", Tightening: tightening, Stage: id, Set: set, Bolts: rodBolts(1)})
	}
}

func (l *log) loosen() {
	l.add("fastener_loosened", Loosened{Fastener: "rod_bolt", Bolts: rodBolts(1)})
}

func (l *log) witness() { l.add("witness_seen", WitnessSeen{Fastener: "rod_bolt", Bolts: rodBolts(1)}) }

// The sheet's rod bolts are for single use and go through snug, seat, turn.
func TestBoltObstacles(t *testing.T) {
	all := []string{"snug", "seat", "turn"}
	for name, c := range map[string]struct {
		write func(l *log)
		want  []Code
	}{
		"nothing done": {func(l *log) {}, []Code{StageMissing}},
		"final, marked": {func(l *log) {
			l.stages(Final, "N1", all...)
			l.witness()
		}, nil},
		"final, no mark":       {func(l *log) { l.stages(Final, "N1", all...) }, []Code{WitnessMissing}},
		"last stage missing":   {func(l *log) { l.stages(Final, "N1", "snug", "seat") }, []Code{StageMissing}},
		"measuring bolts in":   {func(l *log) { l.stages(Measuring, OldSet, all...) }, []Code{MeasuringIn}},
		"measured, taken out":  {func(l *log) { l.stages(Measuring, OldSet, all...); l.loosen() }, []Code{StageMissing}},
		"out of order":         {func(l *log) { l.stages(Final, "N1", "seat", "snug", "turn"); l.witness() }, []Code{StageOrder}},
		"a stage twice":        {func(l *log) { l.stages(Final, "N1", "snug", "seat", "turn", "turn"); l.witness() }, []Code{StageOrder}},
		"a stage not in sheet": {func(l *log) { l.stages(Final, "N1", "snug", "seat", "turn", "more"); l.witness() }, []Code{StageOrder}},
		"the old ones, final":  {func(l *log) { l.stages(Final, OldSet, all...); l.witness() }, []Code{BoltReused}},
		"measured and kept": {func(l *log) {
			l.stages(Measuring, "M", all...)
			l.loosen()
			l.stages(Final, "M", all...)
			l.witness()
		}, []Code{BoltReused}},
		"loosened and tightened again": {func(l *log) {
			l.stages(Final, "N1", all...)
			l.loosen()
			l.stages(Final, "N1", all...)
			l.witness()
		}, []Code{BoltReused}},
		"loosened before its angle": {func(l *log) {
			l.stages(Final, "N1", "snug")
			l.loosen()
			l.stages(Final, "N1", all...)
			l.witness()
		}, nil},
		"new ones after loosening": {func(l *log) {
			l.stages(Final, "N1", all...)
			l.loosen()
			l.stages(Final, "N2", all...)
			l.witness()
		}, nil},
		"mark lost by loosening": {func(l *log) {
			l.stages(Final, "N1", all...)
			l.witness()
			l.loosen()
			l.stages(Final, "N2", all...)
		}, []Code{WitnessMissing}},
	} {
		t.Run(name, func(t *testing.T) {
			l := &log{t: t}
			l.add("job_opened", Opened{Number: "1"})
			c.write(l)
			var got []Code
			for _, code := range []Code{MeasuringIn, StageMissing, StageOrder, BoltReused, WitnessMissing} {
				if l.has(code, 1) {
					got = append(got, code)
				}
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("obstacles %v, want %v", got, c.want)
			}
		})
	}
}

// One bolt tightened and the other not is missing stages for the other.
func TestOneBoltOfTwo(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	for _, id := range []string{"snug", "seat", "turn"} {
		l.add("stage_done", StageDone{Fastener: "rod_bolt", Tightening: Final, Stage: id, Set: "N1", Bolts: rodBolts(1)[:1]})
	}
	a := l.assess()
	i := slices.IndexFunc(a.Obstacles, func(o Obstacle) bool { return o.Code == StageMissing && o.Position == 1 })
	if i < 0 || !slices.Equal(a.Obstacles[i].Items, []string{"b"}) {
		t.Errorf("want the final stages of bolt b missing, got %+v", a.Obstacles)
	}
}
