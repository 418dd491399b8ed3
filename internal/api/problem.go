// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"runtime/debug"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/validation"

	"witnessmark/internal/shop"
	"witnessmark/record"
)

// Problem is a refusal: problem details after RFC 9457, with what to do next.
type Problem struct {
	Type      string  `json:"type" doc:"always about:blank: the status and the words say it all"`
	Title     string  `json:"title" doc:"what it is, in few words"`
	Status    int     `json:"status"`
	Detail    string  `json:"detail" doc:"where, what was entered and what it was held against"`
	Next      string  `json:"next" doc:"what to do next"`
	Reference string  `json:"reference,omitempty" doc:"of an unexpected error, in the server's log"`
	Saw       int64   `json:"saw,omitempty" doc:"of a conflict: what was seen"`
	Sequence  int64   `json:"sequence,omitempty" doc:"of a conflict: where the record is now"`
	Changed   []int64 `json:"changed,omitempty" doc:"of a conflict: the entries that made the difference"`
}

// Error implements error.
func (p *Problem) Error() string { return p.Title + ": " + p.Detail }

// GetStatus implements huma.StatusError.
func (p *Problem) GetStatus() int { return p.Status }

// ContentType implements huma.ContentTypeFilter.
func (p *Problem) ContentType(string) string { return problemType }

const problemType = "application/problem+json"

// write sends a problem past huma.
func (p *Problem) write(w http.ResponseWriter) {
	p.Type = blank
	w.Header().Set("Content-Type", problemType)
	w.WriteHeader(p.Status)
	_ = json.NewEncoder(w).Encode(p)
}

const blank = "about:blank"

// panicked is a panic that a handler left.
type panicked struct{ value any }

func (p panicked) Error() string { return fmt.Sprint("panic: ", p.value) }

// problem puts an error into words, the same as on a page; what is the
// server's own fault goes to the log.
func (s *server) problem(ctx context.Context, err error) *Problem {
	var p *Problem
	if errors.As(err, &p) {
		p.Type = blank
		return p
	}
	t := shop.TroubleOf(err)
	p = &Problem{Type: blank, Title: t.Title, Status: t.Status, Detail: t.Detail, Next: t.Next, Reference: t.Reference}
	var conflict *record.ConflictError
	if errors.As(err, &conflict) {
		p.Saw, p.Sequence, p.Changed = conflict.Saw, conflict.Seq, conflict.Changed
	}
	if t.Status >= http.StatusInternalServerError && ctx.Err() == nil {
		s.log.Error("unexpected", "reference", t.Reference, "err", err.Error())
		if _, ok := err.(panicked); ok {
			s.log.Error("stack", "reference", t.Reference, "stack", string(debug.Stack()))
		}
	}
	return p
}

// nothingAt is for what the path names and is not there.
func nothingAt(what, where string) error {
	return &Problem{Status: http.StatusNotFound, Title: "Not found", Detail: fmt.Sprintf("There is no %s here.", what), Next: "See " + where + " for what there is."}
}

// What huma itself refuses is put into the same form. It is told so once for
// the whole program: nothing else in it uses huma.
func init() {
	huma.ValidateStrictCasing = true
	huma.NewError = func(status int, msg string, errs ...error) huma.StatusError { return malformed(status, msg, errs) }
}

// malformed is what can't be read as the operation's input. The values are
// left out: a PIN may be among them.
func malformed(status int, msg string, errs []error) *Problem {
	p := &Problem{Type: blank, Status: status, Title: "Not understood", Next: "Nothing was kept. Correct it and send it again."}
	var said []string
	for _, err := range errs {
		said = append(said, complaint(err))
	}
	switch {
	case status == http.StatusRequestEntityTooLarge:
		p.Title, p.Detail, p.Next = "Too large", "More was sent at once than is taken here. Nothing was kept.", "Send less at a time."
	case status == http.StatusRequestTimeout, strings.Contains(msg, "cannot read request body"):
		p.Status, p.Title = http.StatusBadRequest, "Only part of it arrived"
		p.Detail, p.Next = "What was sent ends before its end; it counts only when all of it has arrived. Nothing was kept.", "Send it again; it counts once."
	case status == http.StatusUnsupportedMediaType:
		p.Title, p.Detail, p.Next = "Not of this type", "The header Content-Type names something that is not taken here.", "Send JSON as application/json."
	case len(said) > 0:
		p.Detail = strings.Join(said, " ")
	default:
		p.Detail = shop.Sentence(msg)
	}
	return p
}

// complaint is one thing that is wrong with the input, as a sentence.
func complaint(err error) string {
	var d *huma.ErrorDetail
	if !errors.As(err, &d) {
		return shop.Sentence(err.Error())
	}
	switch where := place(d.Location); d.Message {
	case validation.MsgUnexpectedProperty:
		return fmt.Sprintf("%s: there is no such field.", where)
	case "unknown query parameter":
		return fmt.Sprintf("%s: there is no such parameter.", where)
	default:
		return shop.Sentence(where + ": " + d.Message)
	}
}

// place is where in the request something stands.
func place(location string) string {
	in, name, found := strings.Cut(location, ".")
	switch {
	case !found && in == "":
		return "The request"
	case !found:
		return "The " + in
	}
	return fmt.Sprintf("%q in the %s", name, in)
}
