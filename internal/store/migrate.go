// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"
	"strconv"
	"strings"

	"github.com/pressly/goose/v3"
)

//go:embed migrations/*.sql
var migrations embed.FS

// schemaVersion is the newest version this program knows.
func schemaVersion() int64 {
	names, _ := fs.Glob(migrations, "migrations/*.sql") // the pattern is right
	last := names[len(names)-1]
	n, _ := strconv.ParseInt(strings.SplitN(strings.TrimPrefix(last, "migrations/"), "_", 2)[0], 10, 64)
	return n
}

// versionOf returns the schema version of a database, 0 for a new one.
func versionOf(ctx context.Context, db *sql.DB) (int64, error) {
	var tables int
	err := db.QueryRowContext(ctx, `SELECT COUNT(*) FROM sqlite_master WHERE name = 'goose_db_version'`).Scan(&tables)
	if err != nil || tables == 0 {
		return 0, err
	}
	var v int64
	err = db.QueryRowContext(ctx, `SELECT COALESCE(MAX(version_id), 0) FROM goose_db_version WHERE is_applied`).Scan(&v)
	return v, err
}

// migrate brings the schema up to this program's version. It calls prepare
// before it changes anything, with the version found (0: a new database).
func migrate(ctx context.Context, db *sql.DB, prepare func(ctx context.Context, version int64) error) error {
	have, err := versionOf(ctx, db)
	if err != nil {
		return because("open", err)
	}
	switch want := schemaVersion(); {
	case have > want:
		return fmt.Errorf("store: open: %w: its schema is %d, this program knows up to %d", ErrNewer, have, want)
	case have == want:
		return nil
	}
	if err := prepare(ctx, have); err != nil {
		return err
	}
	sub, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return fmt.Errorf("store: migrations: %w", err)
	}
	p, err := goose.NewProvider(goose.DialectSQLite3, db, sub)
	if err != nil {
		return fmt.Errorf("store: migrations: %w", err)
	}
	if _, err := p.Up(ctx); err != nil {
		return because("migrate", err)
	}
	return nil
}
