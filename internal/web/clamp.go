// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// clampPageView is the clamp load of every fastener that the sheet knows
// enough of, and the joint at speed.
type clampPageView struct {
	Job     string
	Seq     string // of what was kept last
	Kept    string
	Problem string
	Clamps  []job.ClampView
	Lengths lengthView
}

func (s *server) clampPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showClamp(q, http.StatusOK, l, "")
}

func (s *server) showClamp(q *request, status int, l *shop.Loaded, problem string) error {
	if l.Basis.Sheet == nil {
		return q.see(jobPath(l.ID) + "/sheet")
	}
	view := l.View()
	v := clampPageView{Job: l.ID, Seq: q.URL.Query().Get("kept"), Kept: q.lastKept(l), Problem: problem, Clamps: view.Clamps}
	v.Lengths = s.lengthView(q, l, view.Stretches)
	return q.showForm(status, l, "Clamp load", "Assemble", clampBody(v))
}

// clampsAt are the clamp loads of the rod's bolts by position, in a few words.
func clampsAt(l *shop.Loaded) map[int]job.ClampPlace {
	out := map[int]job.ClampPlace{}
	for _, c := range l.View().Clamps {
		for _, p := range c.Places {
			if p.Position != 0 && p.Short != "" && out[p.Position].Short == "" {
				out[p.Position] = p
			}
		}
	}
	return out
}
