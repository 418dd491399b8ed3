// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"witnessmark/record"
)

// Append implements [Logs].
func (s *sqliteStore) Append(ctx context.Context, person string, p record.Proposal, guard record.Guard) (record.Entry, bool, error) {
	if err := checkProposal(p); err != nil { // before a transaction is begun for it
		return record.Entry{}, false, err
	}
	return s.append(ctx, person, p, guard)
}

// AppendSeal implements [Logs].
func (s *sqliteStore) AppendSeal(ctx context.Context, person string, p record.Proposal) (record.Entry, error) {
	e, _, err := s.append(ctx, person, p, nil)
	return e, err
}

func checkProposal(p record.Proposal) error {
	if p.Kind == record.KindSeal {
		return fmt.Errorf("store: %w: a seal is made by sealing, not by an entry", record.ErrInvalid)
	}
	return p.Validate()
}

func (s *sqliteStore) append(ctx context.Context, person string, p record.Proposal, guard record.Guard) (record.Entry, bool, error) {
	var e record.Entry
	var existed bool
	err := s.inTx(ctx, func(ctx context.Context, tx *sql.Tx) (err error) {
		e, existed, err = s.appendOne(ctx, tx, person, p, guard)
		return err
	})
	if err != nil {
		return record.Entry{}, false, because("append to "+p.Subject, err)
	}
	return e, existed, nil
}

// AppendAll implements [Logs].
func (s *sqliteStore) AppendAll(ctx context.Context, person string, ps []record.Proposal, guard record.Guard) ([]record.Entry, error) {
	for i, p := range ps {
		if err := checkProposal(p); err != nil {
			return nil, fmt.Errorf("entry %d of %d: %w", i+1, len(ps), err)
		}
	}
	out := make([]record.Entry, 0, len(ps))
	err := s.inTx(ctx, func(ctx context.Context, tx *sql.Tx) error {
		for i, p := range ps {
			e, _, err := s.appendOne(ctx, tx, person, p, guard)
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
	return out, nil
}

func (s *sqliteStore) appendOne(ctx context.Context, tx *sql.Tx, person string, p record.Proposal, guard record.Guard) (record.Entry, bool, error) {
	if kept, ok, err := s.kept(ctx, tx, p); ok || err != nil {
		return kept, ok, err
	}
	log := &txLog{ctx: ctx, tx: tx, stmt: &s.stmt, subject: p.Subject}
	if err := tx.StmtContext(ctx, s.stmt.length).QueryRowContext(ctx, p.Subject).Scan(&log.size); err != nil {
		return record.Entry{}, false, err
	}
	if err := record.CheckSeen(log, p, s.need); err != nil {
		return record.Entry{}, false, err
	}
	if guard == nil {
		guard = record.UnchangedSinceSeen
	}
	if err := guard(log, p); err != nil {
		return record.Entry{}, false, err
	}
	e, err := record.NewEntry(p, person, log.size+1, s.clock())
	if err != nil {
		return record.Entry{}, false, err
	}
	leaf := e.Leaf()
	_, err = tx.StmtContext(ctx, s.stmt.add).ExecContext(ctx, e.Subject, e.Seq, e.ID, e.Line(), leaf[:])
	return e, false, err
}

// kept returns the entry under p's id, if there is one and it is the same.
func (s *sqliteStore) kept(ctx context.Context, tx *sql.Tx, p record.Proposal) (record.Entry, bool, error) {
	var line []byte
	err := tx.StmtContext(ctx, s.stmt.byID).QueryRowContext(ctx, p.ID).Scan(&line)
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

// txLog is the log as the appending transaction sees it, read when asked.
type txLog struct {
	ctx     context.Context
	tx      *sql.Tx
	stmt    *statements
	subject string
	size    int64
}

func (l *txLog) Len() int64 { return l.size }

func (l *txLog) After(seq int64) ([]record.Entry, error) {
	if seq >= l.size {
		return nil, nil
	}
	rows, err := l.tx.QueryContext(l.ctx, sqlEntries, l.subject, seq)
	return scanEntries(rows, err)
}
