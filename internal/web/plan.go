// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"fmt"
	"io"
	"slices"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/plans"
)

// planView is the access plan of a job and the work of it that is agreed.
type planView struct {
	Job    string
	Title  string // of the plan that is pinned; empty: none
	Known  string // title of the plan that comes with the program; empty: none
	Work   []option
	Adopt  formView
	Scope  formView
	Agreed bool
	Words  string // the agreed work
}

func (s *server) planView(q *request, l *shop.Loaded) (planView, error) {
	v := planView{Job: l.ID, Adopt: q.oneOf(l, "plan"), Scope: q.oneOf(l, "scope")}
	if l.Basis.Plan == nil {
		known, ok, err := plans.ForFamily(l.Assessment.Family)
		if err != nil {
			return v, err
		}
		if ok {
			v.Known = known.Title
		}
		return v, nil
	}
	v.Title = l.Basis.Plan.Title
	want, _, ok := job.Agreed(l.State, l.Basis.Plan)
	var titles []string
	for _, w := range l.Basis.Plan.Work {
		v.Work = append(v.Work, option{w.ID, w.Title})
		if slices.Contains(want, w.ID) {
			titles = append(titles, w.Title)
		}
	}
	v.Agreed, v.Words = ok, joinWords(titles)
	if len(v.Scope.Many["want"]) == 0 {
		v.Scope.Many["want"] = want
	}
	return v, nil
}

// keepPlan pins a plan: the one that comes with the program for the engine
// family, or a file.
func (s *server) keepPlan(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	render := func(status int, problem string) error { return s.showParts(q, status, l, problem) }
	if q.value("hash") != "" {
		return s.keepNewer(q, l, render)
	}
	name, data, err := q.planFile(l)
	if err != nil {
		return q.again(&shop.Refusal{Cause: err}, render)
	}
	hash, plan, err := s.shop.AddPlan(q.Context(), name, data)
	if err != nil {
		return q.again(&shop.Refusal{Cause: err}, render)
	}
	return q.submit(l, "plan_adopted", job.PlanAdopted{Plan: hash, Family: plan.Family}, nil, jobPath(l.ID)+"/parts", render)
}

// planFile is the plan that was sent, else the one that comes with the program.
func (q *request) planFile(l *shop.Loaded) (name string, data []byte, err error) {
	if q.MultipartForm != nil && len(q.MultipartForm.File["plan"]) > 0 && q.MultipartForm.File["plan"][0].Size > 0 {
		h := q.MultipartForm.File["plan"][0]
		f, err := h.Open()
		if err != nil {
			return "", nil, err
		}
		defer f.Close()
		data, err = io.ReadAll(io.LimitReader(f, 1<<20))
		return h.Filename, data, err
	}
	plan, ok, err := plans.ForFamily(l.Assessment.Family)
	if err != nil {
		return "", nil, err
	}
	if !ok {
		return "", nil, errors.New("nothing was sent, and the program has no plan of this engine family: choose a file")
	}
	return plan.Family + ".yaml", plan.Bytes(), nil
}

// keepScope keeps which work of the plan is agreed.
func (s *server) keepScope(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.ScopeAgreed{Want: q.Form["want"]}
	switch {
	case l.Basis.Plan == nil:
		err = errors.New("the job has no plan yet: adopt one first")
	case len(body.Want) == 0:
		err = errors.New("no work is ticked: tick what is agreed")
	default:
		for _, id := range body.Want {
			if _, ok := l.Basis.Plan.WorkByID(id); !ok {
				err = fmt.Errorf("the plan has no work %q", id)
			}
		}
	}
	return q.submit(l, "scope_agreed", body, err, jobPath(l.ID)+"/parts", func(status int, problem string) error {
		return s.showParts(q, status, l, problem)
	})
}

// keepNewer pins the plan that the page offered in place of the one in use.
func (s *server) keepNewer(q *request, l *shop.Loaded, render func(int, string) error) error {
	newer, err := s.shop.NewerPlan(q.Context(), l)
	if err != nil {
		return err
	}
	if newer == nil || newer.Hash != q.value("hash") {
		return q.again(&shop.Refusal{Cause: errors.New("that plan is not offered any more: open the page again")}, render)
	}
	hash, _, err := s.shop.AddPlan(q.Context(), "plan.yaml", newer.Bytes())
	if err != nil {
		return err
	}
	body := job.PlanAdopted{Plan: hash, Family: newer.Family, Reason: "another plan of the family"}
	return q.submit(l, "plan_adopted", body, nil, jobPath(l.ID)+"/agree", render)
}
