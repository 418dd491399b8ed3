// SPDX-License-Identifier: Apache-2.0

package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"runtime/debug"

	"github.com/a-h/templ"

	"witnessmark/engine"
	"witnessmark/internal/shop"
	"witnessmark/record"
	"witnessmark/units"
)

// panicked is a panic that a handler left.
type panicked struct{ value any }

func (p panicked) Error() string { return fmt.Sprint("panic: ", p.value) }

// trouble is an error in words for the person at the page: where, what was
// entered, what it was held against, what to do next.
type trouble struct {
	Status    int    `json:"status"`
	Title     string `json:"title"`
	Detail    string `json:"detail"`
	Next      string `json:"next"`
	Reference string `json:"reference,omitempty"`
}

// troubleOf maps an error to its words and status. What is not expected goes
// to the log; the page shows a reference to it.
func troubleOf(err error) trouble {
	var refusal *shop.Refusal
	var notAllowed *shop.ErrNotAllowed
	var conflict *record.ConflictError
	var parse *units.ParseError
	var sheet *engine.Problems
	var tooLarge *http.MaxBytesError
	if t, ok := faultOf(err); ok {
		return t
	}
	switch {
	case errors.Is(err, errLogIn):
		return trouble{Status: http.StatusUnauthorized, Title: "Log in first", Detail: "Nobody is logged in on this tablet, or the log-in has run out.", Next: "Log in; what was typed is still there when you come back."}
	case errors.As(err, &notAllowed):
		return trouble{Status: http.StatusForbidden, Title: "Not for this role", Detail: sentence(notAllowed.Error()), Next: "Change the person at the top of the page."}
	case errors.Is(err, errNotFound), errors.Is(err, shop.ErrNotFound):
		return trouble{Status: http.StatusNotFound, Title: "Not found", Detail: "There is no such page, job or tool.", Next: "Go to the list of jobs and look for it there."}
	case errors.As(err, &conflict):
		return trouble{Status: http.StatusConflict, Title: "The record went on meanwhile", Detail: fmt.Sprintf("This rests on what was seen at entry %d; the record is at entry %d now. Nothing was kept.", conflict.Saw, conflict.Seq), Next: "Look at what was added, then decide again."}
	case errors.Is(err, record.ErrIDReused):
		return trouble{Status: http.StatusConflict, Title: "Sent before with other words", Detail: "This form was sent before, and says something else now. The first is kept.", Next: "Open the page again and enter it as a new entry."}
	case errors.As(err, &parse):
		return trouble{Status: http.StatusUnprocessableEntity, Title: "Not understood", Detail: sentence(parse.Error()), Next: sentence(parse.Suggestion)}
	case errors.As(err, &sheet):
		return trouble{Status: http.StatusUnprocessableEntity, Title: "The engine sheet has problems", Detail: sheet.Error(), Next: "Correct the file and send it again."}
	case errors.As(err, &refusal), errors.Is(err, record.ErrInvalid):
		return trouble{Status: http.StatusUnprocessableEntity, Title: "Not understood", Detail: sentence(plainError(err)), Next: "Nothing was kept. Correct it and send it again."}
	case errors.As(err, &tooLarge):
		return trouble{Status: http.StatusRequestEntityTooLarge, Title: "Too large", Detail: fmt.Sprintf("More was sent at once than the %d kB that this page takes. Nothing was kept.", tooLarge.Limit/1000), Next: "Send less at a time."}
	}
	return trouble{Status: http.StatusInternalServerError, Title: "That did not work", Detail: "The program could not do this. Nothing was lost that it had accepted.", Next: "Try again. If it comes back, tell whoever looks after the program the reference.", Reference: reference()}
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
