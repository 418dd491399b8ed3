// SPDX-License-Identifier: Apache-2.0

package store_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"witnessmark/internal/store"
	"witnessmark/internal/store/storetest"
	"witnessmark/record"
)

var update = flag.Bool("update", false, "write testdata/v1 anew: only while no version that wrote it was released")

const keptBackup = "testdata/v1/workshop.backup"

// TestFormat1 restores a backup written by the first version of this program,
// brings its schema up to date, verifies it and goes on with it. It must do so
// for ever.
func TestFormat1(t *testing.T) {
	if *update {
		ok(t, os.RemoveAll(keptBackup))
		writeFormat1(t)
	}
	dir := filepath.Join(t.TempDir(), "restored")
	info, err := store.Restore(t.Context(), keptBackup, dir, options())
	ok(t, err)
	if !info.Keys {
		t.Error("the key was lost")
	}
	f, err := store.Open(t.Context(), dir, options())
	ok(t, err)
	defer f.Close()
	all, err := f.Check(t.Context())
	ok(t, err)
	if len(all) != 2 || !all[0].OK || all[0].Entries != 8 || len(all[0].Seals) != 2 || !all[1].OK {
		t.Fatalf("it verifies as %+v", all)
	}
	if v, err := f.Credential(t.Context(), "p-1"); err != nil || string(v) != "invented" {
		t.Errorf("credential %q, error %v", v, err)
	}
	add(t, f, "a", 9)
	s, err := f.Seal(t.Context(), sealReq(t, "a"))
	ok(t, err)
	if s.Size != 9 || s.OldSize != 7 {
		t.Errorf("sealed on as %+v", s)
	}
}

// writeFormat1 makes an invented workshop: two logs, two seals under two keys,
// a blob and an erased one, a sheet.
func writeFormat1(t *testing.T) {
	t.Helper()
	ctx := t.Context()
	f := newFolder(t)
	defer f.Close()
	owner, err := f.PutBlob(ctx, record.Blob{Data: []byte("Invented Owner")})
	ok(t, err)
	gone, err := f.PutBlob(ctx, record.Blob{Data: []byte("erased")})
	ok(t, err)
	sheet, err := f.PutSheet(ctx, []byte("name: Invented four\n"))
	ok(t, err)
	p := storetest.Proposal(t, "a", 0)
	p.Body = fmt.Appendf(nil, `{"owner":%q,"plate":%q,"sheet":%q}`, owner, gone, sheet)
	_, _, err = f.Append(ctx, "p-1", p, nil)
	ok(t, err)
	for i := range 4 {
		add(t, f, "a", i)
	}
	_, err = f.Seal(ctx, sealReq(t, "a"))
	ok(t, err)
	_, err = f.Rotate(ctx, storetest.Clock())
	ok(t, err)
	add(t, f, "a", 5)
	_, err = f.Seal(ctx, sealReq(t, "a"))
	ok(t, err)
	add(t, f, "b", 6)
	ok(t, f.Erase(ctx, "job/a", gone))
	ok(t, f.SetCredential(ctx, "p-1", []byte("invented")))
	_, err = f.Backup(ctx, keptBackup, true)
	ok(t, err)
}
