// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Floor is a workshop that takes several jobs: lifts and people by a calendar,
// counted from a first day.
type Floor struct {
	Calendar Calendar
	First    Date
	Lifts    int
	People   int
}

// FloorJob is a vehicle that needs a lift and somebody to work on it.
type FloorJob struct {
	ID        string
	Hours     float64 // of work, one person's
	People    int     // at a time; 0 is taken as 1
	NotBefore *Date   // such as the day from which its parts are at hand
	Start     *Date   // planned: starts at the opening of that day
	Begun     bool    // is on a lift already
}

// FloorSlot is when a job is on its lift.
type FloorSlot struct {
	ID         string
	Start, End time.Time
	Planned    bool // a person set the start
}

// FloorPlan is a proposed schedule. Hours are working hours from the opening of
// the first day, in steps of a quarter.
type FloorPlan struct {
	Slots      []FloorSlot // in the order of the jobs
	Hours      float64     // until the last job ends
	LowerBound float64     // no schedule of these jobs ends sooner
	Proven     bool        // none ends sooner than this one
	// Clash says that the planned starts do not fit together, in words; they
	// then count as the earliest starts.
	Clash string
	ends  []int // in quarters of an hour
}

// FloorMoved is what moving a job does to another.
type FloorMoved struct {
	ID    string
	Hours float64 // ends later by so many working hours; below zero: sooner
}

// unitsPerHour is the step of the schedule: a quarter of an hour.
const unitsPerHour = 4

// Propose schedules jobs. A job keeps its lift from its start to its end and
// takes its people all the while, so hours are those of the lift, h/people. A
// start of a job is at an opening only where it is planned; see
// [Network.Schedule] for the search.
//
// It returns an error for a calendar without hours, for hours that are not
// above zero, for more people than there are, and for days before the first.
func (f Floor) Propose(jobs []FloorJob, e Effort) (FloorPlan, error) {
	line, err := NewTimeline(f.Calendar, f.First)
	if err != nil {
		return FloorPlan{}, err
	}
	n, err := f.network(line, jobs)
	if err != nil {
		return FloorPlan{}, err
	}
	clash := ""
	s, err := n.Schedule(e)
	if err != nil {
		clash = err.Error()
		for i := range n.Tasks {
			if at := n.Tasks[i].Fixed; at != nil {
				n.Tasks[i].Release, n.Tasks[i].Fixed = *at, nil
			}
		}
		if s, err = n.Schedule(e); err != nil {
			return FloorPlan{}, err
		}
	}
	p, err := f.plan(line, jobs, n, s)
	p.Clash = clash
	return p, err
}

// Move starts a job on another day and returns the schedule with it, how many
// working hours longer all takes, and which jobs end at another time.
func (f Floor) Move(jobs []FloorJob, id string, to Date, e Effort) (before, after FloorPlan, longer float64, moved []FloorMoved, err error) {
	if before, err = f.Propose(jobs, e); err != nil {
		return before, after, 0, nil, err
	}
	jobs = slices.Clone(jobs)
	i := slices.IndexFunc(jobs, func(j FloorJob) bool { return j.ID == id })
	if i < 0 {
		return before, after, 0, nil, fmt.Errorf("scope: there is no job %q", id)
	}
	jobs[i].Start, jobs[i].Begun = &to, false
	if after, err = f.Propose(jobs, e); err != nil {
		return before, after, 0, nil, err
	}
	for k, j := range jobs {
		if by := after.ends[k] - before.ends[k]; by != 0 {
			moved = append(moved, FloorMoved{j.ID, float64(by) / unitsPerHour})
		}
	}
	return before, after, after.Hours - before.Hours, moved, nil
}

func (f Floor) network(line *Timeline, jobs []FloorJob) (Network, error) {
	n := Network{Resources: []Resource{{"lifts", f.Lifts}, {"people", f.People}}}
	begun := 0
	for _, j := range jobs {
		people := max(j.People, 1)
		if !(j.Hours > 0) || math.IsInf(j.Hours, 0) {
			return n, fmt.Errorf("scope: job %s takes %g h", j.ID, j.Hours)
		}
		if people > f.People || f.Lifts < 1 {
			return n, fmt.Errorf("scope: job %s needs a lift and %d people; there are %d and %d", j.ID, people, f.Lifts, f.People)
		}
		t := Task{ID: j.ID, Phases: []Phase{{int(math.Ceil(j.Hours / float64(people) * unitsPerHour)), []int{1, people}}}}
		if j.NotBefore != nil {
			t.Release = f.opening(line, *j.NotBefore)
		}
		switch {
		case j.Begun && begun < min(f.Lifts, f.People): // more than that can't all be worked on now
			begun++
			t.Release, t.Fixed = 0, new(int)
		case j.Begun:
			t.Release = 0
		case j.Start != nil:
			at := f.opening(line, *j.Start)
			t.Fixed = &at
		}
		n.Tasks = append(n.Tasks, t)
	}
	return n, nil
}

// opening is when a day begins, in units from the first.
func (f Floor) opening(line *Timeline, d Date) int {
	return int(math.Ceil(line.Opening(daysFrom(f.First, d)) * unitsPerHour))
}

func daysFrom(first, d Date) int { return int(math.Round(d.Sub(first.Time).Hours() / 24)) }

func (f Floor) plan(line *Timeline, jobs []FloorJob, n Network, s Schedule) (FloorPlan, error) {
	p := FloorPlan{Hours: float64(s.Makespan) / unitsPerHour, LowerBound: float64(s.LowerBound) / unitsPerHour, Proven: s.Proven}
	for i, t := range n.Tasks {
		from := float64(s.Starts[i]) / unitsPerHour
		start, err := line.Start(from)
		if err != nil {
			return p, err
		}
		end, err := line.End(from + float64(t.Duration())/unitsPerHour)
		if err != nil {
			return p, err
		}
		p.ends = append(p.ends, s.Starts[i]+t.Duration())
		p.Slots = append(p.Slots, FloorSlot{jobs[i].ID, start, end, jobs[i].Start != nil})
	}
	return p, nil
}
