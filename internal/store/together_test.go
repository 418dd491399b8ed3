// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"errors"
	"runtime"
	"sync"
	"testing"

	"witnessmark/record"
)

var errNotThisOne = errors.New("not this one")

// waitFor lets n appends gather while the test has the turn.
func waitFor(s *sqliteStore, n int) {
	for waiting := 0; waiting < n; runtime.Gosched() {
		s.queue.mu.Lock()
		waiting = len(s.queue.waiting)
		s.queue.mu.Unlock()
	}
}

// Entries that wait go in together: the refused one, the repeated one and the
// one whose person went away hinder nobody.
func TestAppendedTogether(t *testing.T) {
	f := inside(t)
	s := f.db
	before, _, err := f.Append(t.Context(), "p-1", testProposal(t, "job/a"), nil)
	if err != nil {
		t.Fatal(err)
	}
	repeat := testProposal(t, "job/a")
	repeat.ID, repeat.DeviceTime = before.ID, before.DeviceTime
	gone, goAway := context.WithCancel(t.Context())

	s.turn <- struct{}{}
	type got struct {
		e       record.Entry
		existed bool
		err     error
	}
	const n = 20
	out := make([]got, n+3)
	var all sync.WaitGroup
	ask := func(i int, ctx context.Context, p record.Proposal, guard record.Guard) {
		all.Go(func() {
			out[i].e, out[i].existed, out[i].err = f.Append(ctx, "p-1", p, guard)
		})
		waitFor(s, i+1)
	}
	for i := range n {
		ask(i, t.Context(), testProposal(t, []string{"job/a", "job/b"}[i%2]), nil)
	}
	ask(n, t.Context(), testProposal(t, "job/a"), func(log record.Log, _ record.Proposal) error {
		if after, err := log.After(0); err != nil || len(after) != 1+n/2 {
			t.Errorf("the guard saw %d entries: %v", len(after), err)
		}
		return errNotThisOne
	})
	ask(n+1, t.Context(), repeat, nil)
	ask(n+2, gone, testProposal(t, "job/a"), nil)
	goAway()
	for waiting := n + 3; waiting > n+2; runtime.Gosched() { // until it left the queue
		s.queue.mu.Lock()
		waiting = len(s.queue.waiting)
		s.queue.mu.Unlock()
	}
	s.appendWaiting()
	all.Wait()

	for i := range n {
		want := int64(i/2 + 1 + (i+1)%2) // job/a had one
		if out[i].err != nil || out[i].existed || out[i].e.Seq != want {
			t.Errorf("entry %d: number %d, want %d, existed %v, %v", i, out[i].e.Seq, want, out[i].existed, out[i].err)
		}
	}
	if !errors.Is(out[n].err, errNotThisOne) {
		t.Errorf("refused: %v", out[n].err)
	}
	if out[n+1].err != nil || !out[n+1].existed || out[n+1].e.Seq != before.Seq {
		t.Errorf("repeated: %+v", out[n+1])
	}
	if !errors.Is(out[n+2].err, context.Canceled) {
		t.Errorf("gone: %v", out[n+2].err)
	}
	for subject, want := range map[string]int{"job/a": 1 + n/2, "job/b": n / 2} {
		if log, err := f.Entries(t.Context(), subject, 0); err != nil || len(log) != want {
			t.Errorf("%s has %d entries, want %d: %v", subject, len(log), want, err)
		}
	}
}

// A transaction that cannot be ended leaves nothing behind, and every entry is
// tried alone.
func TestTogetherFallsBack(t *testing.T) {
	f := inside(t)
	s := f.db
	if _, err := s.write.ExecContext(t.Context(), `CREATE TEMP TRIGGER no_b BEFORE INSERT ON entries WHEN NEW.subject = 'job/b' BEGIN SELECT RAISE(ROLLBACK, 'disk'); END`); err != nil {
		t.Fatal(err)
	}
	s.turn <- struct{}{}
	var errs [3]error
	var all sync.WaitGroup
	for i, subject := range []string{"job/a", "job/b", "job/c"} {
		all.Go(func() { _, _, errs[i] = f.Append(t.Context(), "p-1", testProposal(t, subject), nil) })
		waitFor(s, i+1)
	}
	s.appendWaiting()
	all.Wait()
	if errs[0] != nil || errs[1] == nil || errs[2] != nil {
		t.Errorf("%v", errs)
	}
	for subject, want := range map[string]int{"job/a": 1, "job/b": 0, "job/c": 1} {
		if log, err := f.Entries(t.Context(), subject, 0); err != nil || len(log) != want {
			t.Errorf("%s has %d entries, want %d: %v", subject, len(log), want, err)
		}
	}
}

// A guard that panics takes nobody else's answer away, and the next append goes
// through.
func TestTogetherOutlivesAPanic(t *testing.T) {
	f := inside(t)
	s := f.db
	s.turn <- struct{}{}
	var errs [2]error
	var all sync.WaitGroup
	for i, guard := range []record.Guard{nil, func(record.Log, record.Proposal) error { panic("a guard's mistake") }} {
		all.Go(func() { _, _, errs[i] = f.Append(t.Context(), "p-1", testProposal(t, "job/a"), guard) })
		waitFor(s, i+1)
	}
	func() {
		defer func() {
			if recover() == nil {
				t.Error("nobody heard of the panic")
			}
		}()
		s.appendWaiting()
	}()
	all.Wait()
	for _, err := range errs {
		if !errors.Is(err, errInterrupted) {
			t.Errorf("%v", err)
		}
	}
	if e, _, err := f.Append(t.Context(), "p-1", testProposal(t, "job/a"), nil); err != nil || e.Seq != 1 {
		t.Errorf("afterwards: %d, %v", e.Seq, err)
	}
}
