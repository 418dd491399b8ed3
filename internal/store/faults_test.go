// SPDX-License-Identifier: Apache-2.0

package store

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"witnessmark/record"
)

func mustAppend(t *testing.T, f *Folder, n int) {
	t.Helper()
	for range n {
		if _, _, err := f.Append(t.Context(), "p-1", testProposal(t, "job/a"), nil); err != nil {
			t.Fatal(err)
		}
	}
}

// TestDiskFull stops the database from growing, as a full disk does: what did
// not fit was not kept, and the log goes on without a gap when there is room.
func TestDiskFull(t *testing.T) {
	f := inside(t)
	mustAppend(t, f, 3)
	if _, err := f.db.write.ExecContext(t.Context(), `PRAGMA max_page_count = 1`); err != nil { // SQLite takes the size it has
		t.Fatal(err)
	}
	big := testProposal(t, "job/a")
	big.Body = []byte(`{"text":"` + strings.Repeat("x", 200_000) + `"}`)
	if _, _, err := f.Append(t.Context(), "p-1", big, nil); !errors.Is(err, ErrFull) {
		t.Errorf("on a full disk: %v", err)
	}
	if _, err := f.AppendAll(t.Context(), "p-1", []record.Proposal{testProposal(t, "job/a"), big}, nil); !errors.Is(err, ErrFull) {
		t.Errorf("several on a full disk: %v", err)
	}
	if got, err := f.Entries(t.Context(), "job/a", 0); err != nil || len(got) != 3 {
		t.Errorf("%d entries, error %v", len(got), err)
	}
	if _, err := f.db.write.ExecContext(t.Context(), `PRAGMA max_page_count = 100000`); err != nil {
		t.Fatal(err)
	}
	if e, existed, err := f.Append(t.Context(), "p-1", big, nil); err != nil || existed || e.Seq != 4 {
		t.Errorf("sent again with room: entry %d, existed %v, error %v", e.Seq, existed, err)
	}
}

// TestDamagedPages overwrites each page of the database in turn, all of it or
// all but its head. The damage is named, or it lies where nothing is (in the
// page of an empty table, whose head says so): then all is as it was.
func TestDamagedPages(t *testing.T) {
	f := inside(t)
	mustAppend(t, f, 40)
	req := SealRequest{ID: testProposal(t, "job/a").ID, Subject: "job/a", Person: "p-1", DeviceTime: f.db.clock()}
	if _, err := f.Seal(t.Context(), req); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	good, err := os.ReadFile(f.dbPath())
	if err != nil {
		t.Fatal(err)
	}
	const page = 4096
	pages := len(good) / page
	for head, least := range map[int]int{0: pages, 100: 8} {
		named := 0
		for at := 0; at+page <= len(good); at += page {
			bad := append([]byte(nil), good...)
			copy(bad[at+head:at+page], strings.Repeat("\xa5damage", page/7))
			if err := os.WriteFile(f.dbPath(), bad, 0o600); err != nil {
				t.Fatal(err)
			}
			if damageNamed(t, f.Dir) {
				named++
			}
		}
		if named < least {
			t.Errorf("damage after the first %d bytes in %d of %d pages was named", head, named, pages)
		}
	}
}

// damageNamed opens and checks the folder. Anything that is neither sound nor
// called damaged fails the test.
func damageNamed(t *testing.T, dir string) bool {
	t.Helper()
	f, err := Open(t.Context(), dir, Options{})
	if err != nil {
		if !errors.Is(err, ErrDamaged) {
			t.Errorf("open: %v", err)
		}
		return true
	}
	defer f.Close()
	all, err := f.Check(t.Context())
	if err != nil {
		if !errors.Is(err, ErrDamaged) {
			t.Errorf("check: %v", err)
		}
		return true
	}
	if len(all) != 1 || !all[0].OK || all[0].Entries != 41 {
		return true
	}
	return false
}

// TestCutWAL cuts the write-ahead log of a database that was not closed, at
// every tenth of it, as if the last writes had never reached the disk. What is
// left is a beginning of the log, sound and without a gap.
func TestCutWAL(t *testing.T) {
	f := inside(t)
	mustAppend(t, f, 30)
	wal, err := os.ReadFile(f.dbPath() + "-wal")
	if err != nil {
		t.Fatal(err)
	}
	db, err := os.ReadFile(f.dbPath())
	if err != nil {
		t.Fatal(err)
	}
	last := int64(-1)
	for i := 1; i <= 10; i++ {
		dir := filepath.Join(t.TempDir(), "copy")
		if err := os.CopyFS(dir, os.DirFS(f.Dir)); err != nil {
			t.Fatal(err)
		}
		for name, data := range map[string][]byte{"witnessmark.db": db, "witnessmark.db-wal": wal[:len(wal)*i/10]} {
			if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if err := os.Remove(filepath.Join(dir, "witnessmark.db-shm")); err != nil && !os.IsNotExist(err) {
			t.Fatal(err)
		}
		n := soundEntries(t, dir)
		if n < last {
			t.Errorf("more of the WAL gave %d entries, less gave %d", n, last)
		}
		last = n
	}
	if last != 30 {
		t.Errorf("the whole WAL gave %d entries", last)
	}
}

func soundEntries(t *testing.T, dir string) int64 {
	t.Helper()
	if err := os.Chmod(filepath.Join(dir, "keys", "private"), 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := Open(t.Context(), dir, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := f.Check(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(all) == 0 {
		return 0
	}
	if !all[0].OK {
		t.Errorf("%v", all[0].Problems)
	}
	return all[0].Entries
}
