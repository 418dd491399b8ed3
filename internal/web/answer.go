// SPDX-License-Identifier: Apache-2.0

package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"runtime/debug"

	"github.com/a-h/templ"

	"witnessmark/internal/shop"
	"witnessmark/record"
)

// panicked is a panic that a handler left.
type panicked struct{ value any }

func (p panicked) Error() string { return fmt.Sprint("panic: ", p.value) }

// trouble is an error in words for the person at the page.
type trouble = shop.Trouble

// troubleOf maps an error to its words and status. What is not expected goes
// to the log; the page shows a reference to it.
func troubleOf(err error) trouble {
	if t, ok := pageTrouble(err); ok {
		return t
	}
	t := shop.TroubleOf(err)
	var notAllowed *shop.ErrNotAllowed
	switch {
	case errors.Is(err, shop.ErrLogIn):
		t.Detail, t.Next = "Nobody is logged in on this tablet, or the log-in has run out.", "Log in; what was typed is still there when you come back."
	case errors.As(err, &notAllowed):
		t.Next = "Change the person at the top of the page."
	case errors.Is(err, record.ErrIDReused):
		t.Detail, t.Next = "This form was sent before, and says something else now. The first is kept.", "Open the page again and enter it as a new entry."
	}
	return t
}

// fail answers with the error, on a page or as JSON.
func (s *server) fail(q *request, err error) {
	t := troubleOf(err)
	if t.Status >= http.StatusInternalServerError {
		s.log.Error("unexpected", "reference", t.Reference, "method", q.Method, "err", err.Error())
		if _, ok := err.(panicked); ok {
			s.log.Error("stack", "reference", t.Reference, "stack", string(debug.Stack()))
		}
	}
	if sw, ok := q.w.(*statusWriter); ok && sw.written {
		return // the page has begun; it can't become another one
	}
	if q.wantsJSON() {
		_ = q.json(t.Status, t)
		return
	}
	if t.Status == http.StatusUnauthorized && q.Method == http.MethodGet {
		http.Redirect(q.w, q.Request, "/login?next="+queryEscape(q.URL.RequestURI()), http.StatusSeeOther)
		return
	}
	body := troublePage(t)
	if t.Status >= http.StatusInternalServerError {
		body = templ.Join(body, sendAgain(q.URL.RequestURI(), q.sent()))
	}
	if err := q.page(t.Status, frame{Title: t.Title}, body); err != nil {
		s.log.Error("page", "err", err.Error())
	}
}

func (s *server) notFound(*request) error { return errNotFound }

// json answers a script.
func (q *request) json(status int, v any) error {
	q.w.Header().Set("Content-Type", "application/json")
	q.w.WriteHeader(status)
	return json.NewEncoder(q.w).Encode(v)
}
