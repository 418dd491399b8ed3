// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// closeView is the last look inside before the engine is closed.
type closeView struct {
	formView
	Done    string   // what is on record
	Missing []string // of it
	Check   job.CheckView
}

// lookedFor are the boxes of the last look, in the order of the eyes.
var lookedFor = []option{
	{"nothing_left", "nothing left inside"}, {"tools_counted", "tools counted, all back"},
	{"rags_counted", "rags counted, all back"}, {"passages_clear", "passages open and oiled"},
}

func (s *server) closePage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showClose(q, http.StatusOK, l, "")
}

func (s *server) showClose(q *request, status int, l *shop.Loaded, problem string) error {
	v := closeView{formView: q.form(l), Check: l.View().Checks[0]}
	v.Problem = problem
	if k := l.State.LastLook; k != nil {
		v.Done, v.Missing = saidAt(l, k.At.Seq), k.Body.Missing()
	}
	return q.showForm(status, l, "Last look", "Assemble", closeBody(v))
}

func (s *server) keepClose(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.LastLook{NothingLeft: q.checked("nothing_left"), ToolsCounted: q.checked("tools_counted"), RagsCounted: q.checked("rags_counted"),
		PassagesClear: q.checked("passages_clear"), Remark: q.value("remark")}
	next := jobPath(l.ID) + "/run"
	if len(body.Missing()) > 0 {
		next = jobPath(l.ID) + "/close"
	}
	return q.submit(l, "last_look", body, nil, next, func(status int, problem string) error {
		return s.showClose(q, status, l, problem)
	})
}
