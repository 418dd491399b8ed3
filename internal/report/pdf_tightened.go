// SPDX-License-Identifier: Apache-2.0

package report

import (
	"slices"
	"strings"

	"witnessmark/internal/draw"
	"witnessmark/internal/job"
)

// boltRow is one place, or several of a position that were tightened alike.
type boltRow struct {
	job.TighteningView
	places []string
}

// alike reports whether what was done to two bolts reads the same.
func (b boltRow) alike(t job.TighteningView) bool {
	at, _, _ := strings.Cut(b.Place, ", bolt ")
	other, _, bolts := strings.Cut(t.Place, ", bolt ")
	return bolts && at == other && b.Fastener == t.Fastener && b.Set == t.Set && b.Words == t.Words && slices.Equal(b.Stages, t.Stages)
}

func (b boltRow) title() string {
	if len(b.places) == 1 {
		return capital(b.Place)
	}
	at, _, _ := strings.Cut(b.Place, ", bolt ")
	var names []string
	for _, p := range b.places {
		_, name, _ := strings.Cut(p, ", bolt ")
		names = append(names, name)
	}
	last := len(names) - 1
	return capital(at) + ", bolts " + strings.Join(names[:last], ", ") + " and " + names[last]
}

func boltRows(all []job.TighteningView) []boltRow {
	var out []boltRow
	for _, t := range all {
		if n := len(out); n > 0 && out[n-1].alike(t) {
			out[n-1].places = append(out[n-1].places, t.Place)
			continue
		}
		out = append(out, boltRow{t, []string{t.Place}})
	}
	return out
}

func (d Data) tightenedPart(p *paper) {
	if len(d.Tightenings) == 0 {
		return
	}
	p.heading("Tightening", 30)
	t := table{columns: []column{{title: "Place, bolts and state", width: 59}, {title: "Stage", width: 36}, {title: "Tool and by whom", weight: 1}, {title: "Received", width: 26}}}
	w := t.widths(p.width())
	fastener := ""
	for _, b := range boltRows(d.Tightenings) {
		if b.Fastener != fastener {
			fastener = b.Fastener
			t.rows = append(t.rows, row{band: fastener})
		}
		t.rows = append(t.rows, b.row(w))
	}
	p.table(t)
}

// row has the stages side by side with tool, person and time: each takes as
// many lines as its longest cell.
func (b boltRow) row(w []float64) row {
	state := verdict(b.Words, boltState(b.State))
	state[0].t = type_{size: sizeSmall, ink: state[0].t.ink}
	left := append(strongly(b.title()), softly(b.Set)...)
	r := row{cells: []cell{append(left, state...), nil, nil, nil}}
	if len(b.Stages) == 0 {
		r.cells[1] = softly("none on record")
	}
	for _, s := range b.Stages {
		texts := []string{s.Stage, strings.Join(filled(s.Tool, s.Person), ", "), s.Time}
		lines := make([][]string, len(texts))
		most := 0
		for i, x := range texts {
			lines[i] = wrap(x, w[i+1], small)
			most = max(most, len(lines[i]))
		}
		for i := range texts {
			ink := draw.InkSoft
			if i == 0 {
				ink = draw.InkText
			}
			for j := range most {
				line := " "
				if j < len(lines[i]) {
					line = lines[i][j]
				}
				r.cells[i+1] = append(r.cells[i+1], run{text: line, t: small.of(ink)})
			}
		}
	}
	return r
}

// boltState is the mark of a bolt's state: done, or still to do.
func boltState(state string) string {
	switch state {
	case job.BoltFinal:
		return draw.Fits
	case job.BoltMeasuring, job.BoltPartial:
		return draw.Unproven
	}
	return draw.Todo
}
