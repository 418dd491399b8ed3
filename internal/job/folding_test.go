// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/record"
)

// What a folding gives out shares nothing with it that a later entry would
// change: no map, nothing that a map points to, no room behind a list. It
// looks at every field that there is, so that a new one is not forgotten.
func TestStatesStandApart(t *testing.T) {
	var s State
	fill(reflect.ValueOf(&s).Elem())
	standsApart(t, "State", reflect.ValueOf(s), reflect.ValueOf(s.apart()), 0)
}

// fill gives every map and list of a state one element and room for another.
func fill(v reflect.Value) {
	for i := range v.NumField() {
		f := v.Field(i)
		switch f.Kind() {
		case reflect.Slice:
			f.Set(reflect.MakeSlice(f.Type(), 1, 4))
			if f.Type().Elem().Kind() == reflect.Struct && f.Type().Elem() == reflect.TypeFor[LengthsOf]() {
				fill(f.Index(0))
			}
		case reflect.Map:
			f.Set(reflect.MakeMap(f.Type()))
			e := reflect.New(f.Type().Elem()).Elem()
			switch e.Kind() {
			case reflect.Pointer:
				e.Set(reflect.New(e.Type().Elem()))
				fill(e.Elem())
			case reflect.Slice:
				e.Set(reflect.MakeSlice(e.Type(), 1, 4))
			}
			f.SetMapIndex(reflect.Zero(f.Type().Key()), e)
		}
	}
}

func standsApart(t *testing.T, name string, own, given reflect.Value, depth int) {
	t.Helper()
	for i := range own.NumField() {
		a, b, field := own.Field(i), given.Field(i), name+"."+own.Type().Field(i).Name
		switch a.Kind() {
		case reflect.Slice:
			if a.Pointer() == b.Pointer() && b.Cap() > b.Len() {
				t.Errorf("%s has room that a later entry is written to", field)
			}
			if a.Len() > 0 && a.Index(0).Type() == reflect.TypeFor[LengthsOf]() {
				standsApart(t, field, a.Index(0), b.Index(0), depth+1)
			}
		case reflect.Map:
			if a.Pointer() == b.Pointer() {
				t.Errorf("%s is the map that a later entry is written to", field)
			}
			for _, k := range a.MapKeys() {
				x, y := a.MapIndex(k), b.MapIndex(k)
				switch {
				case x.Kind() == reflect.Pointer && x.Pointer() == y.Pointer():
					t.Errorf("%s points to what a later entry changes", field)
				case x.Kind() == reflect.Pointer:
					standsApart(t, field, x.Elem(), y.Elem(), depth+1)
				case x.Kind() == reflect.Slice && y.Cap() > y.Len():
					t.Errorf("%s has lists with room that a later entry is written to", field)
				}
			}
		}
	}
}

// A log that is folded as it grows has the state that it has when folded
// whole, after every step, with corrections, withdrawals and withdrawals of
// those; and what was given out before stays as it was.
func TestFoldingIsFold(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		l := &log{t: t}
		l.add("job_opened", Opened{Number: "1"})
		var f Folding
		var given []State
		var at []int
		for range rapid.IntRange(1, 25).Draw(rt, "entries") {
			drawEntry(rt, l)
			if rapid.Bool().Draw(rt, "nobody reads now") {
				continue
			}
			got, want := f.Fold(l.entries), Fold(l.entries)
			if !reflect.DeepEqual(got, want) {
				rt.Fatalf("after %d entries it is folded to\n%+v\nfrom the beginning to\n%+v", len(l.entries), got, want)
			}
			given, at = append(given, got), append(at, len(l.entries))
		}
		for i, n := range at {
			if want := Fold(l.entries[:n]); !reflect.DeepEqual(given[i], want) {
				rt.Fatalf("the state of %d entries was changed by what came after:\n%+v\nit was\n%+v", n, given[i], want)
			}
		}
	})
}

// drawEntry adds an entry of one of the kinds that change what is there, or a
// correction.
func drawEntry(t *rapid.T, l *log) {
	p := rapid.IntRange(1, 2).Draw(t, "position")
	seq := int64(rapid.IntRange(1, len(l.entries)).Draw(t, "entry"))
	sample := []string{"a", "b"}[p-1]
	bolts := []BoltAt{{p, "a"}, {p, "b"}}
	switch rapid.IntRange(0, 17).Draw(t, "kind") {
	case 0:
		l.add("wear_seen", WearSeen{Position: p, Half: Upper, Severity: p})
	case 1:
		l.add("shell_fitted", ShellFitted{Position: p, Upper: Shell{Part: sample, ID: fmt.Sprint("u", seq)}, Lower: Shell{Part: sample}})
	case 2:
		l.add("stage_done", StageDone{Fastener: "rod_bolt", Tightening: Final, Stage: "snug", Set: "N1", Bolts: bolts, Tool: "TW-1"})
	case 3:
		l.add("fastener_loosened", Loosened{Fastener: "rod_bolt", Bolts: bolts[:1]})
	case 4:
		l.add("witness_seen", WitnessSeen{Fastener: "rod_bolt", Bolts: bolts})
	case 5:
		l.add("note_resolved", NoteResolved{Note: l.last("note"), How: "done"})
	case 6:
		l.add("part_ordered", PartOrdered{Part: sample, Quantity: 1, On: "2026-03-30", Promised: "2026-04-01"})
	case 7:
		l.add("part_promised", PartPromised{Part: sample, For: "2026-04-02"})
	case 8:
		l.add("bolt_length", BoltLength{Fastener: "rod_bolt", Position: p, Bolt: "a", Set: "N1", After: read(l.t, "length", "45.010 mm")})
	case 9:
		l.add("change_answered", ChangeAnswered{Change: l.last("change_found"), Answer: "accepted", Consent: Consent{On: "2026-03-30", How: "spoken"}})
	case 10:
		l.add("tool_reserved", ToolReserved{Tool: sample, From: "2026-04-01", To: "2026-04-02"})
	case 11:
		e := l.entries[seq-1]
		if seq == 1 || e.Kind == "correction" {
			break // it is withdrawn or stands
		}
		l.add("correction", &Correction{Replaces: seq, Reason: "misread", Kind: e.Kind, Version: e.Version, Body: rawBody(e.Body)})
	case 12:
		l.add("note", Note{Commitment: string(record.Commitment("blob:" + strings.Repeat("0", 64))), Open: true})
	case 13:
		l.add("change_found", ChangeFound{Title: "A journal", Why: "scored", Add: []string{sample}})
	case 14:
		l.add("refit_proved", RefitProved{Operation: sample, Thing: "pipe", Done: true})
	case 15:
		l.add("correction", &Correction{Replaces: seq, Reason: "not this engine"})
	default:
		l.add("reading", Reading{Of: OfClearance, Phase: AsFitted, Position: p, Value: read(l.t, "length", "0.045 mm")})
	}
}

// last is the last entry of a kind, 1 where there is none.
func (l *log) last(kind string) int64 {
	for i := len(l.entries) - 1; i > 0; i-- {
		if l.entries[i].Kind == kind {
			return l.entries[i].Seq
		}
	}
	return 1
}
