// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"net/http"
	"slices"

	"witnessmark/internal/store"
)

var (
	errCrossSite = errors.New("a page of another site sent this")
	errHalfSent  = errors.New("what was sent is not whole")
)

// faultOf puts what went wrong outside the form into words: the disk, the
// network, a page of another site. ok is false for anything else.
func faultOf(err error) (t trouble, ok bool) {
	switch {
	case errors.Is(err, store.ErrFull):
		return trouble{Status: http.StatusInsufficientStorage, Title: "The disk is full",
			Detail: "What was just sent was not kept: it needs room in the server’s data folder, and the disk or the quota there has none left. All that was kept before is safe.",
			Next:   "Make room on the server’s disk, then send it again: it counts once."}, true
	case errors.Is(err, store.ErrReadOnly):
		return trouble{Status: http.StatusServiceUnavailable, Title: "The data folder can’t be written",
			Detail: "What was just sent was not kept: the server may not write in its data folder. All that was kept before is safe.",
			Next:   "Give the program’s user the right to write there, then send it again: it counts once."}, true
	case errors.Is(err, store.ErrBusy):
		return trouble{Status: http.StatusServiceUnavailable, Title: "Another program holds the data",
			Detail: "What was just sent was not kept: another program had the database of the data folder for longer than ten seconds.",
			Next:   "Wait until it is done, a backup tool perhaps, then send it again: it counts once."}, true
	case errors.Is(err, store.ErrDamaged):
		return trouble{Status: http.StatusInternalServerError, Title: "The data on disk is damaged",
			Detail: "What this page asks for was read from the data folder and is not what was kept there: the disk or something else has changed it.",
			Next:   "Enter nothing more. Stop the server, copy the data folder as it is, and restore the last backup into a new folder."}, true
	case errors.Is(err, errCrossSite):
		return trouble{Status: http.StatusForbidden, Title: "Sent from another site",
			Detail: "This form was sent by a page of another site; only these pages may send anything here. Nothing was kept.",
			Next:   "Open the page here and enter it again."}, true
	case errors.Is(err, errHalfSent):
		return trouble{Status: http.StatusBadRequest, Title: "Only part of it arrived",
			Detail: "The form that was sent ends before its end: a form counts only when all of it has arrived. Nothing was kept.",
			Next:   "Send it again; it counts once."}, true
	}
	return trouble{}, false
}

// crossSite refuses what a page of another site sent.
func (s *server) crossSite(*request) error { return errCrossSite }

// parse reads the whole form before anything rests on it: a field that did not
// arrive must not look like one that was left empty.
func (q *request) parse() error {
	if q.Method != http.MethodPost {
		return nil
	}
	err := q.ParseMultipartForm(maxForm)
	var tooLarge *http.MaxBytesError
	switch {
	case err == nil, errors.Is(err, http.ErrNotMultipart):
		return nil
	case errors.As(err, &tooLarge):
		return err
	}
	return errors.Join(errHalfSent, err)
}

// sentField is a field of a form that could not be kept.
type sentField struct{ Name, Value string }

// sent are the fields of the form, to send them again. What was typed is not
// lost because the server could not keep it; a PIN is never shown.
func (q *request) sent() []sentField {
	var out []sentField
	if q.Method != http.MethodPost || q.PostForm == nil {
		return nil
	}
	names := make([]string, 0, len(q.Form))
	for name := range q.Form {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		for _, v := range q.Form[name] {
			if name == "pin" || name == "code" {
				return nil
			}
			out = append(out, sentField{name, v})
		}
	}
	return out
}
