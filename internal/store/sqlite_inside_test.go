// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"witnessmark/record"
)

func inside(t *testing.T) *Folder {
	t.Helper()
	f, err := Init(t.Context(), filepath.Join(t.TempDir(), "odd name?#% ä"), Config{WorkshopID: "invented-workshop"}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() }) // some tests close it themselves
	return f
}

// TestEveryConnection reads the settings on which durability rests on every
// connection that either pool can have.
func TestEveryConnection(t *testing.T) {
	f := inside(t)
	for name, pool := range map[string]*sql.DB{"write": f.db.write, "read": f.db.read} {
		want := map[string]string{
			"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "busy_timeout": "10000", "query_only": "0",
		}
		if name == "read" {
			want["query_only"] = "1"
		}
		n := pool.Stats().MaxOpenConnections
		if n < 1 || name == "write" && n != 1 {
			t.Fatalf("%s: %d connections", name, n)
		}
		for i := range n {
			conn, err := pool.Conn(t.Context()) // held to the end, so each is another
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close()
			for pragma, value := range want {
				var got string
				if err := conn.QueryRowContext(t.Context(), "PRAGMA "+pragma).Scan(&got); err != nil || got != value {
					t.Errorf("%s connection %d: %s is %q, not %q, error %v", name, i, pragma, got, value, err)
				}
			}
		}
	}
}

func TestEntriesNeverChange(t *testing.T) {
	f := inside(t)
	if _, _, err := f.Append(t.Context(), "p-1", testProposal(t, "job/a"), nil); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{`UPDATE entries SET seq = 2`, `DELETE FROM entries`} {
		if _, err := f.db.write.ExecContext(t.Context(), text); err == nil {
			t.Errorf("%s: went through", text)
		}
	}
	if _, err := f.db.read.ExecContext(t.Context(), `DELETE FROM settings`); err == nil {
		t.Error("a reading connection wrote")
	}
}

func testProposal(t *testing.T, subject string) record.Proposal {
	t.Helper()
	id, err := record.NewID(time.Now(), &counter{})
	if err != nil {
		t.Fatal(err)
	}
	return record.Proposal{ID: id, Subject: subject, DeviceTime: time.Now(), Kind: "note", Version: 1, Body: []byte(`{"text":"x"}`)}
}

var count byte

// counter gives other bytes each time.
type counter struct{}

func (*counter) Read(p []byte) (int, error) {
	count++
	for i := range p {
		p[i] = count
	}
	return len(p), nil
}

// TestOlderSchemaIsCopied pretends that the database has a schema before the
// first: it is kept as it was before it is brought up to date.
func TestOlderSchemaIsCopied(t *testing.T) {
	f := inside(t)
	ctx := t.Context()
	var called []int64
	keep := func(_ context.Context, v int64) error { called = append(called, v); return nil }
	if err := migrate(ctx, f.db.write, keep); err != nil || called != nil {
		t.Errorf("up to date, but prepared %v, error %v", called, err)
	}
	if err := f.beforeMigration(Options{Clock: time.Now})(ctx, 1); err != nil {
		t.Fatal(err)
	}
	copies, err := filepath.Glob(filepath.Join(f.Dir, "backups", "witnessmark-schema1-*.db"))
	if err != nil || len(copies) != 1 {
		t.Fatalf("copies %v, error %v", copies, err)
	}
	db, err := openPool(copies[0], true, 1)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if v, err := versionOf(ctx, db); v != schemaVersion() || err != nil {
		t.Errorf("the copy has schema %d, error %v", v, err)
	}
}

// TestNoMigrationBesideServer: the command line doesn't change the schema
// under a server that knows only the old one.
func TestNoMigrationBesideServer(t *testing.T) {
	f := inside(t)
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	server, err := Open(t.Context(), f.Dir, Options{Server: true})
	if err != nil {
		t.Fatal(err)
	}
	defer server.Close()
	beside, err := Open(t.Context(), f.Dir, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer beside.Close()
	if err := beside.beforeMigration(Options{Clock: time.Now})(t.Context(), 1); !errors.Is(err, ErrLocked) {
		t.Errorf("beside a server: %v", err)
	}
}

func TestNewerSchemaIsRefused(t *testing.T) {
	f := inside(t)
	if _, err := f.db.write.ExecContext(t.Context(), `INSERT INTO goose_db_version (version_id, is_applied) VALUES (99, 1)`); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(t.Context(), f.Dir, Options{}); !errors.Is(err, ErrNewer) {
		t.Errorf("a newer schema: %v", err)
	}
}

// TestDamageIsNamed changes a line behind the store's back.
func TestDamageIsNamed(t *testing.T) {
	f := inside(t)
	ctx := t.Context()
	for range 5 {
		if _, _, err := f.Append(ctx, "p-1", testProposal(t, "job/a"), nil); err != nil {
			t.Fatal(err)
		}
	}
	req := SealRequest{ID: testProposal(t, "job/a").ID, Subject: "job/a", Person: "p-1", DeviceTime: time.Now()}
	if _, err := f.Seal(ctx, req); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{
		`DROP TRIGGER entries_never_change`,
		`UPDATE entries SET line = CAST(REPLACE(CAST(line AS TEXT), '"x"', '"y"') AS BLOB) WHERE seq = 4`,
	} {
		if _, err := f.db.write.ExecContext(ctx, text); err != nil {
			t.Fatal(err)
		}
	}
	all, err := f.Check(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if len(all) != 1 || all[0].OK || all[0].FirstBad != 4 {
		t.Errorf("check says %v", all)
	}
	req.ID = testProposal(t, "job/a").ID
	if _, err := f.Seal(ctx, req); !errors.Is(err, ErrDamaged) {
		t.Errorf("it was sealed over: %v", err)
	}
}

func TestPermissions(t *testing.T) {
	f := inside(t)
	if _, _, err := f.Append(t.Context(), "p-1", testProposal(t, "job/a"), nil); err != nil {
		t.Fatal(err)
	}
	err := filepath.WalkDir(f.Dir, func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := d.Info()
		if err == nil && info.Mode().Perm()&0o077 != 0 {
			t.Errorf("%s: others may use it, mode %o", path, info.Mode().Perm())
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(filepath.Join(f.Dir, "keys", "private"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Key(); err == nil {
		t.Error("a key that others may read was used")
	}
}
