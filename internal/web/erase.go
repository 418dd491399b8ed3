// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"

	"witnessmark/internal/shop"
)

// eraseView is what is kept beside a job's record, to choose what goes.
type eraseView struct {
	formView
	Things []eraseChoice
	Gone   []shop.Erasable
	Asked  bool // what was chosen is repeated, to be confirmed
}

// eraseChoice is one thing with whether it is chosen.
type eraseChoice struct {
	shop.Erasable
	Chosen bool
}

func (s *server) erasePage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showErase(q, http.StatusOK, l, false, "")
}

func (s *server) showErase(q *request, status int, l *shop.Loaded, asked bool, problem string) error {
	all, err := s.shop.Erasable(q.Context(), l)
	if err != nil {
		return err
	}
	v := eraseView{formView: q.form(l), Asked: asked}
	v.Problem = problem
	for _, x := range all {
		switch chosen := slices.Contains(q.Form["what"], x.Name); {
		case x.Erased:
			v.Gone = append(v.Gone, x)
		case !asked || chosen:
			v.Things = append(v.Things, eraseChoice{x, chosen})
		}
	}
	return q.showForm(status, l, "Erase", "", eraseBody(v))
}

var (
	errNothingChosen = errors.New("nothing is chosen: tick what is to be erased")
	errNoReason      = errors.New("the reason is empty: write who asked for it, or why it has to go")
)

// keepErasure repeats what was chosen, and erases it once the job's number is
// typed below that.
func (s *server) keepErasure(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	asked := q.value("number") != "" || q.checked("confirm")
	switch {
	case len(q.Form["what"]) == 0:
		err = errNothingChosen
	case q.value("reason") == "":
		err = errNoReason
	case q.value("number") == "" && !q.checked("confirm"):
		return s.showErase(q, http.StatusOK, l, true, "")
	case q.value("number") != l.ID:
		err = fmt.Errorf("%q is not the number of this job, %s: type it to erase what is listed, or leave the page", q.value("number"), l.ID)
	}
	if err == nil {
		_, err = s.shop.EraseFrom(q.Context(), q.person.ID, q.value("id"), l.ID, q.Form["what"], q.value("reason"))
	} else {
		err = &shop.Refusal{Cause: err}
	}
	if err != nil {
		return q.again(err, func(status int, problem string) error {
			return s.showErase(q, status, l, asked && len(q.Form["what"]) > 0, problem)
		})
	}
	return q.see(jobPath(l.ID) + "/erase")
}
