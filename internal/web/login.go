// SPDX-License-Identifier: Apache-2.0

package web

import (
	"crypto/subtle"
	"errors"
	"net/http"
	"slices"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// loginView is the log-in page.
type loginView struct {
	People  []shop.Person
	Chosen  string
	Next    string
	Problem string
	Empty   bool // nobody is in the workshop yet: the set-up code is asked for
	Demo    []DemoPerson
}

func (s *server) loginPage(q *request) error {
	return s.showLogin(q, http.StatusOK, loginView{Chosen: q.value("person"), Next: q.value("next")})
}

func (s *server) showLogin(q *request, status int, v loginView) error {
	people, err := s.shop.People(q.Context())
	if err != nil {
		return err
	}
	v.People = slices.DeleteFunc(people, func(p shop.Person) bool { return p.Left })
	v.Empty, v.Demo = len(v.People) == 0, s.opt.Demo
	title := "Log in"
	if v.Empty {
		title = "Set up the workshop"
	}
	return q.page(status, frame{Title: title}, loginBody(v))
}

func (s *server) login(q *request) error {
	p, err := s.shop.CheckPIN(q.Context(), q.value("person"), q.value("pin"))
	v := loginView{Chosen: q.value("person"), Next: q.value("next")}
	switch {
	case errors.Is(err, shop.ErrWrongPIN):
		v.Problem = "Name and PIN do not belong together. Try again; after " + count(shop.MaxFailures) + " wrong PINs a manager has to unlock the name."
	case errors.Is(err, shop.ErrLockedOut):
		v.Problem = "This name is locked after too many wrong PINs. A manager can unlock it under People."
	case errors.Is(err, shop.ErrTooSoon):
		v.Problem = "That was too soon after a wrong PIN. Wait a few seconds, then try again."
	case err != nil:
		return err
	}
	if v.Problem != "" {
		return s.showLogin(q, http.StatusUnauthorized, v)
	}
	if err := q.enter(p); err != nil {
		return err
	}
	return q.see(local(v.Next))
}

// local is a path within these pages, the list of jobs for anything else.
func local(path string) string {
	if !strings.HasPrefix(path, "/") || strings.HasPrefix(path, "//") || strings.ContainsAny(path, "\\\r\n") {
		return "/"
	}
	return path
}

// setUp lets the first manager in with the code that the server printed.
func (s *server) setUp(q *request) error {
	people, err := s.shop.People(q.Context())
	if err != nil {
		return err
	}
	code := strings.ToUpper(q.value("code"))
	if len(people) > 0 || s.opt.SetUpCode == "" || subtle.ConstantTimeCompare([]byte(code), []byte(s.opt.SetUpCode)) != 1 {
		return s.showLogin(q, http.StatusUnauthorized, loginView{Problem: "The set-up code is not the one that the server printed when it started. Read it there again."})
	}
	n := shop.NewPerson{ID: "p-1", Name: q.value("name"), Role: job.Manager, PIN: q.value("pin")}
	if err := s.shop.AddPerson(q.Context(), n.ID, n); err != nil {
		return s.showLogin(q, http.StatusUnprocessableEntity, loginView{Problem: sentence(plainError(err))})
	}
	p, err := s.shop.Person(q.Context(), n.ID)
	if err != nil {
		return err
	}
	if err := q.enter(p); err != nil {
		return err
	}
	return q.see("/")
}

func (s *server) logout(q *request) error {
	if err := q.leave(); err != nil {
		return err
	}
	return q.see("/login")
}

// personPage offers those who gave their PIN on this tablet today; everybody
// else gives it.
func (s *server) personPage(q *request) error {
	return q.page(http.StatusOK, frame{Title: "Change person"}, personBody(q.session.people(), q.person, local(q.value("next"))))
}

func (s *server) changePerson(q *request) error {
	for _, k := range q.session.people() {
		if k.ID != q.value("person") {
			continue
		}
		q.session.Now = k.ID
		if err := q.save(q.session); err != nil {
			return err
		}
		return q.see(local(q.value("next")))
	}
	return q.see("/login?person=" + queryEscape(q.value("person")) + "&next=" + queryEscape(local(q.value("next"))))
}
