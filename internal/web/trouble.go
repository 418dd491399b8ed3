// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"maps"
	"net/http"
	"slices"
)

var (
	errCrossSite = errors.New("a page of another site sent this")
	errHalfSent  = errors.New("what was sent is not whole")
)

// pageTrouble is about how a form came: from another site, or not whole. ok is
// false for anything else.
func pageTrouble(err error) (t trouble, ok bool) {
	switch {
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
	err := q.ParseForm()
	if err == nil {
		err = q.ParseMultipartForm(maxForm)
	}
	var tooLarge *http.MaxBytesError
	switch {
	case err == nil, errors.Is(err, http.ErrNotMultipart):
		return nil
	case errors.As(err, &tooLarge):
		return err
	}
	return errors.Join(errHalfSent, err)
}

// sentField is one field of the form as it was sent.
type sentField struct{ Name, Value string }

// sent are the fields of the form, to send them again: what was typed is not
// lost because the server could not keep it. A form with a PIN has none.
func (q *request) sent() []sentField {
	var out []sentField
	for _, name := range slices.Sorted(maps.Keys(q.PostForm)) {
		if name == "pin" || name == "code" {
			return nil
		}
		for _, v := range q.PostForm[name] {
			out = append(out, sentField{name, v})
		}
	}
	return out
}
