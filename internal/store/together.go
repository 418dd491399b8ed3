// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"database/sql"
	"errors"
	"sync"

	"modernc.org/sqlite"

	"witnessmark/record"
)

// asked is an entry that somebody wants to append, and the answer once there
// is one.
type asked struct {
	ctx    context.Context
	person string
	p      record.Proposal
	guard  record.Guard

	answered chan struct{}
	entry    record.Entry
	existed  bool
	err      error
}

func (a *asked) answer(e record.Entry, existed bool, err error) {
	a.entry, a.existed, a.err = e, existed, err
	close(a.answered)
}

// queue is what waits while others are written to the disk. Whoever has the
// turn appends all of it, so that the disk is waited for once and not once for
// everybody: a slow disk then costs each one its own time, not the sum of all.
type queue struct {
	mu      sync.Mutex
	waiting []*asked
}

func (q *queue) add(a *asked) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.waiting = append(q.waiting, a)
}

func (q *queue) take() []*asked {
	q.mu.Lock()
	defer q.mu.Unlock()
	all := q.waiting
	q.waiting = nil
	return all
}

// leave takes a out again and reports whether it still waited.
func (q *queue) leave(a *asked) bool {
	q.mu.Lock()
	defer q.mu.Unlock()
	for i, w := range q.waiting {
		if w == a {
			q.waiting = append(q.waiting[:i:i], q.waiting[i+1:]...)
			return true
		}
	}
	return false
}

// append waits for its turn with everybody else, or for somebody whose turn it
// is to append this entry too. Once begun it runs to its end: there is no doubt
// about what was kept.
func (s *sqliteStore) append(ctx context.Context, person string, p record.Proposal, guard record.Guard) (record.Entry, bool, error) {
	if err := ctx.Err(); err != nil {
		return record.Entry{}, false, err
	}
	a := &asked{ctx: context.WithoutCancel(ctx), person: person, p: p, guard: guard, answered: make(chan struct{})}
	s.queue.add(a)
	select {
	case <-a.answered:
	case s.turn <- struct{}{}:
		s.appendWaiting()
	case <-ctx.Done():
		if s.queue.leave(a) {
			return record.Entry{}, false, ctx.Err()
		}
	}
	<-a.answered
	return a.entry, a.existed, a.err
}

var errInterrupted = errors.New("the append was interrupted before its answer was known: ask again with the same id")

// appendWaiting appends what waits and gives the turn back.
func (s *sqliteStore) appendWaiting() {
	defer s.turn.give()
	batch := s.queue.take()
	left := batch
	defer func() { // a guard panicked: nobody waits for ever
		for _, a := range left {
			a.answer(record.Entry{}, false, errInterrupted)
		}
	}()
	if len(batch) > 1 && s.inOneTransaction(batch) == nil {
		left = nil
		return
	}
	for len(left) > 0 {
		a := left[0]
		e, existed, err := s.appendAlone(a.ctx, a.person, a.p, a.guard)
		left = left[1:]
		a.answer(e, existed, err)
	}
}

// inOneTransaction appends a batch whose answers are given when all of it is on
// the disk. A refused entry does not hinder the others. On an error nothing was
// appended and nobody has an answer.
func (s *sqliteStore) inOneTransaction(batch []*asked) error {
	type outcome struct {
		entry   record.Entry
		existed bool
		err     error
	}
	out := make([]outcome, len(batch))
	err := s.inTx(batch[0].ctx, func(ctx context.Context, tx *sql.Tx) error {
		for i, a := range batch {
			o := &out[i]
			o.entry, o.existed, o.err = s.appendIn(ctx, tx, a.person, a.p, a.guard)
			if ofDatabase(o.err) { // the transaction may be gone already
				return o.err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	for i, a := range batch {
		if o := out[i]; o.err == nil && !o.existed {
			s.lengths.set(a.p.Subject, o.entry.Seq)
		}
		a.answer(out[i].entry, out[i].existed, out[i].err)
	}
	return nil
}

// ofDatabase says that an error came from the database, not from what an entry
// was held against.
func ofDatabase(err error) bool {
	var se *sqlite.Error
	return errors.As(err, &se) || errors.Is(err, sql.ErrTxDone) || errors.Is(err, sql.ErrConnDone)
}
