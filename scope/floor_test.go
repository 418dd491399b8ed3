// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func oneShift() Calendar { return FiveDays(8*time.Hour, 12*time.Hour, 13*time.Hour, 17*time.Hour) }

// Derived by hand: two lifts, two people, four jobs of 8, 8, 4 and 4 hours end
// after 12 hours at the soonest, since 24 hours of work stand on two lifts.
func TestFloorByHand(t *testing.T) {
	f := Floor{Calendar: oneShift(), First: date("2026-03-02"), Lifts: 2, People: 2}
	p, err := f.Propose([]FloorJob{{ID: "a", Hours: 8}, {ID: "b", Hours: 8}, {ID: "c", Hours: 4}, {ID: "d", Hours: 4}}, Effort{Schedules: 2000})
	if err != nil {
		t.Fatal(err)
	}
	if p.Hours != 12 || p.LowerBound != 12 || !p.Proven {
		t.Errorf("%g h, bound %g h, proven %v; want 12 h, proven", p.Hours, p.LowerBound, p.Proven)
	}
}

// A job that is moved starts at the opening of its day, and waiting for it
// costs what it costs: Monday to Wednesday is 16 working hours.
func TestFloorMove(t *testing.T) {
	f := Floor{Calendar: oneShift(), First: date("2026-03-02"), Lifts: 1, People: 1}
	jobs := []FloorJob{{ID: "a", Hours: 8}, {ID: "b", Hours: 8}}
	_, after, longer, moved, err := f.Move(jobs, "b", date("2026-03-04"), Effort{Schedules: 2000})
	if err != nil {
		t.Fatal(err)
	}
	if got := after.Slots[1].Start.Format(time.RFC3339); got != "2026-03-04T08:00:00Z" {
		t.Errorf("moved to %s", got)
	}
	if longer != 8 || len(moved) == 0 {
		t.Errorf("%g h longer, moved %v; want 8 h", longer, moved)
	}
	// Two that are planned for one day on one lift: said, not refused.
	on := date("2026-03-03")
	p, err := f.Propose([]FloorJob{{ID: "a", Hours: 8, Start: &on}, {ID: "b", Hours: 8, Start: &on}}, Effort{Schedules: 2000})
	if err != nil || p.Clash == "" {
		t.Errorf("clash %q, %v", p.Clash, err)
	}
}

// No job starts before it may, none ends after the last hour, and the bound
// stays below.
func TestFloorKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Floor{Calendar: oneShift(), First: Date{time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)}, Lifts: rapid.IntRange(1, 3).Draw(t, "lifts"), People: rapid.IntRange(1, 3).Draw(t, "people")}
		var jobs []FloorJob
		work := 0.0
		for i := range rapid.IntRange(1, 6).Draw(t, "jobs") {
			j := FloorJob{ID: string(rune('a' + i)), Hours: float64(rapid.IntRange(1, 80).Draw(t, "quarters")) / 4}
			if n := rapid.IntRange(0, 6).Draw(t, "days"); n > 0 {
				d := f.First.Add(n)
				j.NotBefore = &d
			}
			work += j.Hours
			jobs = append(jobs, j)
		}
		p, err := f.Propose(jobs, Effort{Schedules: 300})
		if err != nil {
			t.Fatal(err)
		}
		if p.LowerBound > p.Hours || p.Hours < work/float64(min(f.Lifts, f.People))-1e-9 {
			t.Fatalf("%g h with the bound %g h for %g h of work", p.Hours, p.LowerBound, work)
		}
		for i, s := range p.Slots {
			if jobs[i].NotBefore != nil && s.Start.Before(jobs[i].NotBefore.Time) {
				t.Fatalf("%s starts %s, not before %s", s.ID, s.Start, jobs[i].NotBefore)
			}
		}
	})
}

func TestFloorRefuses(t *testing.T) {
	f := Floor{Calendar: oneShift(), First: date("2026-03-02"), Lifts: 1, People: 1}
	for _, j := range []FloorJob{{ID: "a", Hours: -1}, {ID: "a"}, {ID: "a", Hours: math.NaN()}, {ID: "a", Hours: 1, People: 2}} {
		if _, err := f.Propose([]FloorJob{j}, Effort{}); err == nil {
			t.Errorf("%+v is scheduled", j)
		}
	}
}
