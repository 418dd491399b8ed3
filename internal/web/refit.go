// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"net/http"
	"slices"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// refitView is what is left under the car, in the order in which it goes back.
type refitView struct {
	Job      string
	Kept     string
	Problem  string
	HasPlan  bool
	Rows     []refitRow
	Left     int
	Faults   formView
	Said     []string // stored faults on record
	Standing []string
	Cautions []string
}

type refitRow struct {
	job.OperationView
	Anchor string
	Things []thingRow
	Back   formKey
}

type thingRow struct {
	job.ThingView
	Tap  formKey
	Form formView
}

func (s *server) refitPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showRefit(q, http.StatusOK, l, "")
}

func (s *server) showRefit(q *request, status int, l *shop.Loaded, problem string) error {
	p, err := s.shop.Planned(q.Context(), l)
	if err != nil {
		return err
	}
	v := refitView{Job: l.ID, Kept: q.lastKept(l), Problem: problem, HasPlan: p.Plan != nil && len(p.Operations) > 0, Faults: q.oneOf(l, "faults"),
		Said: said(l, "faults_read"), Cautions: usualStrip}
	if v.HasPlan {
		ops := job.ShowOperations(p.Operations, p.Plan)
		slices.Reverse(ops)
		for _, o := range ops {
			if o.Stripped {
				v.Rows = append(v.Rows, s.refitRow(q, l, o))
				v.Left += o.Left
				if o.Off {
					v.Left++
				}
			}
		}
	}
	for _, o := range standing(l, job.SteeringUnchecked, job.ResetMissing, job.FaultsUnread, job.FaultsStored) {
		v.Standing = append(v.Standing, o.What)
	}
	return q.showForm(status, l, "Refit", "Strip", refitBody(v))
}

func (s *server) refitRow(q *request, l *shop.Loaded, o job.OperationView) refitRow {
	r := refitRow{OperationView: o, Anchor: anchor("operation", o.ID), Back: q.newKey()}
	for _, t := range o.Things {
		r.Things = append(r.Things, thingRow{ThingView: t, Tap: q.newKey(), Form: q.oneOf(l, o.ID+"/"+t.Thing)})
	}
	return r
}

// keepProof keeps that a thing is right again.
func (s *server) keepProof(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.RefitProved{Operation: q.value("operation"), Thing: q.value("thing"), Title: q.value("title"), Done: q.checked("done"), Witness: q.checked("witness"),
		Stage: q.value("stage"), Tool: q.value("tool"), Result: q.value("result"), None: q.value("none")}
	if q.checked("steering") && body.Result == "" && body.None == "" {
		err = errors.New("no result: write what the check showed, such as: toe 0°10′, within; or why none is needed")
	}
	if body.Result != "" {
		body.Done = true
	}
	return q.submit(l, "refit_proved", body, err, jobPath(l.ID)+"/refit#"+anchor("operation", body.Operation), func(status int, problem string) error {
		return s.showRefit(q, status, l, problem)
	})
}

func (s *server) keepFaults(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.FaultsRead{Stored: q.value("stored"), Cleared: q.checked("cleared"), Remark: q.value("remark")}
	if q.value("none") != "" {
		body = job.FaultsRead{}
	} else if body.Stored == "" {
		err = errors.New("no fault is named: write down what was stored, or tap None stored")
	}
	return q.submit(l, "faults_read", body, err, jobPath(l.ID)+"/refit#faults", func(status int, problem string) error {
		return s.showRefit(q, status, l, problem)
	})
}

// keepBag keeps that what an operation loosened is bagged and marked.
func (s *server) keepBag(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.Bagged{Operation: q.value("operation"), What: q.value("what"), Bag: strings.TrimSpace(q.value("bag"))}
	return q.submit(l, "bagged", body, nil, jobPath(l.ID)+"/strip#"+anchor("operation", body.Operation), func(status int, problem string) error {
		return s.showStrip(q, status, l, problem)
	})
}
