// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/scope"
)

// Hours is when the workshop works, as it set it or as is usual.
type Hours struct {
	Set      job.CalendarSet
	Calendar scope.Calendar
	Assumed  bool // nobody set it
}

// Hours returns the working calendar.
func (s *Shop) Hours(w job.Workshop) (h Hours, err error) {
	h.Set, h.Assumed = job.UsualCalendar(), true
	if w.Calendar != nil {
		h.Set, h.Assumed = *w.Calendar, false
	}
	if h.Set.WaitLimit == 0 {
		h.Set.WaitLimit = job.UsualWaitLimit
	}
	h.Calendar, err = h.Set.Calendar(s.zone)
	return h, err
}

// Today is the day in the workshop's time zone.
func (s *Shop) Today() scope.Date { return scope.DateOf(s.now().In(s.zone)) }

// Day is the date of an entry in the workshop's time zone.
func (s *Shop) Day(at job.At) string { return job.Day(at.Received, s.zone) }

// everyJob loads all jobs.
func (s *Shop) everyJob(ctx context.Context) ([]*Loaded, error) {
	head, err := s.head(ctx)
	if err != nil {
		return nil, err
	}
	subjects, err := s.store.Subjects(ctx, "job/")
	if err != nil {
		return nil, fmt.Errorf("shop: jobs: %w", err)
	}
	g, err := s.groundAt(ctx, head)
	if err != nil {
		return nil, err
	}
	var out []*Loaded
	for _, info := range subjects {
		l, err := s.load(ctx, info.Subject, g, head)
		if err != nil {
			return nil, err
		}
		out = append(out, l)
	}
	return out, nil
}

// Suppliers is what deliveries to all jobs say of who delivered.
func (s *Shop) Suppliers(ctx context.Context) ([]job.SupplierSeen, error) {
	all, err := s.everyJob(ctx)
	if err != nil {
		return nil, err
	}
	return s.suppliers(all), nil
}

func (s *Shop) suppliers(all []*Loaded) []job.SupplierSeen {
	var list []job.Delivery
	for _, l := range all {
		list = append(list, job.Deliveries(l.State, l.Basis.Plan, s.Day)...)
	}
	return job.Suppliers(list)
}

// Planned is a job with what its plan makes of it.
type Planned struct {
	*Loaded
	Plan  *scope.Plan // nil: none
	Want  []string    // agreed work
	Parts []job.PartSeen
	Tools []string // of the agreed work
	// Operations are those of the agreed work in the order of the strip.
	Operations []job.OperationSeen
	Dates      *job.JobDates // nil without a plan or agreed work
	Trouble    string        // why there are none though there should be
	Planning   job.Planning
	estimate   scope.Estimate
}

// Work is the agreed work in words.
func (p *Planned) Work() []job.WorkView { return job.ShowWork(p.State, p.Plan, p.estimate) }

// Looked is the agreed work and the offers, with what was found of each.
func (p *Planned) Looked() []job.LookedView { return job.ShowLooked(p.State, p.Plan, p.estimate) }

// Planned is a job with its parts, and its dates where it has a plan.
func (s *Shop) Planned(ctx context.Context, l *Loaded) (*Planned, error) {
	all, err := s.everyJob(ctx)
	if err != nil {
		return nil, err
	}
	p, err := s.planning(all, l.Basis.Workshop)
	if err != nil {
		return nil, err
	}
	return s.planned(l, p)
}

func (s *Shop) planning(all []*Loaded, w job.Workshop) (job.Planning, error) {
	h, err := s.Hours(w)
	if err != nil {
		return job.Planning{}, err
	}
	p := job.Planning{Today: s.Today(), Calendar: h.Calendar, Limit: h.Set.WaitLimit, Draws: planDraws, Seed: planSeed, Late: map[string]scope.PERT{}, Clashes: clashes(all)}
	for _, x := range s.suppliers(all) {
		if x.Late != nil {
			p.Late[x.Name] = *x.Late
		}
	}
	return p, nil
}

// Draws of the dates on a page, and their seed: the same page says the same.
const (
	planDraws = 10_000
	planSeed  = 1
)

func (s *Shop) planned(l *Loaded, p job.Planning) (*Planned, error) {
	p.Job = l.ID
	out := &Planned{Loaded: l, Planning: p}
	plan, want, e := agreed(l)
	out.Plan, out.Want, out.Tools, out.estimate = plan, want, e.Tools, e
	out.Parts = job.Parts(l.State, plan, e.Parts, s.Day)
	if plan == nil || len(want) == 0 {
		return out, nil
	}
	out.Operations = job.Operations(l.State, plan, l.Basis.Sheet, e.Operations)
	d, err := job.DatesOf(l.State, out.Plan, out.Want, out.Parts, p)
	if err != nil { // a date on record that cannot be: said where the dates would stand
		out.Trouble = strings.TrimPrefix(err.Error(), "scope: ")
		return out, nil
	}
	out.Dates = &d
	return out, nil
}

// Reservations are the special tools that open jobs reserved.
func reservations(all []*Loaded) []scope.Reservation {
	var out []scope.Reservation
	for _, l := range all {
		if l.State.Handover != nil {
			continue
		}
		for name, t := range l.State.Special {
			if t.Reserved == nil || t.Returned != nil {
				continue
			}
			r := scope.Reservation{Tool: name, Job: l.ID}
			if r.From.UnmarshalText([]byte(t.Reserved.Body.From)) == nil && r.To.UnmarshalText([]byte(t.Reserved.Body.To)) == nil {
				out = append(out, r)
			}
		}
	}
	slices.SortFunc(out, func(a, b scope.Reservation) int { return strings.Compare(a.Tool+a.Job, b.Tool+b.Job) })
	return out
}

// Clashes are the tools that are promised to two jobs at once. Of a tool there
// is one, or as many as the register has under that title.
func (s *Shop) Clashes(ctx context.Context) ([]scope.Clash, error) {
	all, err := s.everyJob(ctx)
	if err != nil {
		return nil, err
	}
	return clashes(all), nil
}

func clashes(all []*Loaded) []scope.Clash {
	owned := map[string]int{}
	if len(all) > 0 {
		for _, t := range all[0].Basis.Tools {
			if t.Retired == nil {
				owned[t.Title]++
			}
		}
	}
	return scope.Clashes(reservations(all), owned)
}

// Found is what a code leads to: the item of a label of ours, a job by its
// number, or the parts of open jobs that have such a number.
type Found struct {
	Label *job.Label
	Job   string
	Parts []PartHit
}

// Find follows a code that was typed, scanned or read off a photo. The error is
// a *[Refusal] for a label of a job that is not here.
func (s *Shop) Find(ctx context.Context, code string) (Found, error) {
	if l, ok := job.ParseLabel(code); ok {
		if _, err := s.Job(ctx, l.Job); err != nil {
			return Found{}, &Refusal{Cause: fmt.Errorf("the label is of job %s, which is not in this workshop", l.Job)}
		}
		return Found{Label: &l, Job: l.Job}, nil
	}
	if l, err := s.Job(ctx, code); err == nil {
		return Found{Job: l.ID}, nil
	}
	hits, err := s.FindPart(ctx, code)
	return Found{Parts: hits}, err
}

// PartHit is a part of an open job.
type PartHit struct{ Job, Part, Title string }

// FindPart lists the parts of open jobs that a number stands for.
func (s *Shop) FindPart(ctx context.Context, number string) ([]PartHit, error) {
	all, err := s.everyJob(ctx)
	if err != nil {
		return nil, err
	}
	var out []PartHit
	for _, l := range all {
		if l.State.Handover != nil {
			continue
		}
		plan, _, e := agreed(l)
		if p, ok := job.FindPart(l.State, plan, e.Parts, number, s.Day); ok {
			out = append(out, PartHit{l.ID, p.Part, p.Title})
		}
	}
	return out, nil
}
