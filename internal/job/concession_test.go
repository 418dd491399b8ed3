// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"
	"testing"

	"witnessmark/record"
	"witnessmark/sheets"
	"witnessmark/units"
)

// assess assesses the log on the demonstration's sheet, in a workshop of two.
func (l *log) assess() Assessment { return l.assessIn(twoPeople) }

var twoPeople = Workshop{People: []Worker{
	{ID: "p1", Role: Technician}, {ID: "p2", Role: Inspector}, {ID: "p3", Role: Technician}, {ID: "p4", Role: Office},
}}

var onePerson = Workshop{People: []Worker{{ID: "p1", Role: Manager}}}

func (l *log) assessIn(w Workshop) Assessment {
	l.t.Helper()
	sheet, err := sheets.Named(sheets.V8)
	if err != nil {
		l.t.Fatal(err)
	}
	return Assess(Fold(l.entries), Basis{Sheet: sheet, Workshop: w})
}

func (l *log) obstacle(w Workshop, code Code, position int) (Obstacle, bool) {
	a := l.assessIn(w)
	i := slices.IndexFunc(a.Obstacles, func(o Obstacle) bool { return o.Code == code && o.Position == position && o.Of == "" })
	if i < 0 {
		return Obstacle{}, false
	}
	return a.Obstacles[i], true
}

// by writes an entry as another person.
func (l *log) by(person, kind string, body any) int64 {
	seq := l.add(kind, body)
	e := l.entries[seq-1]
	e, err := record.NewEntry(e.Proposal, person, e.Seq, e.Received)
	if err != nil {
		l.t.Fatal(err)
	}
	l.entries[seq-1] = e
	return seq
}

// tooWide is a job whose position 1 reads too wide, by person p1.
func tooWide(t *testing.T) (*log, Obstacle) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	l.tighten()
	l.add("reading", Reading{Of: OfClearance, Phase: AsFitted, Position: 1, Value: read(t, units.KindLength, "0.070 mm"), U: read(t, units.KindLength, "0.002 mm")})
	o, ok := l.obstacle(twoPeople, TooWide, 1)
	if !ok {
		t.Fatal("0.070 mm against 0.060 mm is not too wide")
	}
	return l, o
}

func TestConcessionCounts(t *testing.T) {
	l, o := tooWide(t)
	l.by("p2", "concession", Conceded{Obstacle: o.Key, RestsOn: o.RestsOn, Reason: "the owner agreed"})
	got, _ := l.obstacle(twoPeople, TooWide, 1)
	if got.Conceded == nil || got.Blocks(CloseUp) {
		t.Fatalf("an inspector's concession does not count: %q", got.Refused)
	}
}

func TestConcessionDoesNotCount(t *testing.T) {
	signature, err := record.Commit(make([]byte, record.SaltSize), []byte("an owner"))
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		person string
		shop   Workshop
		body   func(o Obstacle) Conceded
		want   string
	}{
		"by whoever did the work": {"p1", Workshop{People: []Worker{{ID: "p1", Role: Inspector}, {ID: "p2", Role: Inspector}}}, plainly, RefusedSame},
		"by a technician":         {"p3", twoPeople, plainly, RefusedRole},
		"by the office":           {"p4", twoPeople, plainly, RefusedRole},
		"by a stranger":           {"p9", twoPeople, plainly, RefusedUnknown},
		"one person, unsigned":    {"p1", onePerson, plainly, RefusedSignature},
		"one person, signed": {"p1", onePerson, func(o Obstacle) Conceded {
			c := plainly(o)
			c.NoSecond, c.Signature = true, string(signature)
			return c
		}, ""},
		"for other entries": {"p2", twoPeople, func(o Obstacle) Conceded {
			c := plainly(o)
			c.RestsOn = []int64{1}
			return c
		}, RefusedLapsed},
	} {
		t.Run(name, func(t *testing.T) {
			l, o := tooWide(t)
			l.by(c.person, "concession", c.body(o))
			got, ok := l.obstacle(c.shop, TooWide, 1)
			if !ok || got.Refused != c.want || (got.Conceded == nil) != (c.want != "") {
				t.Errorf("refused %q, want %q", got.Refused, c.want)
			}
		})
	}
}

func plainly(o Obstacle) Conceded {
	return Conceded{Obstacle: o.Key, RestsOn: o.RestsOn, Reason: "the owner agreed"}
}

// A concession lapses when what it rests on changes: by another reading, and
// by a correction of the reading.
func TestConcessionLapses(t *testing.T) {
	for name, change := range map[string]func(l *log, o Obstacle){
		"read again": func(l *log, o Obstacle) {
			l.add("reading", Reading{Of: OfClearance, Phase: AsFitted, Position: 1, Value: read(l.t, units.KindLength, "0.072 mm"), U: read(l.t, units.KindLength, "0.002 mm")})
		},
		"corrected": func(l *log, o Obstacle) {
			seq := o.RestsOn[0]
			l.add("correction", &Correction{Replaces: seq, Reason: "misread", Kind: "reading", Version: 1,
				Body: []byte(`{"of":"clearance","phase":"fitted","position":1,"value":{"text":"0.071","unit":"mm","kind":"length"},"u":{"text":"0.002","unit":"mm","kind":"length"}}`)})
		},
	} {
		t.Run(name, func(t *testing.T) {
			l, o := tooWide(t)
			l.by("p2", "concession", plainly(o))
			change(l, o)
			got, ok := l.obstacle(twoPeople, TooWide, 1)
			if !ok || got.Conceded != nil || got.Refused != RefusedLapsed {
				t.Errorf("concession %v, refused %q, want %q", got.Conceded, got.Refused, RefusedLapsed)
			}
		})
	}
}

func TestWithdrawnConcession(t *testing.T) {
	l, o := tooWide(t)
	seq := l.by("p2", "concession", plainly(o))
	l.add("correction", &Correction{Replaces: seq, Reason: "too soon"})
	if got, _ := l.obstacle(twoPeople, TooWide, 1); got.Conceded != nil {
		t.Error("a withdrawn concession still counts")
	}
}
