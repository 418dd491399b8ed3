// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"strings"
	"testing"
	"time"

	"witnessmark/record"
)

// ledger is a log of its own subject, an entry a minute.
type ledger struct {
	*testing.T
	subject string
	entries []record.Entry
}

// minute is the time of an entry.
func minute(seq int64) time.Time {
	return time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC).Add(time.Duration(seq) * time.Minute)
}

func (l *ledger) add(kind string, body any) int64 {
	l.Helper()
	p, err := Propose(l.subject, kind, body)
	if err != nil {
		l.Fatal(err)
	}
	seq := int64(len(l.entries) + 1)
	if p.ID, err = record.NewID(minute(seq), zeros{}); err != nil {
		l.Fatal(err)
	}
	p.DeviceTime = minute(seq)
	e, err := record.NewEntry(p, "p1", seq, minute(seq))
	if err != nil {
		l.Fatal(err)
	}
	l.entries = append(l.entries, e)
	return seq
}

// shelf is a batch with two uppers and a lower.
func shelf(t *testing.T) *ledger {
	l := &ledger{T: t, subject: "stock/B1"}
	l.add("batch_added", BatchAdded{ID: "B1", Part: "P-1", Family: "AV34"})
	for _, s := range []ShellMeasured{
		{ID: "U1", Half: Upper, Wall: *mm(t, "1.988 mm"), Grade: "g3"}, {ID: "U2", Half: Upper, Wall: *mm(t, "1.986 mm")}, {ID: "L1", Half: Lower, Wall: *mm(t, "1.987 mm")},
	} {
		l.add("shell_measured", s)
	}
	return l
}

func wallOf(t *testing.T, b Batch, id string) float64 {
	t.Helper()
	sh := b.Find(id)
	if sh == nil {
		t.Fatalf("no shell %s", id)
	}
	m, ok := sh.Wall(nil)
	if !ok {
		t.Fatalf("%s has no wall", id)
	}
	return m.Value
}

// A shell measured again is the mean of both; a reading that was withdrawn
// counts no more, and one written anew takes its place.
func TestFoldBatch(t *testing.T) {
	l := shelf(t)
	again := l.add("shell_measured", ShellMeasured{ID: "U1", Half: Upper, Wall: *mm(t, "1.990 mm")})
	b := FoldBatch(l.entries)
	if b.ID != "B1" || b.Family != "AV34" || len(b.Shells) != 3 || b.Find("U1").Grade != "g3" || b.Find("U1").Batch != "B1" {
		t.Fatalf("%+v", b)
	}
	if got := wallOf(t, b, "U1"); math.Abs(got-1.989) > 1e-9 { // by hand
		t.Errorf("1.988 and 1.990 mm make %.6f", got)
	}
	l.add("correction", &Correction{Replaces: again, Reason: "slip of the pen"})
	l.add("correction", &Correction{Replaces: 3, Reason: "misread", Kind: "shell_measured", Version: 1,
		Body: []byte(`{"id":"U2","half":"upper","wall":{"text":"1.985 mm","value":1.985,"unit":"mm","kind":"length"}}`)})
	b = FoldBatch(l.entries)
	if got := wallOf(t, b, "U1"); math.Abs(got-1.988) > 1e-9 {
		t.Errorf("with the second withdrawn U1 has %.6f mm", got)
	}
	if got := wallOf(t, b, "U2"); math.Abs(got-1.985) > 1e-9 {
		t.Errorf("written anew U2 has %.6f mm", got)
	}
}

// Two that stay together, one bound anew and one pair parted.
func TestFoldBatchBinds(t *testing.T) {
	l := shelf(t)
	l.add("shells_bound", ShellsBound{Upper: "U1", Lower: "L1"})
	l.add("shells_bound", ShellsBound{Upper: "U2", Lower: "L1"}) // L1 is in one pair only
	if b := FoldBatch(l.entries); len(b.Pairs) != 1 || b.Pairs[0] != [2]string{"U2", "L1"} {
		t.Errorf("pairs %v", b.Pairs)
	}
	l.add("shells_bound", ShellsBound{Upper: "U2", Lower: "L1", Parted: true})
	if b := FoldBatch(l.entries); len(b.Pairs) != 0 {
		t.Errorf("pairs %v after they were parted", b.Pairs)
	}
}

// A fitted shell leaves the stock until somebody says that it is back, and its
// walls count anew then; one that is chosen is kept for its job.
func TestTakenFromTheBatch(t *testing.T) {
	l := shelf(t)
	use := func(id string, seq int64, chosen bool) ShellUse {
		return ShellUse{Job: "7", Position: 2, Half: Upper, Shell: Shell{ID: id, Batch: "B1"}, At: At{Received: minute(seq)}, Chosen: chosen, In: !chosen}
	}
	b := FoldBatch(l.entries)
	b.Take([]ShellUse{use("U1", 20, false), use("U2", 21, true), {Job: "8", Shell: Shell{ID: "L1", Batch: "B2"}}})
	if u := b.Find("U1"); u.OnShelf("") || !u.OnShelf("7") || !u.Use.In {
		t.Errorf("U1: %+v", u.Use)
	}
	if u := b.Find("U2"); u.OnShelf("8") || !u.Use.Chosen {
		t.Errorf("U2: %+v", u.Use)
	}
	if !b.Find("L1").OnShelf("") {
		t.Error("the shell of another batch took L1 along")
	}
	// Back on the shelf after it was fitted, and measured again.
	for len(l.entries) < 24 {
		l.add("grade_counted", GradeCounted{Grade: "g2", Half: Lower, Wall: *mm(t, "1.9865 mm"), Count: 4})
	}
	l.add("shell_returned", ShellReturned{ID: "U1", Job: "7", Reason: "fitted for a strip only"})
	l.add("shell_measured", ShellMeasured{ID: "U1", Half: Upper, Wall: *mm(t, "1.984 mm")})
	b = FoldBatch(l.entries)
	b.Take([]ShellUse{use("U1", 20, false), {Job: "7", Position: 3, Half: Lower, Shell: Shell{ID: "g2", Batch: "B1"}, At: At{Received: minute(26)}}})
	if u := b.Find("U1"); !u.OnShelf("") {
		t.Errorf("U1 is back, and yet %+v", u.Use)
	}
	if got := wallOf(t, b, "U1"); math.Abs(got-1.984) > 1e-9 {
		t.Errorf("measured anew U1 has %.6f mm", got)
	}
	if len(b.Grades) != 1 || b.Grades[0].Left != 3 || b.Grades[0].Body.Count != 4 {
		t.Errorf("grades %+v", b.Grades)
	}
	l.add("shell_discarded", ShellDiscarded{ID: "U1", Reason: "scratched"})
	if b := FoldBatch(l.entries); b.Find("U1").OnShelf("") {
		t.Error("a discarded shell is on the shelf")
	}
}

// opened is a study of two people who read three parts twice.
func opened(t *testing.T) *ledger {
	l := &ledger{T: t, subject: "study/S1"}
	l.add("study_opened", StudyOpened{ID: "S1", Gauge: "MM-1", Parts: []string{"1", "2", "3"}, Persons: []string{"p-2", "p-3"}, Rounds: 2, Seed: 7,
		Low: mm(t, "0.02 mm"), High: mm(t, "0.08 mm")})
	return l
}

// Each reads their own steps in the study's order; the first reading of a step
// counts, and people are letters in what comes out.
func TestFoldStudy(t *testing.T) {
	l := opened(t)
	g := FoldStudy(l.entries)
	if g.Subject != "study/S1" || len(g.Steps) != 12 || g.Done() || g.Turn() != g.Steps[0].Person || g.Left("p-2") != 6 || g.Next("p-9") != 0 {
		t.Fatalf("%+v", g)
	}
	for n := 1; n <= 12; n++ {
		l.add("study_read", StudyRead{Step: n, Value: *mm(t, "0.04 mm")})
		l.add("study_read", StudyRead{Step: n, Value: *mm(t, "0.07 mm")}) // read again with the first in mind
	}
	l.add("study_read", StudyRead{Step: 13, Value: *mm(t, "0.05 mm")}) // no such step
	g = FoldStudy(l.entries)
	if !g.Done() || g.Turn() != "" || g.Next("p-2") != 0 || g.Left("p-3") != 0 {
		t.Errorf("all is read, and yet turn %q, next %d, left %d", g.Turn(), g.Next("p-2"), g.Left("p-3"))
	}
	seen := map[string]int{}
	for _, r := range g.Readings() {
		if r.Value.Value != 0.04 {
			t.Errorf("%s of %s counts as %g mm", r.Part, r.Person, r.Value.Value)
		}
		seen[r.Person+r.Part]++
	}
	for _, cell := range []string{"A1", "A2", "A3", "B1", "B2", "B3"} {
		if seen[cell] != 2 {
			t.Errorf("%s was read %d times: %v", cell, seen[cell], seen)
		}
	}
	body := g.Studied("2026-03-02")
	if _, err := body.Study(); err != nil {
		t.Error(err)
	}
}

// What the parts can't be is questioned before it counts.
func TestStudyQuestions(t *testing.T) {
	g := FoldStudy(opened(t).entries)
	mm1 := Tool{ToolAdded: ToolAdded{ID: "MM-1", Kind: "micrometer"}}
	for value, want := range map[float64]string{
		0.05: "", 0.02: "", 5: "outside what these parts can be, 0.02 mm to 0.08 mm", 50: "micrometres would make it 0.05 mm", -1: "outside what these parts can be",
	} {
		if got := g.Question(value, mm1); want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("%g mm: %q, want %q", value, got, want)
		}
	}
	g.Low, g.High = nil, nil
	if got := g.Question(0, mm1); got != "nothing measures nothing" {
		t.Errorf("0 mm: %q", got)
	}
}

// One person tells the repeatability alone, two have one degree of freedom.
func TestStudyWords(t *testing.T) {
	figures := []string{"0.041 mm", "0.043 mm", "0.052 mm", "0.050 mm", "0.061 mm", "0.064 mm"}
	table := func(persons ...string) ToolStudied {
		b := ToolStudied{Date: "2026-03-02"}
		for k, p := range persons {
			for i, f := range figures {
				v := *mm(t, f)
				v.Value += 0.002 * float64(k)
				b.Readings = append(b.Readings, StudyReading{Part: string(rune('1' + i/2)), Person: p, Value: v})
			}
		}
		return b
	}
	row := func(v StudyView, name string) StudyRow {
		for _, r := range v.Rows {
			if strings.HasPrefix(r.Name, name) {
				return r
			}
		}
		t.Fatalf("no row %s", name)
		return StudyRow{}
	}
	one, err := ShowStudy(table("A"), Voice{})
	if err != nil {
		t.Fatal(err)
	}
	if row(one, "Between people").Spread != "can’t be told" || !strings.Contains(row(one, "Repeatability").Spread, "µm") || !strings.Contains(strings.Join(one.Notes, " "), "person") {
		t.Errorf("one person: %+v", one)
	}
	two, err := ShowStudy(table("A", "B"), Voice{})
	if err != nil {
		t.Fatal(err)
	}
	if r := row(two, "Between people"); !strings.Contains(r.Interval, "very wide") || !strings.Contains(strings.Join(two.Notes, " "), "one degree of freedom") {
		t.Errorf("two people: %+v, %q", r, two.Notes)
	}
}

// One step back and no further: the last reading of a person, not one before
// it, not two in a row, and none once all are read.
func TestStudyReadAgain(t *testing.T) {
	l := opened(t)
	own := func() (steps []int) {
		for i, s := range FoldStudy(l.entries).Steps {
			if s.Person == "p-2" {
				steps = append(steps, i+1)
			}
		}
		return steps
	}()
	l.add("study_read", StudyRead{Step: own[0], Value: *mm(t, "0.041 mm")})
	l.add("study_read", StudyRead{Step: own[1], Value: *mm(t, "0.42 mm")})
	l.add("study_again", StudyAgain{Step: own[0], Reason: "in doubt"})
	if g := FoldStudy(l.entries); g.Left("p-2") != 4 || g.Last("p-2") != own[1] {
		t.Errorf("an older reading was taken back: %d left", g.Left("p-2"))
	}
	l.add("study_again", StudyAgain{Step: own[1], Reason: "mistyped"})
	l.add("study_again", StudyAgain{Step: own[0], Reason: "mistyped"})
	if g := FoldStudy(l.entries); g.Left("p-2") != 5 || g.Next("p-2") != own[1] || g.MayReadAgain(own[0]) {
		t.Errorf("%d left, next is %d, not %d", g.Left("p-2"), g.Next("p-2"), own[1])
	}
	for n := 1; n <= 12; n++ {
		l.add("study_read", StudyRead{Step: n, Value: *mm(t, "0.042 mm")})
	}
	l.add("study_again", StudyAgain{Step: 12, Reason: "looks odd"})
	g := FoldStudy(l.entries)
	if !g.Done() || g.Read[own[1]].Body.Value.Value != 0.042 || g.Read[own[0]].Body.Value.Value != 0.041 {
		t.Errorf("done %v, %v", g.Done(), g.Read)
	}
}
