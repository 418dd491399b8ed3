// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"context"
	"errors"
	"net/http"

	"witnessmark/internal/job"
	"witnessmark/internal/report"
	"witnessmark/internal/shop"
	"witnessmark/scope"
	"witnessmark/units"
)

// accountView is the time that was worked, and the estimate beside what the
// job took.
type accountView struct {
	Job      string
	Kept     string
	Problem  string
	Time     formView
	On       []option // operations and work that time can be written down for
	Spent    []string
	Account  *job.AccountView
	Standing []string
	May      bool
}

const otherTime = "other" // choice: in words

func (s *server) accountPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showAccount(q, http.StatusOK, l, "")
}

func (s *server) showAccount(q *request, status int, l *shop.Loaded, problem string) error {
	v := accountView{Job: l.ID, Kept: q.lastKept(l), Problem: problem, Time: q.oneOf(l, "time"), Spent: said(l, "time_spent"), May: hands.admits(q.person.Role)}
	for _, o := range standing(l, job.WorkBeyond) {
		v.Standing = append(v.Standing, o.What)
	}
	a, ok, err := job.AccountOf(l.State, l.Basis)
	if err != nil {
		return err
	}
	if ok {
		view := job.ShowAccount(a)
		v.Account = &view
	}
	v.On = timeOptions(l, a)
	return q.showForm(status, l, "Time and account", "Hand over", accountBody(v))
}

// timeOptions are the agreed work and its operations first, then the plan's
// other work, then words.
func timeOptions(l *shop.Loaded, a scope.Account) []option {
	var out []option
	have := map[string]bool{}
	add := func(id, title string) {
		if !have[id] {
			have[id] = true
			out = append(out, option{id, title})
		}
	}
	for _, x := range a.Labour {
		add(x.ID, x.Title)
	}
	if l.Basis.Plan != nil {
		for _, w := range l.Basis.Plan.Work {
			add(w.ID, w.Title+" (not in the agreed work)")
		}
	}
	return append(out, option{otherTime, "something else, in words below"})
}

func (s *server) keepTime(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.TimeSpent{On: q.value("on"), Remark: q.value("remark")}
	body.Hours, err = q.read("hours", units.KindHours, units.UnitHour)
	switch {
	case err != nil:
	case body.Hours == nil:
		err = errors.New("time: nothing entered: write hours such as 1.5, or 40 min")
	case body.On == otherTime || body.On == "":
		if body.On = q.value("words"); body.On == "" {
			err = errors.New("time: it is not said on what: choose it, or write it in words")
		}
	default:
		for _, o := range timeOptions(l, scope.Account{}) {
			if o.Code == body.On {
				body.Title = o.Words
			}
		}
		if w, ok := planTitle(l, body.On); ok {
			body.Title = w
		}
	}
	return q.submit(l, "time_spent", body, err, jobPath(l.ID)+"/account", func(status int, problem string) error {
		return s.showAccount(q, status, l, problem)
	})
}

func planTitle(l *shop.Loaded, id string) (string, bool) {
	if l.Basis.Plan == nil {
		return "", false
	}
	if o, ok := l.Basis.Plan.OperationByID(id); ok {
		return o.Title, true
	}
	w, ok := l.Basis.Plan.WorkByID(id)
	return w.Title, ok
}

// exportFile sends the estimate, the parts list or the account as CSV or XLSX.
func (s *server) exportFile(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	of, kind := q.PathValue("paper"), q.PathValue("kind")
	data, err := report.Table(l, of, kind)
	if errors.Is(err, report.ErrNoAgreedWork) {
		return &shop.Refusal{Cause: err}
	}
	if err != nil {
		return err
	}
	return q.file(report.TableKinds[kind], "attachment", of+"-"+fileName(l.ID)+"."+kind, data)
}

// estimatePaper sends the estimate as a PDF to sign.
func (s *server) estimatePaper(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	if _, _, ok := job.Agreed(l.State, l.Basis.Plan); !ok {
		return &shop.Refusal{Cause: report.ErrNoAgreedWork}
	}
	o, err := s.paper(q)
	if err != nil {
		return err
	}
	d, err := report.GatherEstimate(context.WithoutCancel(q.Context()), s.shop, l)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := d.PDF(&b, o); err != nil {
		return err
	}
	return q.file("application/pdf", "inline", "estimate-"+fileName(l.ID)+".pdf", b.Bytes())
}
