// SPDX-License-Identifier: Apache-2.0

package web

import (
	"strconv"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// roughView is the roughness of the surface that a part's grid belongs to.
type roughView struct {
	Of     string // journal or shell; empty: the part has no running surface
	Title  string
	Hint   string
	Known  []string
	Gauges []option
	Key    formKey
}

// traces is how many readings the form offers.
const roughTraces = 3

// surfaceOf is the running surface of a part.
func surfaceOf(part string) string {
	switch part {
	case job.OfJournal:
		return job.SurfaceJournal
	case job.OfUpperWall, job.OfLowerWall, job.OfShellBore:
		return job.SurfaceShell
	}
	return ""
}

func (v *measureView) roughness(l *shop.Loaded) {
	v.Rough = roughView{Of: surfaceOf(v.Of), Title: "Roughness of the journal", Hint: "Along the axis, clear of oil hole and fillets, where the oil film is thinnest."}
	switch v.Rough.Of {
	case "":
		return
	case job.SurfaceShell:
		v.Rough.Title, v.Rough.Hint = "Roughness of the shells", "Along the axis, on the running surface near the crown. Shells that go in count from when they are fitted on record."
	}
	v.Rough.Known = job.RoughnessWords(l.State, l.Basis, v.Rough.Of, v.Position.Position)
	for _, id := range allTools(l.Basis.Tools) {
		if t := l.Basis.Tools[id]; t.Retired == nil && t.Kind == job.RoughnessGauge {
			v.Rough.Gauges = append(v.Rough.Gauges, option{id, id + " · " + t.Title})
		}
	}
	if v.Typed["parameter"] == "" {
		v.Typed["parameter"] = job.RoughnessRa
	}
	if v.Typed["rough_phase"] == "" {
		v.Typed["rough_phase"] = v.Typed["phase"]
	}
}

// keepRoughness keeps the traces of one surface as one entry.
func (s *server) keepRoughness(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	part := q.value("of")
	b := job.RoughnessRead{Of: surfaceOf(part), Phase: q.value("rough_phase"), Position: q.number("position"), Parameter: q.value("parameter"), Gauge: q.value("rough_gauge")}
	if b.Of == "" {
		return errNotFound
	}
	for i := range roughTraces {
		var v *units.Read
		if v, err = q.read(roughName(i), units.KindLength, units.UnitMicrometre); err != nil {
			break
		}
		if v != nil {
			b.Values = append(b.Values, *v)
		}
	}
	return q.submit(l, "roughness_read", b, err, measurePath(l.ID, b.Position, part), func(status int, problem string) error {
		return s.showMeasure(q, status, l, problem, nil)
	})
}

func roughName(i int) string { return "trace_" + strconv.Itoa(i) }

func ordinal(i int) string { return []string{"1st", "2nd", "3rd"}[i] }
