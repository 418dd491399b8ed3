// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"net/http"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// specialView is the special tools of a job.
type specialView struct {
	Job     string
	Kept    string
	Problem string
	Rows    []specialRow
	New     formView
	Clashes []string
}

type specialRow struct {
	Tool, Anchor string
	State        job.WordView
	Said         string
	Waits        string
	InHand       bool
	Borrowed     bool
	Reserve      formView
	Borrow, Give formKey
}

func (s *server) specialPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showSpecial(q, http.StatusOK, l, "")
}

func (s *server) showSpecial(q *request, status int, l *shop.Loaded, problem string) error {
	p, err := s.shop.Planned(q.Context(), l)
	if err != nil {
		return err
	}
	v := specialView{Job: l.ID, Kept: q.lastKept(l), Problem: problem, New: q.oneOf(l, "new")}
	for _, t := range job.ShowSpecial(l.State, p.Dates, p.Tools, s.today()) {
		v.Rows = append(v.Rows, specialRow{Tool: t.Tool, Anchor: anchor("tool", t.Tool), State: t.State, Said: t.Said, Waits: t.Waits, InHand: t.InHand, Borrowed: t.Borrowed,
			Reserve: q.oneOf(l, "reserve-"+t.Tool), Borrow: q.newKey(), Give: q.newKey()})
	}
	if v.Clashes, err = s.clashes(q, l.ID); err != nil {
		return err
	}
	return q.showForm(status, l, "Special tools", "Parts", specialBody(v))
}

func (s *server) keepSpecial(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	tool := q.value("tool")
	var kind string
	var body any
	switch q.value("step") {
	case "reserve":
		kind, body = "tool_reserved", job.ToolReserved{Tool: tool, From: q.value("from"), To: q.value("to"), Of: q.value("of")}
	case "borrow":
		kind, body = "tool_borrowed", job.ToolBorrowed{Tool: tool, Of: q.value("of"), Due: q.value("due")}
	case "give":
		kind, body = "tool_returned", job.ToolGivenBack{Tool: tool}
	default:
		err = fmt.Errorf("nothing is said to have happened to the tool: choose reserved, in hand or given back")
	}
	return q.submit(l, kind, body, err, jobPath(l.ID)+"/special", func(status int, problem string) error {
		return s.showSpecial(q, status, l, problem)
	})
}

// suppliersView is who delivers how.
type suppliersView struct{ Rows []job.SupplierView }

func (s *server) suppliersPage(q *request) error {
	all, err := s.shop.Suppliers(q.Context())
	if err != nil {
		return err
	}
	v := suppliersView{Rows: job.ShowSuppliers(all)}
	return q.page(http.StatusOK, frame{Title: "Suppliers"}, suppliersBody(v))
}
