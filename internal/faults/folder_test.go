// SPDX-License-Identifier: Apache-2.0

package faults

import (
	"bytes"
	"io/fs"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"witnessmark/internal/demo"
	"witnessmark/internal/job"
)

// TestReadOnlyFolder takes the right to write away, before the server starts
// and while it runs.
func TestReadOnlyFolder(t *testing.T) {
	dir := workshop(t)
	mode(t, dir, 0o400, 0o500)
	code, _, said := run(t, "serve", "--dir", dir, "--addr", "127.0.0.1:0")
	if code != 3 {
		t.Errorf("exit code %d", code)
	}
	parts{"data folder " + dir, "can't be written by this user", "a workshop's data folder must be", "Give this user the right to write there"}.in(t, said)
	mode(t, dir, 0o600, 0o700)

	s := serve(t, dir)
	b := s.as(job.Technician)
	at := "/jobs/" + demo.TheCast().HalfWay + "/note"
	note := url.Values{"id": {newID(t)}, "words": {"Somebody is at the folder."}}
	mode(t, filepath.Join(dir, "blobs"), 0o400, 0o500)
	a := b.post(at, note)
	a.refused(http.StatusServiceUnavailable, parts{"data folder", "What was just sent was not kept", "the server may not write", "Give the program’s user the right to write there, then send it again"})
	if !strings.Contains(a.text(), "Somebody is at the folder.") {
		t.Errorf("what was typed is gone: %s", a.text())
	}
	mode(t, filepath.Join(dir, "blobs"), 0o600, 0o700)
	b.post(at, note).kept()
	s.stop()
	sound(t, dir)
}

// mode sets the modes of all files and folders, the inner ones first.
func mode(t *testing.T, dir string, files, dirs fs.FileMode) {
	t.Helper()
	var paths []string
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		m := files
		if d.IsDir() {
			m = dirs | 0o700 // to walk on; the last of them below
			paths = append(paths, path)
		}
		return os.Chmod(path, m)
	})
	if err != nil {
		t.Fatal(err)
	}
	for i := len(paths) - 1; i >= 0; i-- {
		if err := os.Chmod(paths[i], dirs); err != nil {
			t.Fatal(err)
		}
	}
}

// TestDamagedDatabase overwrites pages of the database. The server says so,
// when it starts or on the page that needs them; it never shows something
// else as the record.
func TestDamagedDatabase(t *testing.T) {
	t.Run("its head", func(t *testing.T) {
		dir := workshop(t)
		damage(t, dir, func(db []byte) { copy(db, bytes.Repeat([]byte{0xa5}, 4096)) })
		code, _, said := run(t, "serve", "--dir", dir, "--addr", "127.0.0.1:0")
		if code != 3 {
			t.Errorf("exit code %d", code)
		}
		parts{"data folder " + dir, "what is on the disk", "not what was kept there", "restore the last backup"}.in(t, said)
	})
	damaged := parts{"The data on disk is damaged", "What this page asks for", "is not what was kept there", "restore the last backup"}
	t.Run("a page of the record", func(t *testing.T) {
		dir := workshop(t)
		damage(t, dir, func(db []byte) { // every page with a reading on it
			for at := 0; at+4096 <= len(db); at += 4096 {
				if page := db[at : at+4096]; at > 0 && bytes.Contains(page, []byte(`"kind":"reading"`)) {
					copy(page, bytes.Repeat([]byte{0xa5}, 4096))
				}
			}
		})
		s := serve(t, dir)
		s.as(job.Manager).get("/jobs/"+demo.TheCast().HalfWay).refused(http.StatusInternalServerError, damaged)
	})
	t.Run("a line of the record", func(t *testing.T) {
		dir := workshop(t)
		damage(t, dir, func(db []byte) { // one that is no JSON any more
			at := bytes.Index(db, []byte(`"kind":"reading"`))
			copy(db[at:], `"kind" "reading"`)
		})
		s := serve(t, dir)
		refused := 0
		b := s.as(job.Manager)
		for _, number := range []string{demo.TheCast().HalfWay, demo.TheCast().HandedOver} { // in one of them it is
			if a := b.get("/jobs/" + number); a.status != http.StatusOK {
				refused++
				a.refused(http.StatusInternalServerError, damaged)
			}
		}
		if refused == 0 {
			t.Error("the damaged line was not noticed")
		}
	})
	t.Run("a photo", func(t *testing.T) {
		dir := workshop(t)
		s := serve(t, dir)
		b := s.as(job.Technician)
		at := "/jobs/" + demo.TheCast().HalfWay
		before := blobs(t, dir)
		b.upload(at+"/note", url.Values{"id": {newID(t)}, "words": {"x"}}, file{"photo.jpg", "image/jpeg", smallPhoto(t)}).kept()
		var path string
		var name string
		for p, data := range blobs(t, dir) {
			if strings.Contains(p, "/reports/") {
				continue // the small copy, which can be made again
			}
			if _, old := before[p]; !old && bytes.Contains([]byte(data), []byte("JFIF")) || !old && len(data) > 200 {
				path, name = p, "blob:"+filepath.Base(p)
			}
		}
		if a := b.get(at + "/photo/" + name + "/file"); a.status != http.StatusOK || a.header.Get("Content-Type") != "image/jpeg" {
			t.Fatalf("the photo as it was: %d %s", a.status, a.text())
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		data[len(data)/2] ^= 1
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		b.get(at+"/photo/"+name+"/file").refused(http.StatusInternalServerError, damaged)
	})
}

// blobs are the files beside the logs, by path.
func blobs(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(filepath.Join(dir, "blobs"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		out[path] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func damage(t *testing.T, dir string, f func(db []byte)) {
	t.Helper()
	path := filepath.Join(dir, "witnessmark.db")
	db, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	f(db)
	if err := os.WriteFile(path, db, 0o600); err != nil {
		t.Fatal(err)
	}
}

// TestCutWriteAheadLog kills the server and takes the end off its write-ahead
// log, as a damaged disk may. What is left is a beginning of every log, without
// a gap, and the server goes on with it.
func TestCutWriteAheadLog(t *testing.T) {
	dir := workshop(t)
	s := serve(t, dir)
	b := s.as(job.Technician)
	at := "/jobs/" + demo.TheCast().HalfWay
	for n := range 20 {
		b.post(at+"/reading", reading(newID(t), 1+n%8)).kept()
	}
	s.kill()
	all := sound(t, copyOf(t, dir))
	wal := filepath.Join(dir, "witnessmark.db-wal")
	info, err := os.Stat(wal)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(wal, info.Size()/2+13); err != nil {
		t.Fatal(err)
	}
	s = serve(t, dir)
	left := sound(t, dir)
	if len(left) >= len(all) || len(left) < len(all)-20 {
		t.Errorf("%d entries of %d are left", len(left), len(all))
	}
	lines := map[string]bool{}
	for _, e := range all {
		lines[e.line] = true
	}
	for _, e := range left {
		if !lines[e.line] {
			t.Errorf("it was not there before: %s", e.line)
		}
	}
	s.as(job.Technician).post(at+"/reading", reading(newID(t), 1)).kept()
	if now := sound(t, dir); len(now) != len(left)+1 {
		t.Errorf("%d entries, and one more made %d", len(left), len(now))
	}
}

func copyOf(t *testing.T, dir string) string {
	t.Helper()
	to := filepath.Join(place(t), "copy")
	if err := os.CopyFS(to, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	own(t, to)
	return to
}

// TestSecondServer starts one on a folder, and one on a port, that has one.
func TestSecondServer(t *testing.T) {
	dir, other := workshop(t), workshop(t)
	s := serve(t, dir)
	code, _, said := run(t, "serve", "--dir", dir, "--addr", "127.0.0.1:0")
	if code != 3 {
		t.Errorf("on the same folder: exit code %d", code)
	}
	parts{"data folder", dir, "another server runs on it", "Stop that one first"}.in(t, said)
	port := strings.TrimPrefix(s.url, "http://")
	code, _, said = run(t, "serve", "--dir", other, "--addr", port)
	if code != 3 {
		t.Errorf("on the same port: exit code %d", code)
	}
	parts{"--addr", port, "Is another server running there?", "Choose another port"}.in(t, said)
	s.as(job.Manager).get("/jobs/" + demo.TheCast().HalfWay)
	serve(t, other) // the folder was given back
}
