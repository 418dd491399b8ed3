// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
	"witnessmark/scope"
	"witnessmark/units"
)

// teller tells the scenario. The first error stops it; everything after does
// nothing.
type teller struct {
	ctx    context.Context
	shop   *shop.Shop
	replay *Replay
	start  time.Time
	hashes map[string]string // of the sheets, by name

	subject string
	plan    *scope.Plan      // adopted last
	parts   []scope.PartLine // of the job whose work is agreed
	total   string           // of the work of the plan adopted last, with tax
	person  Member
	err     error
}

// pace is the time that passes before each entry.
const pace = 35 * time.Second

// on begins a stretch of work: on a day counted from the start, at a time, by
// a person.
func (t *teller) on(day int, clock string, by Member) {
	if t.err != nil {
		return
	}
	at, err := time.Parse("15:04", clock)
	if err != nil {
		t.err = fmt.Errorf("demo: %w", err)
		return
	}
	when := t.start.AddDate(0, 0, day).Add(time.Duration(at.Hour())*time.Hour + time.Duration(at.Minute())*time.Minute)
	if when.Before(t.replay.Now()) {
		t.err = fmt.Errorf("demo: day %d %s is before what was told last", day, clock)
		return
	}
	t.replay.set(when)
	t.person = by
}

// by hands over to another person within a stretch of work.
func (t *teller) by(m Member) { t.person = m }

// add enters one fact of the current subject, as the person's role allows.
func (t *teller) add(kind string, body any) record.Entry { return t.addSeen(kind, body, 0) }

func (t *teller) addSeen(kind string, body any, saw int64) record.Entry {
	if t.err != nil {
		return record.Entry{}
	}
	t.replay.pass(pace)
	if err := shop.May(t.person.Role, kind); err != nil {
		t.err = fmt.Errorf("demo: %s: %w", t.subject, err)
		return record.Entry{}
	}
	e, _, err := t.shop.Append(t.ctx, t.person.ID, shop.Input{Subject: t.subject, Kind: kind, Body: body, Saw: saw})
	if err != nil {
		t.err = fmt.Errorf("demo: %s, %s: %w", t.subject, kind, err)
	}
	return e
}

// do runs a step of the shop that makes its own entries.
func (t *teller) do(what string, f func() error) {
	if t.err != nil {
		return
	}
	t.replay.pass(pace)
	if err := f(); err != nil {
		t.err = fmt.Errorf("demo: %s: %s: %w", t.subject, what, err)
	}
}

// correct replaces what an entry said; both stay visible.
func (t *teller) correct(e record.Entry, body any, reason string) {
	if t.err != nil {
		return
	}
	raw, err := json.Marshal(body)
	if err != nil {
		t.err = fmt.Errorf("demo: correction: %w", err)
		return
	}
	l, err := t.shop.Job(t.ctx, t.id())
	if err != nil {
		t.err = fmt.Errorf("demo: correction: %w", err)
		return
	}
	t.addSeen("correction", job.Correction{Replaces: e.Seq, Reason: reason, Kind: e.Kind, Version: e.Version, Body: raw}, l.State.Size)
}

// id is the job that is being told.
func (t *teller) id() string { return t.subject[len("job/"):] }

// open opens a job and goes on with it.
func (t *teller) open(n shop.NewJob) {
	n.Invented = true
	t.subject = shop.Subject(n.Number)
	t.do("open", func() error {
		_, err := t.shop.OpenJob(t.ctx, t.person.ID, n)
		return err
	})
}

func (t *teller) note(n job.Note, words string) record.Entry {
	var e record.Entry
	t.do("note", func() (err error) {
		e, err = t.shop.AddNote(t.ctx, t.person.ID, t.id(), "", n, words)
		return err
	})
	return e
}

// read is a quantity as a person reads it.
func (t *teller) read(kind units.Kind, text string) *units.Read {
	r, err := units.Parse(kind, text, units.Unit{})
	if err != nil && t.err == nil {
		t.err = fmt.Errorf("demo: %w", err)
	}
	return &r
}

func (t *teller) length(text string) *units.Read { return t.read(units.KindLength, text) }

// date is a day as it is written, counted from the start.
func (t *teller) date(day int) string { return t.start.AddDate(0, 0, day).Format(time.DateOnly) }
