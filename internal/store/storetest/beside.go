// SPDX-License-Identifier: Apache-2.0

package storetest

import (
	"bytes"
	"errors"
	"maps"
	"testing"
	"time"

	"witnessmark/internal/store"
	"witnessmark/record"
)

func blobs(t *testing.T, st store.Store) {
	ctx := t.Context()
	data := []byte("Invented Owner")
	a, err := st.PutBlob(ctx, record.Blob{Data: data})
	ok(t, err)
	b, err := st.PutBlob(ctx, record.Blob{Data: data})
	ok(t, err)
	if a == b {
		t.Error("the same data gave the same commitment twice: guessing it would be easy")
	}
	got, err := st.Blob(ctx, a)
	ok(t, err)
	if !bytes.Equal(got.Data, data) {
		t.Errorf("got %q", got.Data)
	}
	if c, err := record.Commit(got.Salt, got.Data); c != a || err != nil {
		t.Errorf("commitment %s, not %s, error %v", c, a, err)
	}
	again, err := st.PutBlob(ctx, got)
	ok(t, err)
	if again != a {
		t.Errorf("under its salt it became %s, not %s", again, a)
	}
	if _, err := st.PutBlob(ctx, record.Blob{Salt: []byte("short"), Data: data}); err == nil {
		t.Error("a short salt was taken")
	}
	empty, err := st.PutBlob(ctx, record.Blob{})
	ok(t, err)
	if got, err := st.Blob(ctx, empty); err != nil || len(got.Data) != 0 {
		t.Errorf("nothing came back as %q, error %v", got.Data, err)
	}
	unknown, err := record.Commit(make([]byte, record.SaltSize), nil)
	ok(t, err)
	if _, err := st.Blob(ctx, unknown); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("an unknown blob: %v", err)
	}
	for _, bad := range []record.Commitment{"", "blob:../../x", record.Commitment("sheet:" + string(a[5:]))} {
		if _, err := st.Blob(ctx, bad); !errors.Is(err, record.ErrInvalid) {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

func erasure(t *testing.T, st store.Store) {
	ctx := t.Context()
	a, err := st.PutBlob(ctx, record.Blob{Data: []byte("one")})
	ok(t, err)
	b, err := st.PutBlob(ctx, record.Blob{Data: []byte("two")})
	ok(t, err)
	kept, err := st.Blob(ctx, a)
	ok(t, err)
	for _, s := range []string{"job/a", "job/b"} {
		ok(t, st.PutReport(ctx, s, "report.html", []byte("<p>one</p>")))
	}
	before, err := st.LastChange(ctx)
	ok(t, err)
	for range 2 { // the second time nothing is left to do
		ok(t, st.Erase(ctx, "job/a", a))
	}
	if _, err := st.Blob(ctx, a); !errors.Is(err, store.ErrErased) {
		t.Errorf("what was erased: %v", err)
	}
	if _, err := st.PutBlob(ctx, kept); !errors.Is(err, store.ErrErased) {
		t.Errorf("what was erased came back: %v", err)
	}
	if _, err := st.Blob(ctx, b); err != nil {
		t.Errorf("what was not erased: %v", err)
	}
	if _, err := st.Report(ctx, "job/a", "report.html"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("its report: %v", err)
	}
	if _, err := st.Report(ctx, "job/b", "report.html"); err != nil {
		t.Errorf("another's report: %v", err)
	}
	if after, err := st.LastChange(ctx); after != before || err != nil {
		t.Errorf("erasure wrote change %d, error %v", after, err)
	}
}

func sheets(t *testing.T, st store.Store) {
	ctx := t.Context()
	data := []byte("name: Invented four\n")
	var h record.ContentHash
	for range 2 {
		var err error
		h, err = st.PutSheet(ctx, data)
		ok(t, err)
	}
	got, err := st.Sheet(ctx, h)
	ok(t, err)
	if !bytes.Equal(got, data) || h != record.HashContent(data) {
		t.Errorf("%s: %q", h, got)
	}
	if _, err := st.Sheet(ctx, record.HashContent(nil)); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("an unknown sheet: %v", err)
	}
	if all, err := st.Sheets(ctx); err != nil || len(all) != 1 || all[0] != h {
		t.Errorf("all: %v, error %v", all, err)
	}
}

func reports(t *testing.T, st store.Store) {
	ctx := t.Context()
	for _, text := range []string{"first", "second"} {
		ok(t, st.PutReport(ctx, "job/a", "report.html", []byte(text)))
		got, err := st.Report(ctx, "job/a", "report.html")
		ok(t, err)
		if string(got) != text {
			t.Errorf("got %q, not %q", got, text)
		}
	}
	for _, name := range []string{"", "../x", "a/b", ".."} {
		if err := st.PutReport(ctx, "job/a", name, nil); !errors.Is(err, record.ErrInvalid) {
			t.Errorf("name %q: %v", name, err)
		}
	}
}

func credentials(t *testing.T, st store.Store) {
	ctx := t.Context()
	if _, err := st.Credential(ctx, "p-1"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("none yet: %v", err)
	}
	for _, hash := range [][]byte{{1, 2}, {3}} {
		ok(t, st.SetCredential(ctx, "p-1", hash))
		if got, err := st.Credential(ctx, "p-1"); err != nil || !bytes.Equal(got, hash) {
			t.Errorf("got %v, error %v", got, err)
		}
	}
	ok(t, st.SetCredential(ctx, "p-1", nil))
	if _, err := st.Credential(ctx, "p-1"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("taken away: %v", err)
	}
}

func sessions(t *testing.T, st store.Store) {
	ctx := t.Context()
	ok(t, st.SaveSession(ctx, "secret-1", []byte("a"), now.Add(time.Hour)))
	ok(t, st.SaveSession(ctx, "secret-2", []byte("b"), now.Add(2*time.Hour)))
	ok(t, st.SaveSession(ctx, "secret-2", []byte("c"), now.Add(3*time.Hour)))
	ok(t, st.SaveSession(ctx, "secret-3", []byte("d"), now))
	if got, err := st.Session(ctx, "secret-2"); err != nil || string(got) != "c" {
		t.Errorf("got %q, error %v", got, err)
	}
	if _, err := st.Session(ctx, "secret-3"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("expired: %v", err)
	}
	list, err := st.SessionList(ctx)
	ok(t, err)
	if len(list) != 2 || string(list[0].Data) != "c" || !list[0].Expiry.Equal(now.Add(3*time.Hour)) || list[0].Hash == "secret-2" {
		t.Fatalf("list %+v", list)
	}
	ok(t, st.DeleteSessionHash(ctx, list[0].Hash))
	ok(t, st.DeleteSession(ctx, "secret-1"))
	for _, token := range []string{"secret-1", "secret-2"} {
		if _, err := st.Session(ctx, token); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("%s after it was forgotten: %v", token, err)
		}
	}
}

func settings(t *testing.T, st store.Store) {
	ctx := t.Context()
	if _, err := st.Setting(ctx, "a.x"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("none yet: %v", err)
	}
	for k, v := range map[string]string{"a.x": "1", "a.y": "2", "b": "3", "A": "4"} {
		ok(t, st.SetSetting(ctx, k, v))
	}
	ok(t, st.SetSetting(ctx, "a.x", "5"))
	if got, err := st.Setting(ctx, "a.x"); err != nil || got != "5" {
		t.Errorf("got %q, error %v", got, err)
	}
	got, err := st.Settings(ctx, "a.")
	ok(t, err)
	if want := (map[string]string{"a.x": "5", "a.y": "2"}); !maps.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func failures(t *testing.T, st store.Store) {
	ctx := t.Context()
	if f, err := st.FailuresOf(ctx, "p-1"); err != nil || f != (store.Failures{}) {
		t.Errorf("none yet: %+v, error %v", f, err)
	}
	for i := range 3 {
		f, err := st.AddFailure(ctx, "p-1")
		ok(t, err)
		if f.Count != i+1 || !f.Last.Equal(now) {
			t.Errorf("failure %d: %+v", i+1, f)
		}
	}
	if f, err := st.FailuresOf(ctx, "p-1"); err != nil || f.Count != 3 {
		t.Errorf("after three: %+v, error %v", f, err)
	}
	ok(t, st.ClearFailures(ctx, "p-1"))
	if f, err := st.FailuresOf(ctx, "p-1"); err != nil || f.Count != 0 {
		t.Errorf("cleared: %+v, error %v", f, err)
	}
}
