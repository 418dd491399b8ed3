// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"time"

	"witnessmark/record"
)

// SetCredential implements [Accounts].
func (s *sqliteStore) SetCredential(ctx context.Context, person string, hash []byte) error {
	if err := record.CheckPerson(person); err != nil {
		return err
	}
	if hash == nil {
		return s.exec(ctx, "take away a credential", `DELETE FROM credentials WHERE person = ?1`, person)
	}
	return s.exec(ctx, "keep a credential",
		`INSERT INTO credentials (person, hash) VALUES (?1, ?2) ON CONFLICT (person) DO UPDATE SET hash = excluded.hash`, person, hash)
}

// Credential implements [Accounts].
func (s *sqliteStore) Credential(ctx context.Context, person string) ([]byte, error) {
	return one[[]byte](ctx, s, "read a credential", `SELECT hash FROM credentials WHERE person = ?1`, person)
}

// SaveSession implements [Accounts].
func (s *sqliteStore) SaveSession(ctx context.Context, token string, data []byte, expiry time.Time) error {
	err := s.exec(ctx, "keep a session",
		`INSERT INTO sessions (hash, data, expiry) VALUES (?1, ?2, ?3)
		 ON CONFLICT (hash) DO UPDATE SET data = excluded.data, expiry = excluded.expiry`,
		tokenHash(token), data, expiry.UnixMilli())
	if err != nil {
		return err
	}
	return s.exec(ctx, "forget old sessions", `DELETE FROM sessions WHERE expiry <= ?1`, s.clock().UnixMilli())
}

// Session implements [Accounts].
func (s *sqliteStore) Session(ctx context.Context, token string) ([]byte, error) {
	return found[[]byte]("read a session", s.stmt.session.QueryRowContext(ctx, tokenHash(token), s.clock().UnixMilli()))
}

// DeleteSession implements [Accounts].
func (s *sqliteStore) DeleteSession(ctx context.Context, token string) error {
	return s.DeleteSessionHash(ctx, tokenHash(token))
}

// DeleteSessionHash implements [Accounts].
func (s *sqliteStore) DeleteSessionHash(ctx context.Context, hash string) error {
	return s.exec(ctx, "forget a session", `DELETE FROM sessions WHERE hash = ?1`, hash)
}

// SessionList implements [Accounts].
func (s *sqliteStore) SessionList(ctx context.Context) ([]SessionInfo, error) {
	rows, err := s.read.QueryContext(ctx,
		`SELECT hash, data, expiry FROM sessions WHERE expiry > ?1 ORDER BY expiry DESC, hash`, s.clock().UnixMilli())
	var out []SessionInfo
	err = each(rows, err, func() error {
		var i SessionInfo
		var ms int64
		if err := rows.Scan(&i.Hash, &i.Data, &ms); err != nil {
			return err
		}
		i.Expiry = time.UnixMilli(ms).UTC()
		out = append(out, i)
		return nil
	})
	return out, because("list sessions", err)
}

// Setting implements [Accounts].
func (s *sqliteStore) Setting(ctx context.Context, key string) (string, error) {
	return one[string](ctx, s, "read a setting", `SELECT value FROM settings WHERE name = ?1`, key)
}

// SetSetting implements [Accounts].
func (s *sqliteStore) SetSetting(ctx context.Context, key, value string) error {
	return s.exec(ctx, "keep a setting",
		`INSERT INTO settings (name, value) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET value = excluded.value`, key, value)
}

// Settings implements [Accounts].
func (s *sqliteStore) Settings(ctx context.Context, prefix string) (map[string]string, error) {
	rows, err := s.read.QueryContext(ctx,
		`SELECT name, value FROM settings WHERE SUBSTR(name, 1, LENGTH(?1)) = ?1`, prefix)
	out := map[string]string{}
	err = each(rows, err, func() error {
		var k, v string
		if err := rows.Scan(&k, &v); err != nil {
			return err
		}
		out[k] = v
		return nil
	})
	return out, because("read settings", err)
}

// AddFailure implements [Accounts].
func (s *sqliteStore) AddFailure(ctx context.Context, key string) (Failures, error) {
	var f Failures
	var ms int64
	err := s.write.QueryRowContext(ctx,
		`INSERT INTO failures (name, count, last) VALUES (?1, 1, ?2)
		 ON CONFLICT (name) DO UPDATE SET count = failures.count + 1, last = excluded.last
		 RETURNING count, last`, key, s.clock().UnixMilli()).Scan(&f.Count, &ms)
	f.Last = time.UnixMilli(ms).UTC()
	return f, because("count a failed log-in", err)
}

// FailuresOf implements [Accounts].
func (s *sqliteStore) FailuresOf(ctx context.Context, key string) (Failures, error) {
	var f Failures
	var ms int64
	err := s.read.QueryRowContext(ctx, `SELECT count, last FROM failures WHERE name = ?1`, key).Scan(&f.Count, &ms)
	if errors.Is(err, sql.ErrNoRows) {
		return Failures{}, nil
	}
	f.Last = time.UnixMilli(ms).UTC()
	return f, because("read failed log-ins", err)
}

// ClearFailures implements [Accounts].
func (s *sqliteStore) ClearFailures(ctx context.Context, key string) error {
	return s.exec(ctx, "clear failed log-ins", `DELETE FROM failures WHERE name = ?1`, key)
}

func (s *sqliteStore) exec(ctx context.Context, doing, text string, args ...any) error {
	_, err := s.write.ExecContext(ctx, text, args...)
	return because(doing, err)
}

// one reads the single value of at most one row.
func one[T any](ctx context.Context, s *sqliteStore, doing, text string, args ...any) (T, error) {
	return found[T](doing, s.read.QueryRowContext(ctx, text, args...))
}

func found[T any](doing string, row *sql.Row) (T, error) {
	var v T
	err := row.Scan(&v)
	if errors.Is(err, sql.ErrNoRows) {
		err = ErrNotFound
	}
	return v, because(doing, err)
}

func tokenHash(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}
