// SPDX-License-Identifier: Apache-2.0

package job

import (
	"testing"

	"witnessmark/sheets"
)

// Derived by hand from the sheet's three stages.
func TestNext(t *testing.T) {
	sheet, err := sheets.Named(sheets.V8)
	if err != nil {
		t.Fatal(err)
	}
	f, _ := sheet.RodBolts()
	stage := func(id, tightening, set string, bolts ...string) StageDone {
		d := StageDone{Fastener: f.ID, Tightening: tightening, Stage: id, Set: set}
		for _, b := range bolts {
			d.Bolts = append(d.Bolts, BoltAt{Position: 4, Bolt: b})
		}
		return d
	}
	var s State
	seq := int64(0)
	do := func(d StageDone) { seq++; d.apply(&s, At{Seq: seq}) }
	check := func(tightening, set, want string, bolts int, done bool) {
		t.Helper()
		n := Next(s, f, 4, tightening, set)
		if n.Stage.ID != want || len(n.Bolts) != bolts || n.Done != done {
			t.Errorf("%s with %s: stage %q for %d bolts, done %t; want %q for %d, %t", tightening, set, n.Stage.ID, len(n.Bolts), n.Done, want, bolts, done)
		}
	}
	check(Measuring, OldSet, "snug", 2, false)
	do(stage("snug", Measuring, OldSet, "a", "b"))
	do(stage("seat", Measuring, OldSet, "a"))
	check(Measuring, OldSet, "seat", 1, false) // b is behind
	check(Final, "N1", "snug", 2, false)       // other bolts begin anew
	do(stage("seat", Measuring, OldSet, "b"))
	do(stage("turn", Measuring, OldSet, "a", "b"))
	check(Measuring, OldSet, "", 0, true)
	for _, id := range []string{"snug", "seat", "turn"} {
		do(stage(id, Final, "N1", "a", "b"))
	}
	check(Final, "N1", "", 0, true)
	check(Final, "N2", "snug", 2, false)
	if got := Sets(s, f, Final); len(got) != 1 || got[0] != "N1" {
		t.Errorf("sets = %v", got)
	}
	if got := LastAt(s, f, 4); got != seq {
		t.Errorf("last entry = %d, want %d", got, seq)
	}
	(&Loosened{Fastener: f.ID, Bolts: []BoltAt{{4, "a"}, {4, "b"}}}).apply(&s, At{Seq: seq + 1})
	check(Final, "N1", "snug", 2, false)
	for _, b := range BoltsSeen(s, f, 4) {
		if b.View().State != BoltNone {
			t.Errorf("bolt %s after loosening: %s", b.Bolt, b.State)
		}
	}
	if last, ok := LastTightened(s, Basis{Sheet: sheet}, f.ID, "angle"); !ok || last.Stage != "turn" || last.Set != "N1" {
		t.Errorf("last by angle = %+v", last)
	}
}
