// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
	"witnessmark/scope"
)

// calendarView is the open jobs on the lifts.
type calendarView struct {
	Problem string
	Kept    bool
	job.FloorView
	Try     formView // a job on another day
	Options []option
	Moved   *job.MovedView
	MovedTo string
	Keep    formKey
	Clashes []string
	Assumed bool
	Feed    bool   // this person's calendar has an address
	Address string // shown once, when it was made
	FeedKey formKey
}

func (s *server) calendarPage(q *request) error {
	return s.showCalendar(q, http.StatusOK, "", "")
}

func (s *server) showCalendar(q *request, status int, problem, address string) error {
	v := calendarView{Problem: problem, Address: address, Try: q.oneOf(nil, "try"), Keep: q.newKey(), FeedKey: q.newKey()}
	var f *shop.Floor
	var err error
	id, to := q.URL.Query().Get("job"), q.URL.Query().Get("to")
	v.Try.Typed["job"], v.Try.Typed["to"] = id, to
	if id != "" && to != "" && problem == "" {
		m, moveErr := s.move(q, id, to)
		if moveErr != nil {
			return q.again(moveErr, func(status int, problem string) error { return s.showCalendar(q, status, problem, address) })
		}
		w := job.ShowMoved(id, m.Longer, m.Others)
		v.Moved, v.MovedTo, f = &w, to, m.Floor
	} else if f, err = s.shop.Floor(q.Context()); err != nil {
		return err
	}
	v.FloorView = job.ShowFloor(f.Plan, f.Lines(), f.Hours.Set)
	for _, x := range f.Jobs {
		v.Options = append(v.Options, option{x.ID, "job " + x.ID + ", " + x.State.Vehicle})
	}
	v.Clashes, v.Assumed = job.Clashes(f.Clashes), f.Hours.Assumed
	if v.Feed, err = s.shop.HasFeed(q.Context(), q.person.ID); err != nil {
		return err
	}
	return q.page(status, frame{Title: "Calendar"}, calendarBody(v))
}

func (s *server) move(q *request, id, to string) (*shop.Moved, error) {
	var day scope.Date
	if err := day.UnmarshalText([]byte(to)); err != nil {
		return nil, &shop.Refusal{Cause: err}
	}
	return s.shop.Move(q.Context(), id, day)
}

// makeFeed makes the address of a person's calendar; it is shown this once.
func (s *server) makeFeed(q *request) error {
	token, err := s.shop.NewFeed(q.Context(), q.person.ID)
	if err != nil {
		return err
	}
	scheme := "http"
	if q.TLS != nil || s.opt.Secure {
		scheme = "https"
	}
	return s.showCalendar(q, http.StatusOK, "", scheme+"://"+q.Host+"/calendar/"+token+"/workshop.ics")
}

func (s *server) endFeed(q *request) error {
	if err := s.shop.EndFeed(q.Context(), q.person.ID); err != nil {
		return err
	}
	return q.see("/calendar")
}

// feed is the calendar for a program that can't log in.
func (s *server) feed(q *request) error {
	if _, err := s.shop.FeedPerson(q.Context(), q.PathValue("token")); err != nil {
		return errNotFound
	}
	data, err := s.shop.Feed(q.Context())
	if err != nil {
		return err
	}
	h := q.w.Header()
	h.Set("Content-Type", "text/calendar; charset=utf-8")
	h.Set("Content-Disposition", `inline; filename="workshop.ics"`)
	q.w.WriteHeader(http.StatusOK)
	_, err = q.w.Write(data)
	return err
}

// hoursView is the working calendar in the workshop's settings.
type hoursView struct {
	formView
	Days []dayField
	Now  string
}

type dayField struct{ Name, Words string }

var weekFields = []dayField{{"day1", "Monday"}, {"day2", "Tuesday"}, {"day3", "Wednesday"}, {"day4", "Thursday"}, {"day5", "Friday"}, {"day6", "Saturday"}, {"day0", "Sunday"}}

func (s *server) hoursView(q *request, w job.Workshop) (hoursView, error) {
	v := hoursView{formView: q.oneOf(nil, "hours"), Days: weekFields}
	h, err := s.shop.Hours(w)
	if err != nil {
		return v, err
	}
	v.Now = job.HoursWords(h.Set, h.Assumed)
	if q.Method != http.MethodPost || q.value("form") != "hours" {
		job.FillHours(v.Typed, h.Set)
	}
	return v, nil
}

func (s *server) keepHours(q *request) error {
	render := func(status int, problem string) error { return s.showWorkshop(q, status, problem) }
	body, err := job.ReadHours(q.value)
	if err != nil {
		return q.again(&shop.Refusal{Cause: err}, render)
	}
	if err := shop.May(q.person.Role, "calendar_set"); err != nil {
		return err
	}
	in := shop.Input{ID: q.value("id"), Subject: record.Workshop, Kind: "calendar_set", Body: body, DeviceTime: q.deviceTime()}
	if _, _, err := s.shop.Append(q.Context(), q.person.ID, in); err != nil {
		return q.again(err, render)
	}
	return q.see("/settings?said=1")
}
