// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"runtime"
	"time"

	_ "modernc.org/sqlite" // the driver
)

// sqliteStore keeps logs and accounts in one SQLite file, blobs in a folder.
//
// One connection writes; the others only read and can't do otherwise. Every
// connection waits for other processes instead of failing at once.
type sqliteStore struct {
	*fileBlobs
	path    string
	write   *sql.DB
	read    *sql.DB
	stmt    statements
	turn    turn
	queue   queue
	lengths lengths
	clock   func() time.Time
	need    map[string]bool // kinds that must say what they saw
}

const busyTimeout = 10 * time.Second

// openSQLite opens an existing or new database and brings its schema up to
// date. prepare is called before anything is changed in an existing one.
func openSQLite(ctx context.Context, path string, blobs *fileBlobs, o Options, prepare func(ctx context.Context, version int64) error) (*sqliteStore, error) {
	s := &sqliteStore{fileBlobs: blobs, path: path, clock: o.Clock, need: map[string]bool{}, turn: make(turn, 1)}
	for _, k := range o.NeedSaw {
		s.need[k] = true
	}
	var err error
	if s.write, err = openPool(path, false, 1); err != nil {
		return nil, err
	}
	if s.read, err = openPool(path, true, max(4, runtime.NumCPU())); err != nil {
		return nil, errors.Join(err, s.write.Close())
	}
	if err := migrate(ctx, s.write, prepare); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	if err := s.stmt.prepare(ctx, s.write, s.read); err != nil {
		return nil, errors.Join(because("open", err), s.Close())
	}
	return s, nil
}

func openPool(path string, readOnly bool, conns int) (*sql.DB, error) {
	db, err := sql.Open("sqlite", dsn(path, readOnly))
	if err != nil {
		return nil, because("open", err)
	}
	db.SetMaxOpenConns(conns)
	db.SetMaxIdleConns(conns)
	return db, nil
}

func dsn(path string, readOnly bool) string {
	q := url.Values{}
	q.Set("_txlock", "immediate")
	for _, p := range []string{
		fmt.Sprintf("busy_timeout(%d)", busyTimeout.Milliseconds()),
		"journal_mode(WAL)",
		"synchronous(FULL)",
		"foreign_keys(1)",
	} {
		q.Add("_pragma", p)
	}
	if readOnly {
		q.Set("_txlock", "deferred")
		q.Add("_pragma", "query_only(1)")
	}
	return (&url.URL{Scheme: "file", OmitHost: true, Path: path, RawQuery: q.Encode()}).String()
}

// Close gives the database back.
func (s *sqliteStore) Close() error {
	return errors.Join(s.stmt.close(), s.read.Close(), s.write.Close())
}

// inTx runs f in one immediate transaction.
func (s *sqliteStore) inTx(ctx context.Context, f func(ctx context.Context, tx *sql.Tx) error) error {
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer func() {
		if p := recover(); p != nil {
			_ = tx.Rollback() // or nobody writes again
			panic(p)
		}
	}()
	if err := f(ctx, tx); err != nil {
		return errors.Join(err, ignoreDone(tx.Rollback()))
	}
	return tx.Commit()
}

func ignoreDone(err error) error {
	if errors.Is(err, sql.ErrTxDone) {
		return nil
	}
	return err
}
