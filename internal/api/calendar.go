// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"time"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// NewCalendar is when the workshop works from now on.
type NewCalendar struct {
	ID         string    `json:"id" maxLength:"26" doc:"of the entry, a ULID: sent twice it counts once"`
	DeviceTime time.Time `json:"device_time"`
	Week       [7]string `json:"week" doc:"Sunday to Saturday, such as 08:00-12:00, 13:00-17:00; empty: nobody works"`
	Off        []string  `json:"off,omitempty" doc:"days off, such as 2026-12-24"`
	People     int       `json:"people" doc:"who work on vehicles"`
	Lifts      int       `json:"lifts"`
	WaitLimit  float64   `json:"wait_limit,omitempty" doc:"chance of a vehicle waiting on its lift, 0 to 0.5; left out: 0.05"`
}

type calendarInput struct {
	Body NewCalendar
}

func (s *server) setCalendar(ctx context.Context, in *calendarInput) (*keptOutput, error) {
	b := in.Body
	return s.keep(ctx, shop.Input{ID: b.ID, Subject: record.Workshop, Kind: "calendar_set", DeviceTime: b.DeviceTime,
		Body: job.CalendarSet{Week: b.Week, Off: b.Off, People: b.People, Lifts: b.Lifts, WaitLimit: b.WaitLimit}})
}

type partsOutput struct {
	Body Parts
}

// Parts is every part of a job: those of the agreed work first.
type Parts struct {
	Parts []job.PartSeen `json:"parts"`
}

func (s *server) parts(ctx context.Context, in *JobPath) (*partsOutput, error) {
	p, err := s.planned(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	out := &partsOutput{Body: Parts{Parts: p.Parts}}
	if out.Body.Parts == nil {
		out.Body.Parts = []job.PartSeen{}
	}
	return out, nil
}

type datesOutput struct {
	Body Dates
}

// Dates is when a job can start.
type Dates struct {
	Known  bool             `json:"known" doc:"false without a plan and agreed work, and when nothing is left to do"`
	Begun  bool             `json:"begun"`
	Unsure []string         `json:"unsure" doc:"parts whose number is questioned; not counted"`
	Dates  *job.DatesResult `json:"dates,omitempty"`
}

func (s *server) dates(ctx context.Context, in *JobPath) (*datesOutput, error) {
	p, err := s.planned(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	out := &datesOutput{Body: Dates{Unsure: []string{}}}
	if d := p.Dates; d != nil && len(d.Steps) > 0 {
		r := d.Result(p.Planning)
		out.Body.Known, out.Body.Begun, out.Body.Dates = true, d.Begun, &r
		out.Body.Unsure = append(out.Body.Unsure, d.Unsure...)
	}
	return out, nil
}

func (s *server) planned(ctx context.Context, id string) (*shop.Planned, error) {
	l, err := s.shop.Job(ctx, id)
	if err != nil {
		return nil, err
	}
	return s.shop.Planned(ctx, l)
}

// Calendar is the open jobs on lifts and people.
type Calendar struct {
	People     int      `json:"people"`
	Lifts      int      `json:"lifts"`
	WaitLimit  float64  `json:"wait_limit"`
	Assumed    bool     `json:"assumed" doc:"nobody set the working calendar"`
	Jobs       []OnLift `json:"jobs"`
	Hours      float64  `json:"makespan_h" doc:"working hours until the last job is done"`
	LowerBound float64  `json:"lower_bound_h" doc:"no schedule takes fewer"`
	Proven     bool     `json:"proven" doc:"no schedule is better"`
}

// OnLift is when a job is on its lift.
type OnLift struct {
	Job     string    `json:"job"`
	Start   time.Time `json:"start"`
	End     time.Time `json:"end"`
	Hours   float64   `json:"left_h"`
	Begun   bool      `json:"begun"`
	Planned bool      `json:"planned" doc:"a person chose the day"`
}

type calendarOutput struct {
	Body Calendar
}

func (s *server) calendar(ctx context.Context, _ *nothing) (*calendarOutput, error) {
	f, err := s.shop.Floor(ctx)
	if err != nil {
		return nil, err
	}
	set := f.Hours.Set
	out := &calendarOutput{Body: Calendar{People: set.People, Lifts: set.Lifts, WaitLimit: set.WaitLimit, Assumed: f.Hours.Assumed, Jobs: []OnLift{},
		Hours: f.Plan.Hours, LowerBound: f.Plan.LowerBound, Proven: f.Plan.Proven}}
	for i, p := range f.Jobs {
		x := f.Plan.Slots[i]
		out.Body.Jobs = append(out.Body.Jobs, OnLift{Job: p.ID, Start: x.Start, End: x.End, Hours: p.Left(), Begun: p.Begun(), Planned: x.Planned})
	}
	return out, nil
}
