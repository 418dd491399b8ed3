// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"strconv"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// concedeView is the form with which an obstacle is let stand.
type concedeView struct {
	formView
	Obstacle job.ObstacleView
	One      bool   // one person: the owner signs, and it prints that nobody else looked
	Able     string // why this person's concession would not count; empty when it would
}

func (s *server) concedePage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showConcede(q, http.StatusOK, l, "")
}

func (s *server) showConcede(q *request, status int, l *shop.Loaded, problem string) error {
	if q.value("obstacle") == "" {
		return q.showForm(status, l, "Concession", "", concedeList(l.ID, inTheWay(l)))
	}
	o, ok := findObstacle(l, q.value("obstacle"))
	if !ok {
		return errNotFound
	}
	v := concedeView{formView: q.form(l), Obstacle: o, One: l.Basis.Workshop.One()}
	v.Problem, v.Key.Saw = problem, saw(l)
	if q.Method == http.MethodPost {
		v.Key.Saw = q.value("saw")
	}
	if !v.One && q.person.Role != job.Inspector && q.person.Role != job.Manager {
		v.Able = "A concession comes from an inspector or a manager who did not do the work. Change the person at the top."
	}
	return q.showForm(status, l, "Concession", "", concedeBody(v))
}

// inTheWay lists every obstacle on its own, to choose the one to let stand.
func inTheWay(l *shop.Loaded) []job.ObstacleView {
	var out []job.ObstacleView
	for _, o := range l.Assessment.Standing(job.Handover) {
		if w := l.Words(o); w.Concedable {
			out = append(out, w)
		}
	}
	return out
}

// findObstacle looks for one that still stands, by its key.
func findObstacle(l *shop.Loaded, key string) (job.ObstacleView, bool) {
	for _, o := range l.Assessment.Obstacles {
		if o.Key == key {
			return l.Words(o), true
		}
	}
	return job.ObstacleView{}, false
}

func (s *server) keepConcession(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	if err := shop.May(q.person.Role, "concession"); err != nil {
		return err
	}
	seen, _ := strconv.ParseInt(q.value("saw"), 10, 64)
	_, err = s.shop.Concede(q.Context(), q.person.ID, shop.Concession{ID: q.value("id"), Job: l.ID, Obstacle: q.value("obstacle"),
		Reason: q.value("reason"), Signature: q.value("signature"), Saw: seen})
	if err == nil {
		return q.see(jobPath(l.ID))
	}
	if t := troubleOf(err); t.Status == http.StatusUnprocessableEntity && !q.wantsJSON() {
		return s.showConcede(q, t.Status, l, t.Detail)
	}
	return err
}
