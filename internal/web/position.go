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
	"witnessmark/metrology"
	"witnessmark/units"
)

// positionView is the entry of one reading at one position.
type positionView struct {
	Job        string
	Position   int
	Cylinder   string
	Phase      string
	Of         string // "6 of 8"
	Key        formKey
	Gauges     []gaugeChoice
	Gauge      string
	Strip      bool // the gauge is a strip gauge: show its bars
	Bars       []bar
	Typed      string
	Unit       string
	Outlook    string // whether this gauge can prove these limits at all
	Kept       *keptView
	Next       string // where it goes on
	Readings   []readingLine
	PhotoAgain bool
	ReadBack   string // what was understood, before it counts
	Form       map[string][]string
	Problem    string
	Doubt      string // what is questioned before it counts
	Reason     string
	Excess     *job.ExcessView
	Order      []orderItem // for going on without the network
}

type gaugeChoice struct {
	ID, Title string
	Strip     bool
}

// bar is one bar of the strip gauge's scale, drawn to tap and not to scale.
type bar struct {
	Value string
	Text  string  // with its unit, as it is read back
	X, W  float64 // of a picture 300 wide
}

type keptView struct {
	Seq   int64
	Words string
	State string
}

type readingLine struct {
	Seq   int64
	Words string
	By    string
}

type orderItem struct {
	Position int    `json:"position"`
	Cylinder string `json:"cylinder"`
	Count    string `json:"count"` // "6 of 8"
	Path     string `json:"path"`
}

func (s *server) positionPage(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	v, err := s.positionView(q, l)
	if err != nil {
		return err
	}
	return s.showPosition(q, http.StatusOK, l, v)
}

func (s *server) showPosition(q *request, status int, l *shop.Loaded, v positionView) error {
	f := jobFrame(l, fmt.Sprintf("%d as %s", v.Position, v.Phase), "Measure")
	f.Narrow = true
	return q.page(status, f, positionBody(v))
}

// positionView gathers what the page shows for the path's position and phase.
func (s *server) positionView(q *request, l *shop.Loaded) (positionView, error) {
	phase := q.PathValue("phase")
	if phase == "" {
		phase = q.value("phase")
	}
	if l.Basis.Sheet == nil || phase != job.AsFound && phase != job.AsFitted {
		return positionView{}, errNotFound
	}
	p, ok := l.Basis.Sheet.Position(q.number("position"))
	if !ok {
		return positionView{}, errNotFound
	}
	v := positionView{Job: l.ID, Position: p.Number, Cylinder: p.Cylinder, Phase: phase, Key: q.newKey(),
		Unit: l.Voice.Units.Unit(units.KindLength).Symbol, Form: map[string][]string{}}
	v.chooseGauge(l, q.value("gauge"))
	v.order(l)
	v.readings(l)
	v.Kept = kept(l, q.value("kept"))
	v.Outlook = outlook(l, v)
	if at, _, _, ok := positionOf(l, v.Position); ok && phase == job.AsFitted {
		v.Excess = at.Excess
	}
	return v, nil
}

// chooseGauge takes the gauge asked for, else the one last used in this phase,
// else the first strip gauge.
func (v *positionView) chooseGauge(l *shop.Loaded, asked string) {
	for _, id := range gaugeIDs(l.Basis.Tools) {
		t := l.Basis.Tools[id]
		v.Gauges = append(v.Gauges, gaugeChoice{ID: id, Title: t.Title, Strip: len(t.Graduations) > 0})
	}
	v.Gauge = asked
	for _, r := range l.State.Readings {
		if asked == "" && r.Body.Phase == v.Phase && r.Body.Of == job.OfClearance && r.Body.Gauge != "" {
			v.Gauge = r.Body.Gauge
		}
	}
	for _, g := range v.Gauges {
		if v.Gauge == "" && g.Strip {
			v.Gauge = g.ID
		}
	}
	t := l.Basis.Tools[v.Gauge]
	v.Strip = len(t.Graduations) > 0
	v.Bars = bars(t)
}

// gaugeIDs are the tools that can read a clearance.
func gaugeIDs(reg job.Register) []string {
	var ids []string
	for id, t := range reg {
		switch t.Kind {
		case "strip_gauge", "micrometer", "bore_gauge", "feeler_gauge", "dial_indicator":
			if t.Retired == nil {
				ids = append(ids, id)
			}
		}
	}
	slices.SortFunc(ids, func(a, b string) int {
		if x, y := len(reg[a].Graduations) > 0, len(reg[b].Graduations) > 0; x != y {
			if x {
				return -1
			}
			return 1
		}
		return strings.Compare(a, b)
	})
	return ids
}

// bars draws a wide bar for a narrow clearance, as the flattened strip is.
func bars(t job.Tool) []bar {
	out := make([]bar, len(t.Graduations))
	for i, g := range t.Graduations {
		w := 280 * t.Graduations[0].Value / g.Value
		out[i] = bar{Value: g.Digits, Text: g.String(), W: w, X: 150 - w/2}
	}
	return out
}

// order says where this position stands and where it goes on: the next one
// not read in this phase, as the throws come round.
func (v *positionView) order(l *shop.Loaded) {
	order := l.Basis.Sheet.AccessOrder()
	at := slices.Index(order, v.Position)
	place := func(i int) string { return fmt.Sprintf("%d of %d", i+1, len(order)) }
	v.Of = place(at)
	v.Order = []orderItem{}
	for k := range order {
		i := (at + 1 + k) % len(order)
		n := order[i]
		p, _ := l.Basis.Sheet.Position(n)
		if n != v.Position && !isRead(l, n, v.Phase) {
			v.Order = append(v.Order, orderItem{Position: n, Cylinder: p.Cylinder, Count: place(i), Path: positionPath(l.ID, n, v.Phase)})
		}
	}
	v.Next = jobPath(l.ID)
	if len(v.Order) > 0 {
		v.Next = v.Order[0].Path
	}
}

func isRead(l *shop.Loaded, position int, phase string) bool {
	p, ok := l.Assessment.Position(position)
	if !ok {
		return false
	}
	if phase == job.AsFound {
		return p.Found != nil
	}
	return p.Fitted != nil
}

func (v *positionView) readings(l *shop.Loaded) {
	for _, r := range l.State.Readings {
		if r.Body.Of == job.OfClearance && r.Body.Position == v.Position && r.Body.Phase == v.Phase {
			by := l.Voice.Names[r.At.Person]
			v.Readings = append(v.Readings, readingLine{Seq: r.At.Seq, Words: sentence(r.Body.ReadBack()), By: by})
		}
	}
}

// kept says what was kept last, with the verdict: only now, so that nobody
// nudges a reading.
func kept(l *shop.Loaded, seq string) *keptView {
	n, err := strconv.ParseInt(seq, 10, 64)
	if err != nil {
		return nil
	}
	i := slices.IndexFunc(l.State.Readings, func(r job.Noted[job.Reading]) bool { return r.At.Seq == n })
	if i < 0 {
		return nil
	}
	r := l.State.Readings[i].Body
	k := &keptView{Seq: n, State: "todo", Words: fmt.Sprintf("Position %d kept: %s", r.Position, r.ReadBack())}
	val, together := decided(l, r)
	if val == nil || !slices.Contains(together, n) {
		return k // it does not count
	}
	k.State = val.Verdict.State
	if len(together) > 1 {
		k.Words += fmt.Sprintf("; %d readings together %s, %s", len(together), val.WithUnit, val.Verdict.Word)
	} else {
		k.Words = fmt.Sprintf("Position %d kept: %s, %s", r.Position, val.WithUnit, val.Verdict.Word)
	}
	return k
}

// decided is what the readings at the reading's place come to, and which they
// are.
func decided(l *shop.Loaded, r job.Reading) (*job.ValueView, []int64) {
	a, ok := l.Assessment.Position(r.Position)
	c := a.Fitted
	if r.Phase == job.AsFound {
		c = a.Found
	}
	if !ok || c == nil {
		return nil, nil
	}
	for _, p := range l.View().Positions {
		if p.Position != r.Position {
			continue
		}
		if r.Phase == job.AsFound {
			return p.Found, c.Readings
		}
		return p.Fitted, c.Readings
	}
	return nil, nil
}

// outlook says before the reading whether this gauge can prove these limits.
func outlook(l *shop.Loaded, v positionView) string {
	t := l.Basis.Tools[v.Gauge]
	if len(t.Graduations) == 0 {
		return ""
	}
	scale, err := job.StripScale(t, job.Reading{})
	if err != nil {
		return ""
	}
	b := l.Basis.Sheet.BigEnd.Clearance.New.Bounds()
	confidence := job.DefaultConfidence
	if b.Confidence != nil {
		confidence = *b.Confidence
	}
	lo, hi := b.Range()
	o, err := metrology.CanProve(scale, metrology.Limits{Min: lo, Max: hi}, confidence)
	switch {
	case err != nil:
		return ""
	case !o.CanFit():
		return "This gauge can’t prove a fit on these limits, whatever it reads. Take one of a finer scale, or measure the parts."
	}
	return fmt.Sprintf("Of this gauge’s %d readings %d prove a fit on these limits, %d an excess, %d nothing.",
		len(o.Outcomes), o.Within, o.Above+o.Below, len(o.Outcomes)-o.Within-o.Above-o.Below)
}

// keepReading understands a reading, repeats it, and keeps it.
func (s *server) keepReading(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	v, err := s.positionView(q, l)
	if err != nil {
		return err
	}
	v.Typed, v.Form, v.Key.ID = q.value("typed"), q.Form, q.value("id")
	reading, err := q.reading(l, v)
	if err != nil {
		v.Problem = sentence(plainError(err))
		if q.wantsJSON() {
			return &shop.Refusal{Cause: err}
		}
		return s.showPosition(q, http.StatusUnprocessableEntity, l, v)
	}
	if doubt := job.Question(reading, l.State, l.Basis); doubt != "" && !(q.wantsJSON() && q.checked("look")) {
		if v.Reason = q.value("reason"); v.Reason == "" {
			v.Doubt = doubt
			if q.wantsJSON() {
				return &shop.Refusal{Cause: errors.New(doubt + ". Read it again, or say why it is right")}
			}
			return s.showPosition(q, http.StatusUnprocessableEntity, l, v)
		}
		reading.Questioned, reading.Reason = doubt, v.Reason
	}
	if q.checked("look") && !q.checked("understood") {
		if q.wantsJSON() {
			return q.json(http.StatusOK, map[string]string{"read_back": readBack(v, reading)})
		}
		v.ReadBack, v.PhotoAgain = readBack(v, reading), q.hasFile("photo")
		return s.showPosition(q, http.StatusOK, l, v)
	}
	e, _, err := q.append(l.Subject, "reading", reading)
	if err != nil {
		return err
	}
	return q.see(s.after(q, l, v, e.Seq))
}

// after is where a kept reading leads: on to the next position, or back to the
// job, with what was kept.
func (s *server) after(q *request, l *shop.Loaded, v positionView, seq int64) string {
	next := v.Next
	if q.checked("stay") {
		next = positionPath(l.ID, v.Position, v.Phase)
	}
	return next + "?kept=" + strconv.FormatInt(seq, 10)
}

func readBack(v positionView, r job.Reading) string {
	return fmt.Sprintf("Position %d, as %s: %s.", v.Position, v.Phase, r.ReadBack())
}
