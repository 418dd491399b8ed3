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

// Entries implements [Logs].
func (s *sqliteStore) Entries(ctx context.Context, subject string, after int64) ([]record.Entry, error) {
	rows, err := s.stmt.entries.QueryContext(ctx, subject, after)
	out, err := scanEntries(rows, err)
	return out, because("read "+subject, err)
}

// Leaves implements [Logs].
func (s *sqliteStore) Leaves(ctx context.Context, subject string) ([]record.Hash, error) {
	rows, err := s.stmt.leaves.QueryContext(ctx, subject)
	var out []record.Hash
	err = each(rows, err, func() error {
		var b []byte
		if err := rows.Scan(&b); err != nil {
			return err
		}
		if len(b) != len(record.Hash{}) {
			return fmt.Errorf("%w: a leaf hash of %d bytes", ErrDamaged, len(b))
		}
		out = append(out, record.Hash(b))
		return nil
	})
	return out, because("read "+subject, err)
}

// Subjects implements [Logs].
func (s *sqliteStore) Subjects(ctx context.Context, prefix string) ([]SubjectInfo, error) {
	// '~' sorts behind every character that a subject can have.
	rows, err := s.stmt.subjects.QueryContext(ctx, prefix, prefix+"~")
	var out []SubjectInfo
	err = each(rows, err, func() error {
		var i SubjectInfo
		var first, last sql.RawBytes
		if err := rows.Scan(&i.Subject, &first, &i.Size, &last, &i.Change); err != nil {
			return err
		}
		a, errA := record.ParseStored(first)
		b, errB := record.ParseStored(last)
		if err := errors.Join(errA, errB); err != nil {
			return fmt.Errorf("%w: %s: %w", ErrDamaged, i.Subject, err)
		}
		i.First, i.Last = a.Received, b.Received
		out = append(out, i)
		return nil
	})
	return out, because("list logs", err)
}

// ChangesAfter implements [Logs].
func (s *sqliteStore) ChangesAfter(ctx context.Context, change int64, limit int) ([]Change, error) {
	rows, err := s.stmt.changes.QueryContext(ctx, change, limit)
	var out []Change
	err = each(rows, err, func() error {
		var c Change
		var line sql.RawBytes
		if err := rows.Scan(&c.Number, &line); err != nil {
			return err
		}
		if c.Entry, err = record.ParseStored(line); err != nil {
			return fmt.Errorf("%w: change %d: %w", ErrDamaged, c.Number, err)
		}
		out = append(out, c)
		return nil
	})
	return out, because("read changes", err)
}

// LastChange implements [Logs].
func (s *sqliteStore) LastChange(ctx context.Context) (int64, error) {
	var n int64
	err := s.stmt.last.QueryRowContext(ctx).Scan(&n)
	return n, because("read the last change", err)
}

func scanEntries(rows *sql.Rows, err error) ([]record.Entry, error) {
	var lines [][]byte
	err = each(rows, err, func() error {
		var line []byte
		if err := rows.Scan(&line); err != nil {
			return err
		}
		lines = append(lines, line)
		return nil
	})
	if err != nil || len(lines) == 0 {
		return nil, err
	}
	return parseAll(lines)
}

// together is how many lines are parsed one after another.
const together = 256

// parseAll parses lines, many of them on every processor. The error is of the
// first that is damaged.
func parseAll(lines [][]byte) ([]record.Entry, error) {
	out, errs := make([]record.Entry, len(lines)), make([]error, len(lines))
	var parts sync.WaitGroup
	for from := 0; from < len(lines); from += together {
		part := func() {
			for i := from; i < min(from+together, len(lines)); i++ {
				out[i], errs[i] = record.ParseStored(lines[i])
			}
		}
		if len(lines) <= together {
			part()
			continue
		}
		parts.Go(part)
	}
	parts.Wait()
	for i, err := range errs {
		if err != nil {
			return out[:i], fmt.Errorf("%w: entry %d: %w", ErrDamaged, i+1, err)
		}
	}
	return out, nil
}

// each calls f for each row and closes them.
func each(rows *sql.Rows, err error, f func() error) error {
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := f(); err != nil {
			return err
		}
	}
	return rows.Err()
}
