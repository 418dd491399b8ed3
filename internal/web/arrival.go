// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// arrivalView is the condition in which the vehicle came.
type arrivalView struct {
	formView
	Distance string // unit
	Pressure string // unit
	Done     string // what is on record
	Asked    []job.PhotoAsk
}

func (s *server) arrivalPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showArrival(q, http.StatusOK, l, "")
}

func (s *server) showArrival(q *request, status int, l *shop.Loaded, problem string) error {
	v := arrivalView{formView: q.form(l), Distance: unitOf(l, units.KindDistance).Symbol, Pressure: unitOf(l, units.KindPressure).Symbol}
	v.Problem, v.Asked = problem, l.PhotosAsked("arrival", 0)
	if a := l.State.Arrival; a != nil {
		v.Done = saidAt(l, a.At.Seq)
		if q.Method != http.MethodPost {
			v.prefill(a.Body)
		}
	}
	return q.showForm(status, l, "Arrival", "Arrival", arrivalBody(v))
}

func (v *arrivalView) prefill(a job.Arrival) {
	v.Typed["noises"], v.Typed["leaks"], v.Typed["faults"] = a.Noises, a.Leaks, a.Faults
	if a.Odometer != nil {
		v.Typed["odometer"] = strings.TrimSuffix(a.Odometer.String(), " "+v.Distance)
	}
	if a.OilPressureHot != nil {
		v.Typed["pressure"] = strings.TrimSuffix(a.OilPressureHot.String(), " "+v.Pressure)
	}
}

func (s *server) keepArrival(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.Arrival{Noises: q.value("noises"), Leaks: q.value("leaks"), Faults: q.value("faults")}
	body.Odometer, err = q.read("odometer", units.KindDistance, unitOf(l, units.KindDistance))
	if err == nil {
		body.OilPressureHot, err = q.read("pressure", units.KindPressure, unitOf(l, units.KindPressure))
	}
	return q.submit(l, "arrival", body, err, jobPath(l.ID)+"/strip", func(status int, problem string) error {
		return s.showArrival(q, status, l, problem)
	})
}
