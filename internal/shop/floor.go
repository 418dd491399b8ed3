// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"fmt"
	"slices"

	"witnessmark/internal/job"
	"witnessmark/scope"
)

// Floor is the open jobs on the workshop's lifts and people.
type Floor struct {
	Hours   Hours
	Today   scope.Date
	Jobs    []*Planned // that have a plan and something left to do
	Plan    scope.FloorPlan
	Without []*Loaded // open jobs without agreed work: their hours are not known
	Clashes []scope.Clash
}

// floorEffort is how long a page looks for a schedule.
var floorEffort = scope.Effort{Schedules: 5000, Seed: planSeed}

// Floor proposes when each open job is on a lift.
func (s *Shop) Floor(ctx context.Context) (*Floor, error) {
	f, jobs, err := s.floor(ctx)
	if err != nil || len(jobs) == 0 {
		return f, err
	}
	f.Plan, err = f.of().Propose(jobs, floorEffort)
	return f, err
}

// Moved is what starting a job on another day costs.
type Moved struct {
	Floor  *Floor
	Before scope.FloorPlan
	Longer float64 // working hours
	Others []scope.FloorMoved
}

// Move looks at what starting a job on another day would cost. Nothing is
// kept.
func (s *Shop) Move(ctx context.Context, id string, to scope.Date) (*Moved, error) {
	f, jobs, err := s.floor(ctx)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(f.Jobs, func(p *Planned) bool { return p.ID == id })
	if i < 0 {
		return nil, &Refusal{Cause: fmt.Errorf("job %s has no agreed work left to put on a day", id)}
	}
	if to.Before(f.Today.Time) {
		return nil, &Refusal{Cause: fmt.Errorf("%s is past: choose %s or a later day", to, f.Today)}
	}
	if f.Hours.Calendar.HoursOn(to) == 0 {
		return nil, &Refusal{Cause: fmt.Errorf("nobody works on %s: choose a working day", to)}
	}
	m := &Moved{Floor: f}
	m.Before, f.Plan, m.Longer, m.Others, err = f.of().Move(jobs, id, to, floorEffort)
	return m, err
}

func (f *Floor) of() scope.Floor {
	return scope.Floor{Calendar: f.Hours.Calendar, First: f.Today, Lifts: f.Hours.Set.Lifts, People: f.Hours.Set.People}
}

func (s *Shop) floor(ctx context.Context) (*Floor, []scope.FloorJob, error) {
	all, err := s.everyJob(ctx)
	if err != nil {
		return nil, nil, err
	}
	w, err := s.Workshop(ctx)
	if err != nil {
		return nil, nil, err
	}
	f := &Floor{Today: s.Today()}
	if f.Hours, err = s.Hours(w); err != nil {
		return nil, nil, err
	}
	p, err := s.planning(all, w)
	if err != nil {
		return nil, nil, err
	}
	var jobs []scope.FloorJob
	for _, l := range all {
		if l.State.Handover != nil {
			continue
		}
		x, err := s.planned(l, p)
		if err != nil {
			return nil, nil, err
		}
		switch {
		case x.Left() > 0:
			f.Jobs = append(f.Jobs, x)
			jobs = append(jobs, x.onFloor())
		case x.Dates == nil:
			f.Without = append(f.Without, l)
		}
	}
	f.Clashes, err = s.Clashes(ctx)
	return f, jobs, err
}

// Left is how many hours of work are left: by the plan, else by eye; 0 when
// that is not known.
func (p *Planned) Left() float64 {
	switch {
	case p.Dates != nil:
		return p.Dates.Dates.Hours
	case p.State.Planned != nil:
		return p.State.Planned.Body.Hours
	}
	return 0
}

// Begun reports whether the vehicle is being worked on.
func (p *Planned) Begun() bool {
	if p.Dates != nil {
		return p.Dates.Begun
	}
	return len(p.State.Operations) > 0
}

// onFloor is a job for the schedule: the work that is left, not before its
// parts allow it, on the day that a person chose.
func (p *Planned) onFloor() scope.FloorJob {
	j := scope.FloorJob{ID: p.ID, Hours: p.Left(), Begun: p.Begun()}
	if p.Dates != nil && !p.Dates.Dates.Start.IsZero() && !j.Begun {
		on := scope.DateOf(p.Dates.Dates.Start)
		j.NotBefore = &on
	}
	if planned := p.State.Planned; planned != nil && planned.Body.On != "" && !j.Begun {
		var on scope.Date
		if on.UnmarshalText([]byte(planned.Body.On)) == nil && !on.Before(p.Planning.Today.Time) {
			j.Start = &on
		}
	}
	return j
}

// Lines are the open jobs for the calendar: those on the schedule first.
func (f *Floor) Lines() []job.FloorLine {
	var out []job.FloorLine
	for _, p := range f.Jobs {
		l := job.FloorLine{ID: p.ID, Number: p.State.Number, Vehicle: p.State.Vehicle, Hours: p.Left(), Begun: p.Begun()}
		for _, x := range p.Parts {
			if x.Promised != "" && !x.InHand && x.State != job.PartSentBack {
				l.Promised = append(l.Promised, x.Promised+": "+x.Title)
			}
		}
		out = append(out, l)
	}
	for _, l := range f.Without {
		out = append(out, job.FloorLine{ID: l.ID, Number: l.State.Number, Vehicle: l.State.Vehicle})
	}
	return out
}
