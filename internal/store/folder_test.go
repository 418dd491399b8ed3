// SPDX-License-Identifier: Apache-2.0

package store_test

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"witnessmark/internal/store"
	"witnessmark/internal/store/storetest"
	"witnessmark/record"
)

func ok(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func add(t testing.TB, f *store.Folder, job string, n int) record.Entry {
	t.Helper()
	e, _, err := f.Append(t.Context(), "p-1", storetest.Proposal(t, job, n), nil)
	ok(t, err)
	return e
}

func sealReq(t testing.TB, job string) store.SealRequest {
	t.Helper()
	p := storetest.Proposal(t, job, 0)
	return store.SealRequest{ID: p.ID, Subject: p.Subject, Person: "p-1", DeviceTime: p.DeviceTime}
}

func TestInitAndReopen(t *testing.T) {
	dir := t.TempDir() // there, and empty
	f, err := store.Init(t.Context(), dir, store.Config{WorkshopID: "invented-workshop", Name: "Invented Workshop", TimeZone: "Europe/Berlin", Confidence: 0.9}, options())
	ok(t, err)
	e := add(t, f, "a", 1)
	chain, err := f.Chain()
	ok(t, err)
	pepper, err := f.Secret("pepper")
	ok(t, err)
	ok(t, f.Close())
	if _, err := store.Init(t.Context(), dir, store.Config{WorkshopID: "x"}, options()); !errors.Is(err, fs.ErrExist) {
		t.Errorf("over another folder: %v", err)
	}
	f, err = store.Open(t.Context(), dir, options())
	ok(t, err)
	defer f.Close()
	got, err := f.Entries(t.Context(), "job/a", 0)
	ok(t, err)
	again, err := f.Secret("pepper")
	ok(t, err)
	if len(got) != 1 || !bytes.Equal(got[0].Line(), e.Line()) || !bytes.Equal(pepper, again) || len(pepper) != 32 {
		t.Errorf("after reopening: %v, pepper %x and %x", got, pepper, again)
	}
	if c := f.Config; c.Name != "Invented Workshop" || c.Confidence != 0.9 || c.Units != "mm" || c.TimeZone != "Europe/Berlin" {
		t.Errorf("config %+v", c)
	}
	key, err := f.Key()
	ok(t, err)
	if chain.Newest() != key.Verifier || strings.Contains(fmt.Sprint(key), "PRIVATE") {
		t.Errorf("key %v, chain %v", key, chain.Keys)
	}
}

func TestOpenRefusals(t *testing.T) {
	if _, err := store.Open(t.Context(), t.TempDir(), options()); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("an empty folder: %v", err)
	}
	f := newFolder(t)
	ok(t, f.Close())
	path := filepath.Join(f.Dir, "config.yaml")
	good, err := os.ReadFile(path)
	ok(t, err)
	for _, bad := range []string{"time_zone: Nowhere/Town", "confidence: 80", "units: furlong", "colour: red", "workshop: A B", "paper: [", "currency: euro", "format: 9"} {
		key, _, _ := strings.Cut(bad, ":")
		var text []string
		for l := range strings.Lines(string(good)) {
			if !strings.HasPrefix(l, key+":") {
				text = append(text, l)
			}
		}
		ok(t, os.WriteFile(path, []byte(strings.Join(text, "")+bad+"\n"), 0o600))
		if f, err := store.Open(t.Context(), f.Dir, options()); err == nil {
			t.Errorf("%s: opened, error %v", bad, f.Close())
		}
	}
}

func TestOneServer(t *testing.T) {
	f := newFolder(t)
	ok(t, f.Close())
	o := options()
	o.Server = true
	server, err := store.Open(t.Context(), f.Dir, o)
	ok(t, err)
	if _, err := store.Open(t.Context(), f.Dir, o); !errors.Is(err, store.ErrLocked) {
		t.Errorf("a second server: %v", err)
	}
	ok(t, server.Close())
	server, err = store.Open(t.Context(), f.Dir, o)
	ok(t, err)
	ok(t, server.Close())
}

// TestCommandLineBesideServer writes from two openings of the folder at once,
// as two programs would: nothing is lost, and each sees the other's.
func TestCommandLineBesideServer(t *testing.T) {
	server := newFolder(t)
	defer server.Close()
	beside, err := store.Open(t.Context(), server.Dir, options())
	ok(t, err)
	defer beside.Close()
	const each = 25
	var wg sync.WaitGroup
	for _, f := range []*store.Folder{server, beside, server, beside} {
		wg.Go(func() {
			for i := range each {
				if _, _, err := f.Append(t.Context(), "p-1", storetest.Proposal(t, "a", i), nil); err != nil {
					t.Error(err)
				}
				if _, err := f.AppendAll(t.Context(), "p-1", []record.Proposal{storetest.Proposal(t, "a", i), storetest.Proposal(t, "b", i)}, nil); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	for _, f := range []*store.Folder{server, beside} {
		for job, want := range map[string]int{"job/a": 8 * each, "job/b": 4 * each} {
			got, err := f.Entries(t.Context(), job, 0)
			ok(t, err)
			if len(got) != want || got[want-1].Seq != int64(want) {
				t.Errorf("%s has %d entries, not %d", job, len(got), want)
			}
		}
		if n, err := f.LastChange(t.Context()); n != 12*each || err != nil {
			t.Errorf("last change %d, error %v", n, err)
		}
	}
}

func TestSealAndSealAgain(t *testing.T) {
	f := newFolder(t)
	defer f.Close()
	for i := range 5 {
		add(t, f, "a", i)
	}
	req := sealReq(t, "a")
	s1, err := f.Seal(t.Context(), req)
	ok(t, err)
	if again, err := f.Seal(t.Context(), req); err != nil || again.Note != s1.Note {
		t.Errorf("a repeat made another seal, error %v", err)
	}
	add(t, f, "a", 6)
	late := sealReq(t, "a")
	late.Saw = 6
	var moved *record.ConflictError
	if _, err := f.Seal(t.Context(), late); !errors.As(err, &moved) || moved.Seq != 7 {
		t.Errorf("a seal of what the person did not see: %v", err)
	}
	_, err = f.Rotate(t.Context(), storetest.Clock())
	ok(t, err)
	s2, err := f.Seal(t.Context(), sealReq(t, "a"))
	ok(t, err)
	if s2.Seq != 8 || s2.Size != 7 || s2.OldSize != 5 || s2.Key == s1.Key {
		t.Errorf("second seal %+v", s2)
	}
	chain, err := f.Chain()
	ok(t, err)
	_, v, err := f.VerifyLog(t.Context(), "job/a", chain)
	ok(t, err)
	if !v.OK || len(v.Seals) != 2 || v.Sealed != 7 {
		t.Errorf("verification %+v", v)
	}
	if _, err := f.Seal(t.Context(), sealReq(t, "none")); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("a log that isn't there: %v", err)
	}
}

// TestRotationCutShort: the power goes between the steps of a rotation.
func TestRotationCutShort(t *testing.T) {
	f := newFolder(t)
	defer f.Close()
	keys := filepath.Join(f.Dir, "keys")
	before, err := os.ReadFile(filepath.Join(keys, "private"))
	ok(t, err)
	_, err = f.Rotate(t.Context(), storetest.Clock())
	ok(t, err)
	after, err := os.ReadFile(filepath.Join(keys, "private"))
	ok(t, err)
	ok(t, os.WriteFile(filepath.Join(keys, "private.next"), after, 0o600))
	ok(t, os.WriteFile(filepath.Join(keys, "private"), before, 0o600))
	again, err := store.Open(t.Context(), f.Dir, options())
	ok(t, err)
	defer again.Close()
	if _, err := again.Key(); err != nil {
		t.Errorf("after the power came back: %v", err)
	}
}

func TestBackupAndRestore(t *testing.T) {
	f := newFolder(t)
	defer f.Close()
	ctx := t.Context()
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
	add(t, f, "b", 1)
	_, err = f.Seal(ctx, sealReq(t, "a"))
	ok(t, err)
	ok(t, f.Erase(ctx, "job/a", gone))
	ok(t, f.SetSetting(ctx, "x", "y"))
	_, err = f.Secret("pepper")
	ok(t, err)
	for _, withKeys := range []bool{false, true} {
		path := filepath.Join(t.TempDir(), "w.backup")
		info, err := f.Backup(ctx, path, withKeys)
		ok(t, err)
		if _, err := f.Backup(ctx, path, withKeys); !errors.Is(err, fs.ErrExist) {
			t.Errorf("over another file: %v", err)
		}
		dir := filepath.Join(t.TempDir(), "restored")
		got, err := store.Restore(ctx, path, dir, options())
		ok(t, err)
		if got != info || info.Keys != withKeys {
			t.Errorf("put in %+v, came out %+v", info, got)
		}
		sameFolder(t, f, dir, withKeys)
	}
}

// sameFolder holds a restored folder against f, line by line and blob by blob.
func sameFolder(t *testing.T, f *store.Folder, dir string, withKeys bool) {
	t.Helper()
	g, err := store.Open(t.Context(), dir, options())
	ok(t, err)
	defer g.Close()
	a, err := f.ChangesAfter(t.Context(), 0, 1000)
	ok(t, err)
	b, err := g.ChangesAfter(t.Context(), 0, 1000)
	ok(t, err)
	if len(a) != len(b) {
		t.Fatalf("%d changes, restored %d", len(a), len(b))
	}
	for i := range a {
		if a[i].Number != b[i].Number || !bytes.Equal(a[i].Entry.Line(), b[i].Entry.Line()) {
			t.Errorf("%s\nrestored as\n%s", a[i].Entry.Line(), b[i].Entry.Line())
		}
	}
	blobs, _ := record.Refs(a[0].Entry.Body)
	if got, err := g.Blob(t.Context(), blobs[0]); err != nil || string(got.Data) != "Invented Owner" {
		t.Errorf("blob %q, error %v", got.Data, err)
	}
	if _, err := g.Blob(t.Context(), blobs[1]); !errors.Is(err, store.ErrErased) {
		t.Errorf("what was erased: %v", err)
	}
	if v, err := g.Setting(t.Context(), "x"); v != "y" || err != nil {
		t.Errorf("setting %q, error %v", v, err)
	}
	_, err = g.Key()
	if withKeys {
		ok(t, err)
	} else if !errors.Is(err, store.ErrNoKey) {
		t.Errorf("without keys: %v", err)
	}
}

// TestDamagedBackup changes bytes all over a backup: a restore either refuses
// it and leaves the folder empty, or restores all of it (bytes of the zip that
// carry nothing, such as times).
func TestDamagedBackup(t *testing.T) {
	f := newFolder(t)
	defer f.Close()
	add(t, f, "a", 1)
	path := filepath.Join(t.TempDir(), "w.backup")
	_, err := f.Backup(t.Context(), path, false)
	ok(t, err)
	good, err := os.ReadFile(path)
	ok(t, err)
	refused := 0
	for i := 0; i < len(good); i += len(good)/40 + 1 {
		bad := bytes.Clone(good)
		bad[i] ^= 0x10
		ok(t, os.WriteFile(path, bad, 0o600))
		dir := filepath.Join(t.TempDir(), "restored")
		if _, err := store.Restore(t.Context(), path, dir, options()); err != nil {
			refused++
			left, err := os.ReadDir(dir)
			if err == nil && len(left) > 0 {
				t.Errorf("byte %d: it left %v", i, left)
			}
			continue
		}
		sameFiles(t, f, dir)
	}
	if refused < 30 {
		t.Errorf("only %d of 40 refused", refused)
	}
	ok(t, os.WriteFile(path, good[:len(good)/2], 0o600))
	if _, err := store.Restore(t.Context(), path, filepath.Join(t.TempDir(), "r"), options()); !errors.Is(err, store.ErrDamaged) {
		t.Errorf("half a backup: %v", err)
	}
}

func sameFiles(t *testing.T, f *store.Folder, dir string) {
	t.Helper()
	g, err := store.Open(t.Context(), dir, options())
	ok(t, err)
	defer g.Close()
	a, err := f.Entries(t.Context(), "job/a", 0)
	ok(t, err)
	b, err := g.Entries(t.Context(), "job/a", 0)
	ok(t, err)
	if len(a) != len(b) || !bytes.Equal(a[0].Line(), b[0].Line()) {
		t.Errorf("restored %v", b)
	}
}
