// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"

	"witnessmark/engine"
	"witnessmark/internal/shop"
)

func (s *server) jobsPage(q *request) error {
	jobs, err := s.shop.Jobs(q.Context())
	if err != nil {
		return err
	}
	v := jobsView{Person: q.person}
	for _, j := range jobs {
		row := jobRow{Summary: j, LastDay: j.Last.In(s.shop.Zone()).Format("2006-01-02 15:04")}
		if j.HandedOver {
			v.Done = append(v.Done, row)
		} else {
			v.On = append(v.On, row)
		}
	}
	return q.page(http.StatusOK, frame{Title: "Jobs"}, jobsBody(v))
}

func (s *server) newJobPage(q *request) error {
	return s.showNewJob(q, http.StatusOK, newJobView{Typed: map[string]string{}})
}

func (s *server) showNewJob(q *request, status int, v newJobView) error {
	sheets, err := s.shop.Sheets(q.Context())
	if err != nil {
		return err
	}
	v.Sheets = sheets
	return q.page(status, frame{Title: "Open a job"}, newJobBody(v))
}

func (s *server) newJob(q *request) error {
	n := shop.NewJob{Number: q.value("number"), Vehicle: q.value("vehicle"), Purpose: q.value("purpose"), Sheet: q.value("sheet"),
		Owner: shop.Contact{Name: q.value("owner"), Phone: q.value("phone")}, Plate: q.value("plate"), Identity: q.value("identity")}
	id, err := s.shop.OpenJob(q.Context(), q.person.ID, n)
	if err != nil {
		t := troubleOf(err)
		if t.Status != http.StatusUnprocessableEntity {
			return err
		}
		return s.showNewJob(q, t.Status, newJobView{Typed: q.typed(), Problem: t.Detail})
	}
	if w := engine.IdentityWarning(n.Identity); w != "" {
		return q.see(jobPath(id) + "?warning=identity")
	}
	return q.see(jobPath(id))
}

// typed is what the form said, to show it again beside an error.
func (q *request) typed() map[string]string {
	typed := map[string]string{}
	for k := range q.Form {
		typed[k] = q.value(k)
	}
	return typed
}

func (s *server) jobPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	f := jobFrame(l, "Measure", "Measure")
	if q.value("warning") == "identity" {
		d, err := s.shop.Vehicle(q.Context(), l)
		if err != nil {
			return err
		}
		if w := engine.IdentityWarning(d.Identity); w != "" {
			f.Notices = append(f.Notices, w)
		}
	}
	return q.page(http.StatusOK, f, jobBody(l.ID, *f.Job))
}
