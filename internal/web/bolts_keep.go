// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"strconv"
	"strings"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// cut splits "4:a" into position and bolt.
func cut(place string) (position, bolt string, ok bool) { return strings.Cut(place, ":") }

// places are the bolts that a button stands for.
func (q *request) places() ([]job.BoltAt, error) {
	if q.Form == nil {
		q.FormValue("")
	}
	var out []job.BoltAt
	for _, p := range strings.Split(strings.Join(q.Form["at"], ","), ",") {
		n, bolt, ok := cut(p)
		position, err := strconv.Atoi(n)
		if !ok || err != nil {
			return nil, fmt.Errorf("%q names no bolt: write position and bolt, such as 4:a", p)
		}
		out = append(out, job.BoltAt{Position: position, Bolt: bolt})
	}
	return out, nil
}

// keepStage keeps one stage on all the bolts of a button.
func (s *server) keepStage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	bolts, err := q.places()
	if err != nil {
		return &shop.Refusal{Cause: err}
	}
	body := job.StageDone{Fastener: q.value("fastener"), Tightening: q.value("tightening"), Stage: q.value("stage"), Bolts: bolts,
		Set: q.value("set"), Tool: q.value("tool"), Remark: q.value("remark")}
	body.Value, err = q.stageValue(l, body)
	return s.keepBolts(q, l, "stage_done", body, err, "bolts")
}

// stageValue is what the tool showed, in the unit that the stage is controlled
// by.
func (q *request) stageValue(l *shop.Loaded, body job.StageDone) (*units.Read, error) {
	if l.Basis.Sheet == nil {
		return nil, nil
	}
	f, _ := l.Basis.Sheet.Fastener(body.Fastener)
	st, _ := f.Stage(body.Stage)
	kind := map[engine.StageKind]units.Kind{engine.ByAngle: units.KindAngle, engine.ByStretch: units.KindLength}[st.Kind]
	if kind == "" {
		kind = units.KindTorque
	}
	return q.read("value", kind, unitOf(l, kind))
}

func (s *server) keepLoosened(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	bolts, err := q.places()
	body := job.Loosened{Fastener: q.value("fastener"), Bolts: bolts, Why: q.value("why")}
	return s.keepBolts(q, l, "fastener_loosened", body, err, "bolts")
}

func (s *server) keepWitness(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	bolts, err := q.places()
	return s.keepBolts(q, l, "witness_seen", job.WitnessSeen{Fastener: q.value("fastener"), Bolts: bolts}, err, "witness")
}

// keepBolts keeps an entry about bolts and goes on where the hands are: at the
// position touched, or at the fastener, with the choice as it was.
func (s *server) keepBolts(q *request, l *shop.Loaded, kind string, body any, err error, anchor string) error {
	render := func(status int, problem string) error { return s.showBolts(q, status, l, problem) }
	if err != nil {
		return q.again(&shop.Refusal{Cause: err}, render)
	}
	e, _, err := q.append(l.Subject, kind, body)
	if err != nil {
		return q.again(err, render)
	}
	if f, ok := l.Basis.Sheet.RodBolts(); !ok || f.ID != q.value("fastener") {
		anchor = "fastener-" + q.value("fastener")
	}
	next := jobPath(l.ID) + "/bolts"
	if c := q.value("choice"); c != "" {
		next += "?" + c
	}
	return q.see(withKept(next, e.Seq) + "#" + anchor)
}
