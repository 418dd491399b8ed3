// SPDX-License-Identifier: Apache-2.0

package job

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"witnessmark/sheets"
)

func yes() *bool { b := true; return &b }
func no() *bool  { b := false; return &b }

func subframe(l *log, stages ...string) (seqs []int64) {
	for _, st := range stages {
		seqs = append(seqs, l.add("stage_done", StageDone{Fastener: "subframe_bolt", Tightening: Final, Stage: st, Set: "N1", Bolts: []BoltAt{{Bolt: AllBolts}}}))
	}
	return seqs
}

// The demonstration sheet has its subframe bolts tightened only on the wheels.
func TestTightenedOnTheWheels(t *testing.T) {
	basis := basisOf(t, sheets.V8)
	f, _ := basis.Sheet.Fastener("subframe_bolt")
	for name, c := range map[string]struct {
		write func(l *log)
		items []string // stages that stand in the way
		waits bool
	}{
		"nothing said":  {func(l *log) { subframe(l, "seat", "turn") }, []string{"seat · 80 Nm", "turn · 90°"}, true},
		"on the wheels": {func(l *log) { l.add("wheels_loaded", WheelsLoaded{Loaded: yes()}); subframe(l, "seat", "turn") }, nil, false},
		"one stage too early": {func(l *log) {
			subframe(l, "seat")
			l.add("wheels_loaded", WheelsLoaded{Loaded: yes()})
			subframe(l, "turn")
		}, []string{"seat · 80 Nm"}, false},
		"lifted in between": {func(l *log) {
			l.add("wheels_loaded", WheelsLoaded{Loaded: yes()})
			subframe(l, "seat")
			l.add("wheels_loaded", WheelsLoaded{Loaded: no()})
			subframe(l, "turn")
		}, []string{"turn · 90°"}, true},
		"lifted afterwards": {func(l *log) {
			l.add("wheels_loaded", WheelsLoaded{Loaded: yes()})
			subframe(l, "seat", "turn")
			l.add("wheels_loaded", WheelsLoaded{Loaded: no()})
		}, nil, true},
		"only found out later": {func(l *log) { subframe(l, "seat", "turn"); l.add("wheels_loaded", WheelsLoaded{Loaded: yes()}) }, []string{"seat · 80 Nm", "turn · 90°"}, false},
		"undone by correction": {func(l *log) {
			seq := l.add("wheels_loaded", WheelsLoaded{Loaded: yes()})
			subframe(l, "seat", "turn")
			l.add("correction", &Correction{Replaces: seq, Reason: "it was the other car"})
		}, []string{"seat · 80 Nm", "turn · 90°"}, true},
		"loosened, then done right": {func(l *log) {
			subframe(l, "seat")
			l.add("fastener_loosened", Loosened{Fastener: "subframe_bolt", Bolts: []BoltAt{{Bolt: AllBolts}}})
			l.add("wheels_loaded", WheelsLoaded{Loaded: yes()})
			subframe(l, "seat", "turn")
		}, nil, false},
		"not tightened": {func(*log) {}, nil, true},
	} {
		t.Run(name, func(t *testing.T) {
			l := &log{t: t}
			l.add("job_opened", Opened{Number: "1"})
			c.write(l)
			s := Fold(l.entries)
			a := Assess(s, basis)
			var items []string
			for _, o := range a.Obstacles {
				if o.Code == WheelsFree {
					items = append(items, o.Items...)
					if o.Of != "subframe_bolt" || o.Check != Start || o.Key != "wheels_not_loaded/subframe_bolt" || len(o.RestsOn) == 0 {
						t.Errorf("obstacle %+v", o)
					}
				}
			}
			if !slices.Equal(items, c.items) || WaitsForWheels(s, f) != c.waits {
				t.Errorf("in the way %q, waits %t; want %q, %t", items, WaitsForWheels(s, f), c.items, c.waits)
			}
		})
	}
}

// What waits for the wheels can't hold up closing the engine, which comes
// before the vehicle is let down; it holds up the start. A sheet that asks
// nothing of the wheels has neither.
func TestWheelsHoldUpTheStart(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	at := func(a Assessment) (checks []Check) {
		for _, o := range a.Obstacles {
			if o.Of == "subframe_bolt" && (o.Code == StageMissing || o.Code == WitnessMissing) {
				checks = append(checks, o.Check)
			}
		}
		return checks
	}
	basis := basisOf(t, sheets.V8)
	if got := at(Assess(Fold(l.entries), basis)); !slices.Equal(got, []Check{Start}) {
		t.Errorf("not tightened stands in the way of %v", got)
	}
	l.add("wheels_loaded", WheelsLoaded{Loaded: yes()})
	subframe(l, "seat", "turn")
	if got := at(Assess(Fold(l.entries), basis)); !slices.Equal(got, []Check{Start}) {
		t.Errorf("no witness mark stands in the way of %v", got)
	}
	for i := range basis.Sheet.Fasteners {
		basis.Sheet.Fasteners[i].LoadedWheels = false
	}
	if got := at(Assess(Fold(l.entries[:1]), basis)); !slices.Equal(got, []Check{CloseUp}) {
		t.Errorf("of a sheet that asks nothing of the wheels: %v", got)
	}
}

func TestWheelsInWords(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	basis := basisOf(t, sheets.V8)
	words := func(code Code) ObstacleView {
		s := Fold(l.entries)
		a := Assess(s, basis)
		for _, o := range a.Obstacles {
			if o.Code == code && o.Of == "subframe_bolt" {
				return (&shower{a: a, s: s, basis: basis}).obstacle(o)
			}
		}
		t.Fatalf("no obstacle %s", code)
		return ObstacleView{}
	}
	if w := words(StageMissing); !strings.Contains(w.What, "wait for the wheels to be loaded") || !strings.Contains(w.How, "Let the vehicle down") {
		t.Errorf("waiting: %q %q", w.What, w.How)
	}
	subframe(l, "seat")
	w := words(WheelsFree)
	for _, part := range []string{"Subframe bolt, rear", "seat · 80 Nm", "only with the vehicle’s weight on its wheels"} { // where, what was entered, held against
		if !strings.Contains(w.What, part) {
			t.Errorf("%q does not say %q", w.What, part)
		}
	}
	if !strings.Contains(w.How, "loosen and tighten") || !w.Concedable {
		t.Errorf("what to do: %q, concedable %t", w.How, w.Concedable)
	}
	for raw, want := range map[string]string{`{"loaded":true,"remark":"Rolled once."}`: "Wheels loaded: the vehicle stands on its wheels. Rolled once.", `{"loaded":false}`: "Lifted again: the wheels hang free."} {
		b, err := Decode("wheels_loaded", 1, json.RawMessage(raw))
		if err != nil || b.words(nil) != want {
			t.Errorf("%s: %v, %v", raw, b, err)
		}
	}
	for _, raw := range []string{`{}`, `{"loaded":null}`, `{"loaded":"yes"}`} {
		if _, err := Decode("wheels_loaded", 1, json.RawMessage(raw)); err == nil {
			t.Errorf("%s is taken", raw)
		}
	}
}
