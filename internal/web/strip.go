// SPDX-License-Identifier: Apache-2.0

package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// stripView is what was taken off and put back, in order.
type stripView struct {
	Job       string
	Kept      string
	Problem   string
	Off, Back formView
	Off1      []stripLine // still off, the last one first
	Done      []string    // everything in the order of the record
	Positions []option
	Cautions  []string
	Asked     []job.PhotoAsk
	Plan      []planStrip // the operations of the agreed work, in order
	Work      []planWork
	Looked    []plannedLook
	May       bool
}

// planStrip is an operation of the plan on the strip list.
type planStrip struct {
	job.OperationView
	Anchor      string
	Key, BagKey formKey
	BagForm     formView
}

// plannedLook is a piece of work with the form that says what was found.
type plannedLook struct {
	job.LookedView
	Key formKey
}

type planWork struct {
	job.WorkView
	Key formKey
}

// stripLine is something that is still off, with the form that puts it back.
type stripLine struct {
	Operation, Title string
	Position         int
	At               string
	Key              formKey
}

// usualStrip are the cautions of a strip in any engine.
var usualStrip = []string{
	"The engine or vehicle is carried by rated equipment before a mount, a subframe or an axle is loosened. Nobody works under a load on a jack.",
	"Hot oil and exhaust burn: let it cool. Fuel, coolant and air lines are let down before they are opened; the battery is off.",
}

func (s *server) stripPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	return s.showStrip(q, http.StatusOK, l, "")
}

func (s *server) showStrip(q *request, status int, l *shop.Loaded, problem string) error {
	v := stripView{Job: l.ID, Kept: q.lastKept(l), Problem: problem, Off: q.oneOf(l, "strip"), Back: q.oneOf(l, "refit"),
		Asked: l.PhotosAsked("operation", 0), Done: said(l, "operation_done"), Positions: positionOptions(l), Cautions: stepCautions(l, "strip", usualStrip...)}
	for _, o := range stillOff(l) {
		line := stripLine{Operation: o.Operation, Title: operationTitle(o), Position: o.Position, Key: q.newKey()}
		if o.Position != 0 {
			line.At = "position " + l.Basis.Namer()(o.Position)
		}
		v.Off1 = append(v.Off1, line)
	}
	if err := s.stripPlan(q, l, &v); err != nil {
		return err
	}
	return q.showForm(status, l, "Strip", "Strip", stripBody(v))
}

// stripPlan adds the list that the plan makes. What it lists is left out of
// what is off freely.
func (s *server) stripPlan(q *request, l *shop.Loaded, v *stripView) error {
	p, err := s.shop.Planned(q.Context(), l)
	if err != nil || p.Plan == nil {
		return err
	}
	listed := map[string]bool{}
	for _, o := range job.ShowOperations(p.Operations, p.Plan) {
		listed[o.ID] = true
		v.Plan = append(v.Plan, planStrip{OperationView: o, Anchor: anchor("operation", o.ID), Key: q.newKey(), BagKey: q.newKey(), BagForm: q.oneOf(l, "bag-"+o.ID)})
	}
	for _, w := range p.Work() {
		v.Work = append(v.Work, planWork{WorkView: w, Key: q.newKey()})
	}
	for _, x := range p.Looked() {
		v.Looked = append(v.Looked, plannedLook{x, q.newKey()})
	}
	v.May = hands.admits(q.person.Role)
	v.Off1 = slices.DeleteFunc(v.Off1, func(x stripLine) bool { return listed[x.Operation] && x.Position == 0 })
	return nil
}

func operationTitle(o job.OperationDone) string {
	if o.Title != "" {
		return o.Title
	}
	return o.Operation
}

// stillOff is what was taken off and not put back, the last one first: the
// order in which it goes back.
func stillOff(l *shop.Loaded) []job.OperationDone {
	var off []job.OperationDone
	for _, o := range l.State.Operations {
		same := func(x job.OperationDone) bool {
			return x.Operation == o.Body.Operation && x.Position == o.Body.Position
		}
		off = slices.DeleteFunc(off, same)
		if o.Body.Direction == "strip" {
			off = append(off, o.Body)
		}
	}
	slices.Reverse(off)
	return off
}

// keepFound keeps whether what a piece of work renews was found worn or sound.
func (s *server) keepFound(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	body := job.WorkFound{Work: q.value("work"), Remark: q.value("remark")}
	switch needed := q.value("needed"); {
	case l.Basis.Plan == nil:
		err = errNoPlan
	case needed != "yes" && needed != "no":
		err = errors.New("it is not said what was found: choose worn or sound")
	default:
		w, ok := l.Basis.Plan.WorkByID(body.Work)
		if !ok {
			err = fmt.Errorf("the plan has no work %q: choose from the list", body.Work)
		}
		body.Title, body.Needed = w.Title, needed == "yes"
	}
	return q.submit(l, "work_found", body, err, jobPath(l.ID)+"/strip#found", func(status int, problem string) error {
		return s.showStrip(q, status, l, problem)
	})
}

func (s *server) keepOperation(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	title := q.value("title")
	body := job.OperationDone{Operation: q.value("operation"), Title: title, Direction: q.value("direction"), Position: q.number("position")}
	if body.Operation == "" {
		body.Operation = operationID(title)
	}
	next := jobPath(l.ID) + "/strip"
	if at := anchor("operation", body.Operation); q.value("back") == "refit" {
		next = jobPath(l.ID) + "/refit#" + at
	} else if q.value("back") == "plan" {
		next += "#" + at
	}
	return q.submit(l, "operation_done", body, nil, next, func(status int, problem string) error {
		return s.showStrip(q, status, l, problem)
	})
}

// operationID is the short name of an operation that somebody wrote freely:
// its words in small letters, so that taking off and putting back meet.
func operationID(title string) string {
	return strings.Join(strings.Fields(strings.ToLower(title)), "_")
}

func positionValue(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}
