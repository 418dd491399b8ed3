// SPDX-License-Identifier: Apache-2.0

package web

import (
	"cmp"
	"net/http"
	"slices"
	"time"

	"witnessmark/internal/job"
)

// presence is somebody at a position now. It is kept in memory alone: it is no
// fact about the engine.
type presence struct {
	job      string
	heard    time.Time
	Page     string `json:"page"` // one page in one tab
	Person   string `json:"person"`
	Name     string `json:"name"`
	Position int    `json:"position"`
	Phase    string `json:"phase"`
}

// silence is after how long without a word somebody is taken to have gone.
const silence = 30 * time.Second

// maxHere bounds what pages may fill the memory with.
const maxHere = 2000

// hear notes that somebody is at a position.
func (l *live) hear(p presence) {
	l.mu.Lock()
	defer l.mu.Unlock()
	p.heard = l.now()
	old, known := l.here[p.Page]
	if !known && len(l.here) >= maxHere {
		return
	}
	l.here[p.Page] = p
	if !known || old.Position != p.Position || old.Phase != p.Phase || old.Person != p.Person || old.job != p.job {
		l.wakeAll()
	}
}

// gone notes that a page was left.
func (l *live) gone(page string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if _, known := l.here[page]; known {
		delete(l.here, page)
		l.wakeAll()
	}
}

// lapse forgets those who fell silent and reports whether there were any.
func (l *live) lapse() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	n := len(l.here)
	for page, p := range l.here {
		if l.now().Sub(p.heard) > silence {
			delete(l.here, page)
		}
	}
	return len(l.here) < n
}

// at lists who is where on a job, by position and name.
func (l *live) at(jobID string) []presence {
	l.mu.Lock()
	defer l.mu.Unlock()
	out := []presence{}
	for _, p := range l.here {
		if p.job == jobID && l.now().Sub(p.heard) <= silence {
			out = append(out, p)
		}
	}
	slices.SortFunc(out, func(a, b presence) int {
		return cmp.Or(a.Position-b.Position, cmp.Compare(a.Name, b.Name), cmp.Compare(a.Page, b.Page))
	})
	return out
}

// here is how a position page says that somebody is at it, or was.
func (s *server) here(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	page := q.value("page")
	switch {
	case page == "" || len(page) > 64:
		return errNotFound
	case q.checked("gone"):
		s.live.gone(page)
	default:
		if _, ok := l.Assessment.Position(q.number("position")); !ok {
			return errNotFound
		}
		phase := job.AsFitted
		if q.value("phase") == job.AsFound {
			phase = job.AsFound
		}
		s.live.hear(presence{job: l.ID, Page: page, Person: q.person.ID, Name: q.person.Name, Position: q.number("position"), Phase: phase})
	}
	q.w.WriteHeader(http.StatusNoContent)
	return nil
}
