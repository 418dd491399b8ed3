// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"strconv"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// datesView is when a job can start, and how far it can go.
type datesView struct {
	Job     string
	Kept    string
	Problem string
	HasPlan bool
	job.DatesView
	Planned formView // the day that a person means
	On      string   // planned already
	Clashes []string
	Assumed bool // the working calendar is
}

func (s *server) datesPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showDates(q, http.StatusOK, l, "")
}

func (s *server) showDates(q *request, status int, l *shop.Loaded, problem string) error {
	p, err := s.shop.Planned(q.Context(), l)
	if err != nil {
		return err
	}
	v := datesView{Job: l.ID, Kept: q.lastKept(l), Problem: problem, HasPlan: p.Dates != nil, Planned: q.oneOf(l, "planned"), Assumed: l.Basis.Workshop.Calendar == nil}
	if p.Dates != nil {
		v.DatesView = job.ShowDates(*p.Dates, p.Planning, p.Parts)
	}
	if x := l.State.Planned; x != nil {
		v.On = x.Body.On
		if v.Planned.Typed["hours"] == "" && x.Body.Hours > 0 {
			v.Planned.Typed["hours"] = strconv.FormatFloat(x.Body.Hours, 'f', -1, 64)
		}
	}
	if v.Planned.Typed["on"] == "" {
		v.Planned.Typed["on"] = v.StartDay
		if v.On != "" {
			v.Planned.Typed["on"] = v.On
		}
	}
	if v.Clashes, err = s.clashes(q, l.ID); err != nil {
		return err
	}
	if p.Trouble != "" {
		v.Clashes = append(v.Clashes, "No date can be reckoned: "+sentence(p.Trouble))
	}
	return q.showForm(status, l, "Dates", "Parts", datesBody(v))
}

// keepStart keeps the day on which the vehicle is to come in.
func (s *server) keepStart(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	next := jobPath(l.ID) + "/dates"
	if q.value("back") == "calendar" {
		next = "/calendar"
	}
	body := job.StartPlanned{On: q.value("on"), Reason: q.value("reason")}
	if text := q.value("hours"); text != "" {
		body.Hours, err = amount(text)
	}
	return q.submit(l, "start_planned", body, err, next, func(status int, problem string) error {
		return s.showDates(q, status, l, problem)
	})
}
