// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"sync"

	"witnessmark/record"
)

// Append implements [Logs].
//
// It is one INSERT and nothing else, or one of those that wait and go in
// together. The entry gets the number after the last one known; as entries never
// change and numbers never repeat, the INSERT succeeds exactly if the log still
// is what the guard was asked about. If another process was quicker, the log is
// looked at again.
func (s *sqliteStore) Append(ctx context.Context, person string, p record.Proposal, guard record.Guard) (record.Entry, bool, error) {
	if p.Kind == record.KindSeal {
		return record.Entry{}, false, errSealApart
	}
	e, existed, err := s.append(ctx, person, p, guard)
	return e, existed, because("append to "+p.Subject, err)
}

// maxTries bounds how often other processes may be quicker.
const maxTries = 1000

// AppendSeal implements [Logs].
func (s *sqliteStore) AppendSeal(ctx context.Context, person string, p record.Proposal) (record.Entry, error) {
	e, _, err := s.append(ctx, person, p, nil)
	return e, because("append to "+p.Subject, err)
}

var errSealApart = fmt.Errorf("store: %w: a seal is made by sealing, not by an entry", record.ErrInvalid)

// appendAlone is one INSERT. The caller has the turn.
func (s *sqliteStore) appendAlone(ctx context.Context, person string, p record.Proposal, guard record.Guard) (record.Entry, bool, error) {
	for try := 0; ; try++ {
		e, err := s.tryAppend(ctx, person, p, guard)
		if err == nil {
			return e, false, nil
		}
		// Whatever spoke against it, a repeat is answered with what is there.
		kept, ok, keptErr := s.kept(ctx, s.stmt.byID, p)
		if ok || keptErr != nil {
			return kept, ok, keptErr
		}
		if !isTaken(err) || try == maxTries {
			return record.Entry{}, false, err
		}
		s.lengths.forget(p.Subject)
	}
}

func (s *sqliteStore) tryAppend(ctx context.Context, person string, p record.Proposal, guard record.Guard) (record.Entry, error) {
	n, err := s.lengths.get(ctx, s.stmt.length, p.Subject)
	if err != nil {
		return record.Entry{}, err
	}
	log := &storedLog{ctx: ctx, entries: s.stmt.entries, subject: p.Subject, size: n}
	e, err := s.admit(log, person, p, guard)
	if err != nil {
		return record.Entry{}, err
	}
	if err := insert(ctx, s.stmt.add, e); err != nil {
		return record.Entry{}, err
	}
	s.lengths.set(p.Subject, e.Seq)
	return e, nil
}

// admit makes the entry that would follow log, if nothing speaks against it.
func (s *sqliteStore) admit(log record.Log, person string, p record.Proposal, guard record.Guard) (record.Entry, error) {
	e, err := record.NewEntry(p, person, log.Len()+1, s.clock())
	if err != nil {
		return record.Entry{}, err
	}
	if err := record.CheckSeen(log, p, s.need); err != nil {
		return record.Entry{}, err
	}
	if guard == nil {
		guard = record.UnchangedSinceSeen
	}
	return e, guard(log, p)
}

func insert(ctx context.Context, add *sql.Stmt, e record.Entry) error {
	leaf := e.Leaf()
	_, err := add.ExecContext(ctx, e.Subject, e.Seq, e.ID, e.Line(), leaf[:])
	return err
}

// AppendAll implements [Logs].
func (s *sqliteStore) AppendAll(ctx context.Context, person string, ps []record.Proposal, guard record.Guard) ([]record.Entry, error) {
	for _, p := range ps {
		if p.Kind == record.KindSeal {
			return nil, errSealApart
		}
	}
	if err := s.turn.take(ctx); err != nil {
		return nil, because("append", err)
	}
	defer s.turn.give()
	out := make([]record.Entry, 0, len(ps))
	err := s.inTx(context.WithoutCancel(ctx), func(ctx context.Context, tx *sql.Tx) error {
		for i, p := range ps {
			e, _, err := s.appendIn(ctx, tx, person, p, guard)
			if err != nil {
				return fmt.Errorf("entry %d of %d: %w", i+1, len(ps), err)
			}
			out = append(out, e)
		}
		return nil
	})
	if err != nil {
		return nil, because("append", err)
	}
	for _, e := range out {
		s.lengths.raise(e.Subject, e.Seq)
	}
	return out, nil
}

func (s *sqliteStore) appendIn(ctx context.Context, tx *sql.Tx, person string, p record.Proposal, guard record.Guard) (e record.Entry, existed bool, err error) {
	if kept, ok, err := s.kept(ctx, tx.StmtContext(ctx, s.stmt.byIDOwn), p); ok || err != nil {
		return kept, ok, err
	}
	log := &storedLog{ctx: ctx, entries: tx.StmtContext(ctx, s.stmt.entriesOwn), subject: p.Subject}
	if err := tx.StmtContext(ctx, s.stmt.lengthOwn).QueryRowContext(ctx, p.Subject).Scan(&log.size); err != nil {
		return record.Entry{}, false, err
	}
	if e, err = s.admit(log, person, p, guard); err != nil {
		return record.Entry{}, false, err
	}
	return e, false, insert(ctx, tx.StmtContext(ctx, s.stmt.add), e)
}

// kept returns the entry under p's id, if there is one and it is the same.
func (s *sqliteStore) kept(ctx context.Context, byID *sql.Stmt, p record.Proposal) (record.Entry, bool, error) {
	var line []byte
	err := byID.QueryRowContext(ctx, p.ID).Scan(&line)
	if errors.Is(err, sql.ErrNoRows) {
		return record.Entry{}, false, nil
	}
	if err != nil {
		return record.Entry{}, false, err
	}
	e, err := record.ParseStored(line)
	if err != nil {
		return record.Entry{}, false, fmt.Errorf("%w: %w", ErrDamaged, err)
	}
	if !e.Keeps(p) {
		return record.Entry{}, false, fmt.Errorf("%s: %w", p.ID, record.ErrIDReused)
	}
	return e, true, nil
}

// storedLog is a log up to a length, read when a guard asks for it.
type storedLog struct {
	ctx     context.Context
	entries *sql.Stmt
	subject string
	size    int64
}

func (l *storedLog) Len() int64 { return l.size }

func (l *storedLog) After(seq int64) ([]record.Entry, error) {
	if seq >= l.size {
		return nil, nil
	}
	rows, err := l.entries.QueryContext(l.ctx, l.subject, seq)
	got, err := scanEntries(rows, err)
	if err != nil {
		return nil, err
	}
	return got[:min(int64(len(got)), l.size-max(seq, 0))], nil // others may have come since
}

// lengths remembers how long logs are. What it says is never too much, as no
// entry ever goes.
type lengths struct {
	mu sync.Mutex
	of map[string]int64
}

func (l *lengths) get(ctx context.Context, length *sql.Stmt, subject string) (int64, error) {
	l.mu.Lock()
	n, ok := l.of[subject]
	l.mu.Unlock()
	if ok {
		return n, nil
	}
	err := length.QueryRowContext(ctx, subject).Scan(&n)
	return n, err
}

func (l *lengths) set(subject string, n int64) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.of == nil {
		l.of = map[string]int64{}
	}
	l.of[subject] = n
}

func (l *lengths) raise(subject string, n int64) {
	l.mu.Lock()
	old, ok := l.of[subject]
	l.mu.Unlock()
	if ok && n > old {
		l.set(subject, n)
	}
}

func (l *lengths) forget(subject string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.of, subject)
}

// turn lets one append at a time go ahead.
type turn chan struct{}

func (t turn) take(ctx context.Context) error {
	select {
	case t <- struct{}{}:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (t turn) give() { <-t }
