// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"database/sql"
	"errors"
)

// The statements of the log. They use nothing that other databases lack.
const (
	sqlByID = `SELECT line FROM entries WHERE id = ?1`
	sqlLen  = `SELECT COALESCE(MAX(seq), 0) FROM entries WHERE subject = ?1`
	sqlAdd  = `INSERT INTO entries (subject, seq, id, line, leaf) VALUES (?1, ?2, ?3, ?4, ?5)`

	sqlEntries = `SELECT line FROM entries WHERE subject = ?1 AND seq > ?2 ORDER BY seq`
	sqlLeaves  = `SELECT leaf FROM entries WHERE subject = ?1 ORDER BY seq`
	sqlChanges = `SELECT change, line FROM entries WHERE change > ?1 ORDER BY change LIMIT ?2`
	sqlLast    = `SELECT COALESCE(MAX(change), 0) FROM entries`

	sqlSession = `SELECT data FROM sessions WHERE hash = ?1 AND expiry > ?2`

	// One step of the index from subject to subject, not a walk over all rows.
	sqlSubjects = `
WITH RECURSIVE s(subject) AS (
    SELECT MIN(subject) FROM entries WHERE subject >= ?1 AND subject < ?2
    UNION ALL
    SELECT (SELECT MIN(e.subject) FROM entries e WHERE e.subject > s.subject AND e.subject < ?2)
    FROM s WHERE s.subject IS NOT NULL
)
SELECT s.subject, a.line, b.seq, b.line, b.change
FROM s
JOIN entries a ON a.subject = s.subject AND a.seq = 1
JOIN entries b ON b.subject = s.subject
     AND b.seq = (SELECT MAX(m.seq) FROM entries m WHERE m.subject = s.subject)
ORDER BY s.subject`
)

// statements are prepared once: preparing costs more than a small append.
type statements struct {
	add, byIDOwn, lengthOwn, entriesOwn *sql.Stmt // on the writing connection

	byID, length, entries, leaves, changes, last, subjects, session *sql.Stmt
}

func (s *statements) prepare(ctx context.Context, write, read *sql.DB) error {
	for _, p := range []struct {
		db   *sql.DB
		stmt **sql.Stmt
		text string
	}{
		{write, &s.add, sqlAdd},
		{write, &s.byIDOwn, sqlByID},
		{write, &s.lengthOwn, sqlLen},
		{write, &s.entriesOwn, sqlEntries},
		{read, &s.byID, sqlByID},
		{read, &s.length, sqlLen},
		{read, &s.entries, sqlEntries},
		{read, &s.leaves, sqlLeaves},
		{read, &s.changes, sqlChanges},
		{read, &s.last, sqlLast},
		{read, &s.subjects, sqlSubjects},
		{read, &s.session, sqlSession},
	} {
		st, err := p.db.PrepareContext(ctx, p.text)
		if err != nil {
			return err
		}
		*p.stmt = st
	}
	return nil
}

func (s *statements) close() error {
	var errs []error
	for _, st := range []*sql.Stmt{
		s.add, s.byIDOwn, s.lengthOwn, s.entriesOwn,
		s.byID, s.length, s.entries, s.leaves, s.changes, s.last, s.subjects, s.session,
	} {
		if st != nil {
			errs = append(errs, st.Close())
		}
	}
	return errors.Join(errs...)
}
