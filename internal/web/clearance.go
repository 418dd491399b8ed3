// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"strconv"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// clearanceView is one position's clearance explained: what it rests on, where
// an excess sits, what the parts say.
type clearanceView struct {
	formView
	Position   job.PositionView
	Prev, Next int
	Parts      []partTab
	Crush      []string
}

func (s *server) clearancePage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showClearance(q, http.StatusOK, l, "")
}

func (s *server) showClearance(q *request, status int, l *shop.Loaded, problem string) error {
	v := clearanceView{formView: q.form(l), Crush: l.View().Crush}
	v.Problem = problem
	var ok bool
	if v.Position, v.Prev, v.Next, ok = positionOf(l, q.number("position")); !ok {
		return errNotFound
	}
	m := measureView{Position: v.Position}
	m.tabs()
	v.Parts = m.Tabs
	return q.showForm(status, l, "Clearance "+strconv.Itoa(v.Position.Position), "Measure", clearanceBody(v))
}

// keepAsked keeps the answers to the first questions.
func (s *server) keepAsked(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.ExcessAsked{Position: q.number("position"), Phase: job.AsFitted, Clear: []string{}, Remark: q.value("remark")}
	for _, c := range job.FirstQuestions {
		switch q.value("q_" + c) {
		case "clear":
			body.Clear = append(body.Clear, c)
		case "found":
			body.Found = append(body.Found, c)
		}
	}
	return q.submit(l, "excess_asked", body, nil, clearancePath(l.ID, body.Position), func(status int, problem string) error {
		return s.showClearance(q, status, l, problem)
	})
}

// part finds a measured part of the position.
func (v clearanceView) part(of string) *job.MeasuredView {
	for i := range v.Position.Measured {
		if v.Position.Measured[i].Part == of {
			return &v.Position.Measured[i]
		}
	}
	return nil
}

func clearancePath(id string, position int) string {
	return jobPath(id) + "/clearance/" + strconv.Itoa(position)
}
