// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/a-h/templ"

	"witnessmark/internal/shop"
	"witnessmark/record"
)

// request is one request with who sent it.
type request struct {
	*http.Request
	server  *server
	w       http.ResponseWriter
	session *session
	person  shop.Person // zero when nobody is logged in
	change  int64       // the newest change before the job was loaded
}

var (
	errLogIn    = shop.ErrLogIn
	errNotFound = fmt.Errorf("there is no such page: %w", shop.ErrNotFound)
)

// admit refuses whom the route is not for.
func (q *request) admit(rt route) error {
	if rt.role == nil {
		return nil
	}
	if q.person.ID == "" {
		return errLogIn
	}
	if !rt.role.admits(q.person.Role) {
		return &shop.ErrNotAllowed{Role: q.person.Role, What: "this page"}
	}
	return nil
}

// page renders a component inside the frame.
func (q *request) page(status int, f frame, body templ.Component) error {
	f.Person, f.Path, f.SignedIn, f.Change = q.person, q.URL.RequestURI(), q.session.people(), q.change
	q.w.Header().Set("Content-Type", "text/html; charset=utf-8")
	q.w.WriteHeader(status)
	return layout(f, body).Render(q.Context(), q.w)
}

// wantsJSON reports whether a script asks, which goes on by itself.
func (q *request) wantsJSON() bool {
	return strings.Contains(q.Header.Get("Accept"), "application/json")
}

// see sends the browser to another page after a post.
func (q *request) see(path string) error {
	if q.wantsJSON() {
		return q.json(http.StatusOK, map[string]string{"location": path})
	}
	http.Redirect(q.w, q.Request, path, http.StatusSeeOther)
	return nil
}

// value is a field of the form without the blanks around it.
func (q *request) value(name string) string { return strings.TrimSpace(q.FormValue(name)) }

// checked reports whether a box was ticked.
func (q *request) checked(name string) bool { return q.FormValue(name) != "" }

// number is a whole number of the form or path; 0 when it is none.
func (q *request) number(name string) int {
	text := q.PathValue(name)
	if text == "" {
		text = q.value(name)
	}
	n, _ := strconv.Atoi(text)
	return n
}

// job loads the job that the path names.
func (q *request) job() (*shop.Loaded, error) {
	l, err := q.server.shop.Job(q.Context(), q.PathValue("job"))
	if errors.Is(err, shop.ErrNotFound) {
		return nil, errNotFound
	}
	if err != nil {
		return nil, err
	}
	q.change = l.Change // whatever comes after it, the page hears of
	return l, nil
}

// append appends one entry of a form: its id makes sending it twice count
// once, its device time is the tablet's.
func (q *request) append(subject, kind string, body any) (record.Entry, bool, error) {
	if err := shop.May(q.person.Role, kind); err != nil {
		return record.Entry{}, false, err
	}
	in := shop.Input{ID: q.value("id"), Subject: subject, Kind: kind, Body: body, DeviceTime: q.deviceTime()}
	if saw, err := strconv.ParseInt(q.value("saw"), 10, 64); err == nil {
		in.Saw = saw
	}
	var err error
	if in.Photos, err = q.photos(); err != nil {
		return record.Entry{}, false, err
	}
	return q.server.shop.Append(q.Context(), q.person.ID, in)
}

// deviceTime is when the tablet says that the entry was made.
func (q *request) deviceTime() time.Time {
	t, err := time.Parse(time.RFC3339, q.value("device_time"))
	if err != nil {
		return time.Time{}
	}
	return t
}

// saw is for kinds that name what was seen.
func saw(l *shop.Loaded) string { return strconv.FormatInt(l.State.Size, 10) }

// jobFrame is the frame of a page about a job.
func jobFrame(l *shop.Loaded, title, here string) frame {
	v := l.View()
	return frame{Title: title + " · Job " + v.Number, Job: &v, JobID: l.ID, Here: here, Notices: v.Notices}
}
