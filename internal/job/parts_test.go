// SPDX-License-Identifier: Apache-2.0

package job

import (
	"strings"
	"testing"
	"time"

	"github.com/govalues/decimal"

	"witnessmark/plans"
	"witnessmark/scope"
)

func seen(l *log, plan *scope.Plan, lines ...scope.PartLine) map[string]PartSeen {
	out := map[string]PartSeen{}
	for _, p := range Parts(Fold(l.entries), plan, lines, func(At) string { return "2026-03-09" }) {
		out[p.Part] = p
	}
	return out
}

func line(id, n string, replaces ...string) scope.PartLine {
	return scope.PartLine{ID: id, Title: "Part " + id, Quantity: decimal.MustParse(n), Replaces: replaces}
}

func TestPartComesAlong(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	want := line("shell_pair", "8")
	steps := []struct {
		kind string
		body any
		want PartState
	}{
		{"part_ordered", PartOrdered{Part: "shell_pair", Quantity: 8, Supplier: "A", On: "2026-03-02"}, PartOnOrder},
		{"part_promised", PartPromised{Part: "shell_pair", For: "2026-03-06"}, PartPromise},
		{"part_back_ordered", PartBackOrdered{Part: "shell_pair", Short: 3, Until: "2026-03-20"}, PartBack},
		{"part_arrived", PartArrived{Part: "shell_pair", Quantity: 4}, PartBack},
		{"part_arrived", PartArrived{Part: "shell_pair", Quantity: 1}, PartBack},
		{"part_arrived", PartArrived{Part: "shell_pair", Quantity: 3, Number: "shell-pair"}, PartRight},
		{"part_fitted", PartFitted{Part: "SHELL_PAIR", Title: "shells", Quantity: 8}, PartIn},
	}
	for _, x := range steps {
		l.add(x.kind, x.body)
		p := seen(l, nil, want)["shell_pair"]
		if p.State != x.want {
			t.Errorf("after %s the part is %q, want %q: %+v", x.kind, p.State, x.want, p)
		}
	}
	if d := Deliveries(Fold(l.entries), nil, func(At) string { return "2026-03-09" }); len(d) != 1 || d[0].Took != 7 || *d[0].Late != 3 {
		t.Errorf("deliveries %+v", d) // by hand: 2nd to 9th, promised for the 6th
	}
}

func TestPartNumbers(t *testing.T) {
	plan, err := plans.Named(plans.V8)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		seen, right      string
		differs, follows bool
	}{
		{"shell_pair", "", false, false}, {"Shell Pair", "", false, false}, {"shell_pair_old", "", false, true}, {"shell_pair_coated", "", false, true},
		{"rod_bolt", "", true, false}, {"4711", "", true, false}, {"4711", "the maker's own number", false, false},
	} {
		l := &log{t: t}
		l.add("job_opened", Opened{Number: "1"})
		l.add("part_arrived", PartArrived{Part: "shell_pair", Quantity: 8})
		l.add("part_checked", PartChecked{Part: "shell_pair", Seen: x.seen, Right: x.right})
		p := seen(l, plan, line("shell_pair", "8", "shell_pair_old"))["shell_pair"]
		if p.Differs != x.differs || p.Follows != x.follows {
			t.Errorf("%s seen (%s): differs %v, follows %v", x.seen, x.right, p.Differs, p.Follows)
		}
	}
}

func TestPromiseBeforeOrder(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	l.add("part_ordered", PartOrdered{Part: "x", Quantity: 1, On: "2026-03-05", Promised: "2026-03-01"})
	a := Assess(Fold(l.entries), Basis{})
	if o := find(a, PartDates); o == nil || !strings.Contains(strings.Join(o.Items, " "), "2026-03-01") {
		t.Errorf("a promise before the order is no obstacle: %+v", a.Obstacles)
	}
	if o, ok := seen(l, nil)["x"].Order(); !ok || o.Promised != nil {
		t.Error("dates are reckoned with a promise that cannot be")
	}
	l.add("part_promised", PartPromised{Part: "x", For: "2026-03-09"})
	if o := find(Assess(Fold(l.entries), Basis{}), PartDates); o != nil {
		t.Errorf("a later promise does not clear it: %+v", o)
	}
}

// Litres are fitted in parts of one, and what goes back because it was not
// needed is not missing.
func TestPartsOfOne(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	l.add("part_arrived", PartArrived{Part: "oil", Quantity: 10})
	l.add("part_fitted", PartFitted{Part: "oil", Title: "oil", Quantity: 8.1})
	l.add("part_fitted", PartFitted{Part: "oil", Title: "oil", Quantity: 0.2})
	if p := seen(l, nil, line("oil", "8.5"))["oil"]; p.State != PartHere || p.Left != 1.7 || p.Fitted != 8.3 {
		t.Errorf("before the rest went back: %+v", p)
	}
	l.add("part_returned", PartReturned{Part: "oil", Quantity: 1.7, Why: "not_needed"})
	if p := seen(l, nil, line("oil", "8.5"))["oil"]; p.State != PartIn || !p.InHand || p.Left != 0 {
		t.Errorf("after: %+v", p)
	}
	l.add("part_returned", PartReturned{Part: "oil", Quantity: 1, Why: "wrong"})
	if p := seen(l, nil, line("oil", "9"))["oil"]; p.State == PartSentBack {
		t.Errorf("some of it is in: %+v", p)
	}
	bad := PartFitted{Part: "oil", Title: "oil"}
	if err := bad.check(); err == nil {
		t.Error("nothing fitted is taken")
	}
}

// A tool that another job has first comes when that one gives it back, and is
// said.
func TestToolOfTwoJobs(t *testing.T) {
	plan, err := plans.Named(plans.V8)
	if err != nil {
		t.Fatal(err)
	}
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "2"})
	l.add("tool_reserved", ToolReserved{Tool: "subframe cradle", From: "2026-03-04", To: "2026-03-06"})
	set := UsualCalendar()
	cal, err := set.Calendar(time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	today, _ := scopeDate("2026-03-02")
	first, _ := scopeDate("2026-03-11")
	free, _ := scopeDate("2026-03-12")
	p := Planning{Today: today, Calendar: cal, Limit: 0.05, Draws: 1000, Seed: 1, Job: "2",
		Clashes: []scope.Clash{{Tool: "subframe cradle", Jobs: [2]string{"1", "2"}, From: today, To: first, Free: free}}}
	s := Fold(l.entries)
	start := func(p Planning) (JobDates, time.Time) {
		d, err := DatesOf(s, plan, []string{"rod_bearings"}, nil, p)
		if err != nil {
			t.Fatal(err)
		}
		return d, d.Dates.Start
	}
	second, waits := start(p)
	if len(second.Shared) != 1 || second.Shared[0].Job != "1" || second.Shared[0].Free != free {
		t.Errorf("shared %+v", second.Shared)
	}
	if q := second.questions(nil); len(q) == 0 || !strings.Contains(strings.Join(q, " "), "subframe cradle is promised to job 1 first: the dates count it from 2026-03-12.") {
		t.Errorf("questions %q", q)
	}
	p.Job = "1" // whose days begin first
	d, begins := start(p)
	if len(d.Shared) != 0 || !begins.Before(waits) {
		t.Errorf("the first starts %v, the second %v, shared %v", begins, waits, d.Shared)
	}
}

// A job whose parts and operations are not recorded by a plan is left alone.
func TestNothingNewForOldJobs(t *testing.T) {
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	l.add("operation_done", OperationDone{Operation: "sump", Direction: "strip"})
	l.add("part_fitted", PartFitted{Title: "rod bolt", Part: "RB", Quantity: 16})
	for _, o := range Assess(Fold(l.entries), Basis{}).Obstacles {
		if _, ok := scopePhrases[o.Code]; ok {
			t.Errorf("obstacle %s", o.Key)
		}
	}
}

func TestDatesOfAJob(t *testing.T) {
	plan, err := plans.Named(plans.V8)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"rod_bearings"}
	e, err := plan.Estimate(scope.Request{Want: want})
	if err != nil {
		t.Fatal(err)
	}
	l := &log{t: t}
	l.add("job_opened", Opened{Number: "1"})
	for _, p := range e.Parts {
		n, _ := p.Quantity.Float64()
		l.add("part_ordered", PartOrdered{Part: p.ID, Quantity: n, On: "2026-02-20"})
		if p.ID != "sealant" {
			l.add("part_arrived", PartArrived{Part: p.ID, Quantity: n, On: "2026-02-23"})
		}
	}
	l.add("part_back_ordered", PartBackOrdered{Part: "sealant", Short: 1, Until: "2026-03-16"})
	set := UsualCalendar()
	cal, err := set.Calendar(time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	today, _ := scopeDate("2026-03-02")
	p := Planning{Today: today, Calendar: cal, Limit: 0.05, Draws: 2000, Seed: 1}
	at := func(At) string { return "2026-03-02" }
	s := Fold(l.entries)
	d, err := DatesOf(s, plan, want, Parts(s, plan, e.Parts, at), p)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Dates.Reach) != 1 || d.Dates.Reach[0].ID != "sealant" || d.Dates.Reach[0].Waiting[0] != "refit:sump" {
		t.Fatalf("waits for %+v", d.Dates.Reach)
	}
	// By hand: 14.0 h likely can be done before the sump goes back, and the
	// mean of 0.8 to 1.6 times is 1.067 times that, so the start lies a little
	// less than two working days of eight hours before the sealant comes, on
	// Thursday the 12th or Friday the 13th.
	if got := d.Dates.Start.Format(time.DateOnly); got != "2026-03-13" && got != "2026-03-12" {
		t.Errorf("start %s, %.1f h can be done", got, d.Dates.Reach[0].Hours)
	}
	// What is off by the record is not reckoned again.
	for _, id := range []string{"lift", "battery", "drain_oil"} {
		l.add("operation_done", OperationDone{Operation: id, Direction: "strip"})
	}
	s = Fold(l.entries)
	begun, err := DatesOf(s, plan, want, Parts(s, plan, e.Parts, at), p)
	if err != nil {
		t.Fatal(err)
	}
	if !begun.Begun || len(begun.Steps) != len(d.Steps)-3 {
		t.Errorf("%d steps of %d are left, begun %v", len(begun.Steps), len(d.Steps), begun.Begun)
	}
	// A tool that is reserved but not in hand holds the start like a part.
	l.add("tool_reserved", ToolReserved{Tool: "subframe cradle", From: "2026-03-30", To: "2026-04-02"})
	s = Fold(l.entries)
	held, err := DatesOf(s, plan, want, Parts(s, plan, e.Parts, at), p)
	if err != nil {
		t.Fatal(err)
	}
	if len(held.Dates.Pacing) == 0 || held.Dates.Pacing[0].ID != "subframe cradle" {
		t.Errorf("paced by %+v", held.Dates.Pacing)
	}
}

func find(a Assessment, code Code) *Obstacle {
	for i := range a.Obstacles {
		if a.Obstacles[i].Code == code {
			return &a.Obstacles[i]
		}
	}
	return nil
}
