// SPDX-License-Identifier: Apache-2.0

package web

import (
	"strconv"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// wheelsView is whether the vehicle stands on its wheels, for what the sheet
// has tightened only then.
type wheelsView struct {
	Loaded  bool
	Says    string   // the last entry about it
	Wrong   string   // page that corrects it
	Waiting []string // titles of the fasteners that wait
	Key     formKey
}

// wheelsOf is nil when the sheet asks nothing of the wheels.
func wheelsOf(q *request, l *shop.Loaded) *wheelsView {
	var v *wheelsView
	last, loaded := job.Wheels(l.State)
	for _, f := range l.Basis.Sheet.Fasteners {
		if !f.LoadedWheels {
			continue
		}
		if v == nil {
			v = &wheelsView{Loaded: loaded, Key: q.newKey()}
		}
		if !loaded && !tight(l, f) {
			v.Waiting = append(v.Waiting, f.Title)
		}
	}
	if v != nil && last != nil {
		v.Says = saidBy(l, last.At.Seq)
		v.Wrong = jobPath(l.ID) + "/record/" + strconv.FormatInt(last.At.Seq, 10) + "/correct"
	}
	return v
}

// tight reports whether every final stage of a fastener that stands once in
// the engine is on.
func tight(l *shop.Loaded, f engine.Fastener) bool { return allFinal(job.BoltsSeen(l.State, f, 0)) }

func (s *server) keepWheels(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	loaded := q.value("loaded") == "yes"
	body := job.WheelsLoaded{Loaded: &loaded, Remark: q.value("remark")}
	next := jobPath(l.ID) + "/bolts"
	if c := q.value("choice"); c != "" {
		next += "?" + c
	}
	return q.submit(l, "wheels_loaded", body, nil, next+"#wheels", func(status int, problem string) error {
		return s.showBolts(q, status, l, problem)
	})
}

// saidBy is an entry as it stands now, with who made it and when.
func saidBy(l *shop.Loaded, seq int64) string {
	for _, line := range l.Record() {
		if line.Seq == seq {
			return line.Now + " " + line.Person + ", " + line.Received + "."
		}
	}
	return ""
}

// goWhile is the class of a button that leads on.
func goWhile(yes bool) string {
	if yes {
		return "go"
	}
	return ""
}
