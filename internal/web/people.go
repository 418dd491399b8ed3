// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// peopleView is who works here.
type peopleView struct {
	formView
	Here  []personRow
	Left  []personRow
	Roles []option
	Alone bool // one person: concessions need the owner's signature
	Said  string
}

type personRow struct {
	shop.Person
	Locked bool
	Self   bool
	Key    formKey
}

// roleWords say what a role may do.
var roleWords = []option{
	{job.Technician, "technician: does and records the work"},
	{job.Inspector, "inspector: may also concede and test tools"},
	{job.Office, "office: arrival, notes, old parts, follow-up"},
	{job.Manager, "manager: everything, people and tools too"},
}

var peopleSaid = map[string]string{"added": "Added. Name and PIN go together at the next log-in.", "pin": "The new PIN holds from now on.",
	"changed": "Changed. It counts from now on; the record keeps what was before.", "erased": "The name is erased. The entries stay, under the id.",
	"unlocked": "Unlocked. The next try may be made now.", "left": "Can’t log in any more. What they recorded stays."}

func (s *server) peoplePage(q *request) error { return s.showPeople(q, http.StatusOK, "") }

func (s *server) showPeople(q *request, status int, problem string) error {
	people, err := s.shop.People(q.Context())
	if err != nil {
		return err
	}
	w, err := s.shop.Workshop(q.Context())
	if err != nil {
		return err
	}
	v := peopleView{formView: q.oneOf(nil, "person"), Roles: roleWords, Alone: w.One(), Said: peopleSaid[q.URL.Query().Get("said")]}
	v.Problem = problem
	for _, p := range people {
		row := personRow{Person: p, Self: p.ID == q.person.ID, Key: q.newKey()}
		if p.Left {
			v.Left = append(v.Left, row)
			continue
		}
		if row.Locked, err = s.shop.Locked(q.Context(), p.ID); err != nil {
			return err
		}
		v.Here = append(v.Here, row)
	}
	return q.page(status, frame{Title: "People"}, peopleBody(v))
}

func (s *server) addPerson(q *request) error {
	id, err := s.shop.FreePerson(q.Context())
	if err != nil {
		return err
	}
	p := shop.NewPerson{ID: id, Name: q.value("name"), Role: q.value("role"), PIN: q.value("pin")}
	return s.peopleDone(q, s.shop.AddPerson(q.Context(), q.person.ID, p), "added")
}

// peopleDone goes back to the list, or shows what was wrong.
func (s *server) peopleDone(q *request, err error, said string) error {
	if err != nil {
		return q.again(err, func(status int, problem string) error { return s.showPeople(q, status, problem) })
	}
	return q.see("/people?said=" + said)
}

// somebody is the person of the path.
func (s *server) somebody(q *request) (shop.Person, error) {
	p, err := s.shop.Person(q.Context(), q.PathValue("person"))
	if err != nil {
		return p, errNotFound
	}
	return p, nil
}

func (s *server) newPIN(q *request) error {
	p, err := s.somebody(q)
	if err != nil {
		return err
	}
	return s.peopleDone(q, s.shop.SetPIN(q.Context(), p.ID, q.value("pin")), "pin")
}

func (s *server) unlock(q *request) error {
	p, err := s.somebody(q)
	if err != nil {
		return err
	}
	return s.peopleDone(q, s.shop.Unlock(q.Context(), p.ID), "unlocked")
}

// personChanged gives somebody another name or role.
func (s *server) personChanged(q *request) error {
	p, err := s.somebody(q)
	if err != nil {
		return err
	}
	return s.peopleDone(q, s.shop.ChangePerson(q.Context(), q.person.ID, q.value("id"), p.ID, q.value("name"), q.value("role")), "changed")
}

// personErased erases the name of somebody who has left.
func (s *server) personErased(q *request) error {
	err := s.shop.ErasePerson(q.Context(), q.person.ID, q.value("id"), q.PathValue("person"), q.value("reason"))
	return s.peopleDone(q, err, "erased")
}

// personLeft ends somebody's access.
func (s *server) personLeft(q *request) error {
	p, err := s.somebody(q)
	if err != nil {
		return err
	}
	return s.peopleDone(q, s.shop.Leaves(q.Context(), q.person.ID, q.value("id"), p.ID), "left")
}
