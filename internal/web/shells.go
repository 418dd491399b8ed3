// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"strconv"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// shellsView is the entry of the shells that go in at one position.
type shellsView struct {
	formView
	Asked      []job.PhotoAsk
	Chosen     string // by the choice of shells that was adopted
	Position   job.PositionView
	Prev, Next int
	Missing    []string // of the last entry
}

// lookedAt are the boxes of a shell fitted, in the order of the hands.
var lookedAt = []option{
	{"own_rod_cap", "own rod and own cap"}, {"marks", "marks face each other, as they came"}, {"tangs", "tangs seated in their notches"},
	{"not_swapped", "upper above, lower below"}, {"oil_holes", "oil holes aligned"}, {"backs_dry", "backs and bores clean and dry"},
	{"lubricated", "running faces and bolts lubricated"},
}

func (s *server) shellsPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showShells(q, http.StatusOK, l, "")
}

func (s *server) showShells(q *request, status int, l *shop.Loaded, problem string) error {
	n := q.number("position")
	view := l.View()
	v := shellsView{formView: q.form(l)}
	v.Problem, v.Asked = problem, l.PhotosAsked("shell_fitted", n)
	for i, p := range view.Positions {
		if p.Position == n {
			v.Position, v.Prev, v.Next = p, neighbour(view, i-1), neighbour(view, i+1)
		}
	}
	if v.Position.Position == 0 {
		return errNotFound
	}
	v.prefill(l, q.Method == http.MethodPost)
	return q.showForm(status, l, "Shells "+strconv.Itoa(n), "Assemble", shellsBody(v))
}

// prefill offers what is fitted here, and the product, part and batch that
// were named last: they are the same for a whole set.
func (v *shellsView) prefill(l *shop.Loaded, typed bool) {
	if typed {
		return
	}
	for _, p := range l.State.Positions {
		if p.Shells == nil {
			continue
		}
		b := p.Shells.Body
		v.Typed["lubricant"], v.Typed["upper_part"], v.Typed["lower_part"] = b.Lubricant, b.Upper.Part, b.Lower.Part
		v.Typed["upper_batch"], v.Typed["lower_batch"] = b.Upper.Batch, b.Lower.Batch
	}
	if c := l.State.Pairing; c != nil {
		if f, ok := c.Body.For(v.Position.Position); ok {
			v.Chosen = "Chosen for this position: upper " + f.Upper.ID + ", lower " + f.Lower.ID + "."
			v.Typed["upper_id"], v.Typed["upper_part"], v.Typed["upper_batch"] = f.Upper.ID, f.Upper.Part, f.Upper.Batch
			v.Typed["lower_id"], v.Typed["lower_part"], v.Typed["lower_batch"] = f.Lower.ID, f.Lower.Part, f.Lower.Batch
			if p := l.State.Positions[v.Position.Position]; p == nil || p.Shells == nil || p.Shells.At.Seq < c.At.Seq {
				return
			}
		}
	}
	if p := l.State.Positions[v.Position.Position]; p != nil && p.Shells != nil {
		b := p.Shells.Body
		v.Typed["upper_id"], v.Typed["lower_id"], v.Missing = b.Upper.ID, b.Lower.ID, b.Missing()
	}
}

func (s *server) keepShells(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.ShellFitted{Position: q.number("position"),
		Upper:     job.Shell{ID: q.value("upper_id"), Part: q.value("upper_part"), Batch: q.value("upper_batch")},
		Lower:     job.Shell{ID: q.value("lower_id"), Part: q.value("lower_part"), Batch: q.value("lower_batch")},
		OwnRodCap: q.checked("own_rod_cap"), Marks: q.checked("marks"), Tangs: q.checked("tangs"), NotSwapped: q.checked("not_swapped"),
		OilHoles: q.checked("oil_holes"), BacksDry: q.checked("backs_dry"), Lubricated: q.checked("lubricated"), Lubricant: q.value("lubricant"),
		Remark: q.value("remark"), RefittedOld: q.checked("refitted_old")}
	return q.submit(l, "shell_fitted", body, nil, nextShells(l, body.Position), func(status int, problem string) error {
		return s.showShells(q, status, l, problem)
	})
}

// nextShells is the next position without shells as the throws come round,
// else the bolts.
func nextShells(l *shop.Loaded, from int) string {
	if l.Basis.Sheet != nil {
		for _, n := range l.Basis.Sheet.AccessOrder() {
			if p := l.State.Positions[n]; n != from && (p == nil || p.Shells == nil) {
				return jobPath(l.ID) + "/shells/" + strconv.Itoa(n)
			}
		}
	}
	return jobPath(l.ID) + "/bolts"
}
