// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// noteView is the form for a note, with the notes still open.
type noteView struct {
	formView
	Positions []job.PositionView
	Open      []openNote
	Asked     []job.PhotoAsk
}

type openNote struct {
	Seq   int64
	Words string
	Key   formKey
}

func (s *server) notePage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showNote(q, http.StatusOK, l, "")
}

func (s *server) showNote(q *request, status int, l *shop.Loaded, problem string) error {
	v := noteView{formView: q.form(l), Positions: l.View().Positions}
	v.Problem, v.Asked = problem, l.PhotosAsked("note", 0)
	for _, n := range l.State.Notes {
		if !n.Body.Open || n.Resolved != nil {
			continue
		}
		words, err := s.shop.Words(q.Context(), n.Body.Commitment)
		if err != nil {
			return err
		}
		v.Open = append(v.Open, openNote{Seq: n.At.Seq, Words: words, Key: q.newKey()})
	}
	return q.showForm(status, l, "Note", "", noteBody(v))
}

func (s *server) keepNote(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	if err := shop.May(q.person.Role, "note"); err != nil {
		return err
	}
	photos, err := q.photos()
	if err == nil {
		_, err = s.shop.AddNote(q.Context(), q.person.ID, l.ID, q.value("id"), job.Note{Open: q.checked("open"), Position: q.number("position")}, q.FormValue("words"), photos...)
	}
	if err == nil {
		return q.see(jobPath(l.ID) + "/record")
	}
	if t := troubleOf(err); t.Status == http.StatusUnprocessableEntity && !q.wantsJSON() {
		return s.showNote(q, t.Status, l, t.Detail)
	}
	return err
}

func (s *server) resolveNote(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.NoteResolved{Note: int64(q.number("note")), How: q.value("how")}
	return q.submit(l, "note_resolved", body, nil, jobPath(l.ID)+"/note", func(status int, problem string) error {
		return s.showNote(q, status, l, problem)
	})
}
