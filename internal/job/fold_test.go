// SPDX-License-Identifier: Apache-2.0

package job

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"witnessmark/record"
	"witnessmark/units"
)

func TestCorrectionTakesThePlace(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	seq := l.add("wear_seen", WearSeen{Position: 3, Half: Upper, Severity: 1})
	l.add("correction", &Correction{Replaces: seq, Reason: "it was flaked", Kind: "wear_seen", Version: 1,
		Body: []byte(`{"position":3,"half":"upper","severity":3,"features":["flaked"]}`)})
	s := Fold(l.entries)
	if w := s.Positions[3].lastWear(Upper); w.Body.Severity != 3 || w.At.Seq != seq {
		t.Errorf("after the correction the shell has %+v at entry %d", w.Body, w.At.Seq)
	}
	lines := Record(l.entries, Basis{}, Voice{})
	if !strings.Contains(lines[1].Words, "wear 1") || !strings.Contains(lines[1].Now, "flaked") || len(lines[1].Replaced) != 1 {
		t.Errorf("the record shows %+v", lines[1])
	}
}

func TestWithdrawnEntryIsGone(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	seq := l.add("wear_seen", WearSeen{Position: 3, Half: Upper, Severity: 4})
	withdrawn := l.add("correction", &Correction{Replaces: seq, Reason: "wrong engine"})
	if s := Fold(l.entries); s.Positions[3] != nil {
		t.Error("a withdrawn entry is still in the state")
	}
	// The withdrawal withdrawn: the entry stands again.
	l.add("correction", &Correction{Replaces: withdrawn, Reason: "it was the right one"})
	if s := Fold(l.entries); s.Positions[3] == nil || s.Positions[3].lastWear(Upper).Body.Severity != 4 {
		t.Error("the entry does not stand again after its withdrawal was withdrawn")
	}
}

// The last of several corrections counts, and a correction of another kind
// than its target changes nothing.
func TestCorrectionsOfOneEntry(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	seq := l.add("wear_seen", WearSeen{Position: 1, Half: Lower, Severity: 0})
	for _, severity := range []int{1, 2} {
		l.add("correction", &Correction{Replaces: seq, Reason: "again", Kind: "wear_seen", Version: 1,
			Body: []byte(fmt.Sprintf(`{"position":1,"half":"lower","severity":%d}`, severity))})
	}
	l.add("correction", &Correction{Replaces: seq, Reason: "no", Kind: "last_look", Version: 1,
		Body: []byte(`{"nothing_left_inside":true,"tools_counted":true,"rags_counted":true,"passages_open_and_oiled":true}`)})
	s := Fold(l.entries)
	if s.LastLook != nil {
		t.Error("a correction of another kind took the place")
	}
	if len(s.Corrected[seq]) != 3 {
		t.Errorf("%d corrections are kept beside the entry, want 3", len(s.Corrected[seq]))
	}
}

func TestUnknownKindIsKept(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	p := l.entries[0].Proposal
	p.Kind, p.Version, p.Body = "holography", 7, json.RawMessage(`{"a":1}`)
	e, err := record.NewEntry(p, "p1", 2, p.DeviceTime)
	if err != nil {
		t.Fatal(err)
	}
	s := Fold(append(l.entries, e))
	if len(s.Unknown) != 1 || s.Unknown[0].Kind != "holography" {
		t.Fatalf("unknown entries: %+v", s.Unknown)
	}
	if !strings.Contains(Record([]record.Entry{e}, Basis{}, Voice{})[0].Words, "does not know") {
		t.Error("the record does not say that it does not know the kind")
	}
}

// Fold is a function of the entries alone.
func TestFoldIsPure(t *testing.T) {
	l, _ := tooWide(t)
	before := fmt.Sprint(l.entries)
	a, b := Fold(l.entries), Fold(l.entries)
	if !reflect.DeepEqual(a, b) || fmt.Sprint(l.entries) != before {
		t.Error("two folds of one log differ, or the fold changed the log")
	}
}

// Every code has words, and every kind a title; otherwise an obstacle would
// stand nameless in somebody's way.
func TestEveryCodeHasWords(t *testing.T) {
	for code, p := range phrases {
		if p.what == nil || p.how == nil || p.who == "" || p.state == "" {
			t.Errorf("obstacle %s lacks what, how, who or state", code)
		}
	}
	for _, k := range Kinds() {
		if k.Title == "" || k.Version < 1 {
			t.Errorf("kind %s lacks a title or a version", k.Name)
		}
	}
}

func FuzzDecode(f *testing.F) {
	for _, k := range Kinds() {
		f.Add(k.Name, 1, []byte(`{}`))
	}
	f.Add("reading", 1, []byte(`{"of":"clearance","phase":"fitted","position":1,"value":{"text":"0.071","unit":"mm","kind":"length"}}`))
	f.Add("correction", 1, []byte(`{"replaces":1,"reason":"x","kind":"correction","version":1,"body":{"replaces":1}}`))
	f.Fuzz(func(t *testing.T, kind string, version int, raw []byte) {
		body, err := Decode(kind, version, raw)
		if err != nil {
			return
		}
		// What decodes can be put into words and folded.
		if body.words(func(n int) string { return fmt.Sprint(n) }) == "" {
			t.Errorf("%s says nothing", kind)
		}
		var s State
		body.apply(&s, At{Seq: 1})
	})
}

func BenchmarkFoldAndAssess(b *testing.B) {
	for _, n := range []int{500, 2000, 8000} {
		entries := longLog(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Forget()
				Assess(Fold(entries), Basis{})
			}
		})
	}
}

// longLog is a log of n entries as a long job might have.
func longLog(t testing.TB, n int) []record.Entry {
	value, err := units.Parse(units.KindLength, "0.045 mm", units.Unit{})
	if err != nil {
		t.Fatal(err)
	}
	bodies := []struct {
		kind string
		body any
	}{
		{"reading", Reading{Of: OfClearance, Phase: AsFitted, Position: 1, Value: &value}},
		{"stage_done", StageDone{Fastener: "rod_bolt", Tightening: Final, Stage: "snug", Set: "N1", Bolts: []BoltAt{{1, "a"}, {1, "b"}}}},
		{"wear_seen", WearSeen{Position: 2, Half: Upper, Severity: 1}},
		{"last_look", LastLook{}},
	}
	var out []record.Entry
	for i := range n {
		b := bodies[i%len(bodies)]
		p, err := Propose("job/1", b.kind, b.body)
		if err != nil {
			t.Fatal(err)
		}
		p.ID, p.DeviceTime = fmt.Sprintf("01ARZ3NDEKTSV4RRFFQ69G%04d", i), when
		e, err := record.NewEntry(p, "p1", int64(i+1), when)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, e)
	}
	return out
}
