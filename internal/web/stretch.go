// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// lengthView is the lengths of bolts: what is on record, and the entry.
type lengthView struct {
	Form   formView
	Rows   []job.StretchView
	Limits []string // what the sheet allows, by fastener
	Places []option
	Sets   []option
	Tools  []toolChoice
	Unit   string
}

func (s *server) lengthView(q *request, l *shop.Loaded, rows []job.StretchView) lengthView {
	v := lengthView{Form: q.oneOf(l, "length"), Rows: rows, Tools: toolChoices(l, s.today(), "micrometer", "stretch_gauge", "dial_indicator", "depth_gauge", "other"),
		Unit: unitOf(l, units.KindLength).Symbol}
	known := map[string]bool{}
	for _, f := range l.Basis.Sheet.Fasteners {
		if w := job.LengthAllowed(f); w != "" {
			v.Limits = append(v.Limits, f.Title+": "+w+".")
		}
		for _, p := range job.PlacesOf(l.Basis, f) {
			words := f.Title + ", bolt " + p.Bolt
			switch {
			case p.Position != 0:
				words = f.Title + ", position " + l.Basis.Namer()(p.Position) + ", bolt " + p.Bolt
			case p.Bolt == job.AllBolts:
				words = f.Title
			}
			v.Places = append(v.Places, option{f.ID + "/" + place(p), words})
		}
		for _, tightening := range []string{job.Final, job.Measuring} {
			for _, o := range setOptions(l, f, tightening) {
				if !known[o.Code] {
					known[o.Code], v.Sets = true, append(v.Sets, option{o.Code, setWords(o.Code, false)})
				}
			}
		}
	}
	if v.Form.Typed["set"] == "" {
		if last, ok := job.LastTightened(l.State, l.Basis, "", ""); ok {
			v.Form.Typed["set"] = last.Set
		}
	}
	return v
}

// keepLength keeps the lengths of one bolt.
func (s *server) keepLength(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body, err := q.boltLength(l)
	return q.submit(l, "bolt_length", body, err, jobPath(l.ID)+"/clamp#lengths", func(status int, problem string) error {
		return s.showClamp(q, status, l, problem)
	})
}

func (q *request) boltLength(l *shop.Loaded) (job.BoltLength, error) {
	fastener, at, _ := strings.Cut(q.value("bolt"), "/")
	n, bolt, ok := cut(at)
	if !ok {
		return job.BoltLength{}, fmt.Errorf("%q names no bolt: choose one", q.value("bolt"))
	}
	body := job.BoltLength{Fastener: fastener, Bolt: bolt, Set: q.value("set"), Gauge: q.value("gauge"), Remark: q.value("remark")}
	if _, err := fmt.Sscan(n, &body.Position); err != nil {
		return body, fmt.Errorf("%q names no position: choose a bolt", n)
	}
	var err error
	for name, into := range map[string]**units.Read{"new": &body.New, "before": &body.Before, "tight": &body.Tight, "after": &body.After, "u": &body.U} {
		r, readErr := q.read(name, units.KindLength, unitOf(l, units.KindLength))
		if *into = r; readErr != nil {
			err = readErr
		}
	}
	return body, err
}
