// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"strings"

	"github.com/a-h/templ"

	"witnessmark/internal/shop"
	"witnessmark/units"
)

// formView is what every form of a job shows: its key, what was typed, and
// what was wrong with it.
type formView struct {
	Job     string
	Key     formKey
	Typed   map[string]string
	Many    map[string][]string
	Problem string
	Kept    string // what was kept last
}

// form starts a form's view.
func (q *request) form(l *shop.Loaded) formView {
	f := formView{Job: l.ID, Key: q.newKey(), Typed: map[string]string{}, Many: map[string][]string{}, Kept: q.lastKept(l)}
	if q.Method == http.MethodPost {
		f.Typed, f.Many, f.Key.ID = q.typed(), q.Form, q.value("id")
	}
	return f
}

// lastKept says what the entry in ?kept= says.
func (q *request) lastKept(l *shop.Loaded) string {
	seq := q.URL.Query().Get("kept")
	if seq == "" {
		return ""
	}
	for _, line := range l.Record() {
		if count(int(line.Seq)) == seq {
			return line.Words
		}
	}
	return ""
}

// read is a quantity of the form; nil when the field is empty.
func (q *request) read(name string, kind units.Kind, assumed units.Unit) (*units.Read, error) {
	text := q.value(name)
	if text == "" {
		return nil, nil
	}
	r, err := units.Parse(kind, text, assumed)
	if err != nil {
		return nil, err
	}
	return &r, nil
}

// submit keeps an entry and goes on; what can't be understood comes back on
// the same page with what was typed. render shows that page.
func (q *request) submit(l *shop.Loaded, kind string, body any, err error, next string, render func(status int, problem string) error) error {
	if err == nil {
		e, _, appendErr := q.append(l.Subject, kind, body)
		if appendErr == nil {
			return q.see(withKept(next, e.Seq))
		}
		err = appendErr
	} else {
		err = &shop.Refusal{Cause: err}
	}
	t := troubleOf(err)
	if t.Status != http.StatusUnprocessableEntity || q.wantsJSON() {
		return err
	}
	return render(t.Status, t.Detail+" "+t.Next)
}

// withKept adds what was kept to the page that comes next, before the place on
// it.
func withKept(path string, seq int64) string {
	path, place, has := strings.Cut(path, "#")
	sep := "?"
	if strings.Contains(path, "?") {
		sep = "&"
	}
	path += sep + "kept=" + count(int(seq))
	if has {
		path += "#" + place
	}
	return path
}

// showForm renders a form's page inside its job.
func (q *request) showForm(status int, l *shop.Loaded, title, here string, body templ.Component) error {
	return q.page(status, jobFrame(l, title, here), body)
}
