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
	Job    string
	Clamps []job.ClampView
}

func (s *server) clampPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	if l.Basis.Sheet == nil {
		return q.see(jobPath(l.ID) + "/sheet")
	}
	return q.showForm(http.StatusOK, l, "Clamp load", "Assemble", clampBody(clampPageView{l.ID, l.View().Clamps}))
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
