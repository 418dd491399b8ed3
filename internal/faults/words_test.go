// SPDX-License-Identifier: Apache-2.0

package faults

import (
	"fmt"
	"html"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"witnessmark/internal/demo"
	"witnessmark/internal/job"
)

// TestPathTricks puts paths where names belong: in the number of a job, in the
// address, in the name of a sheet. Nothing outside the data folder is read or
// written.
func TestPathTricks(t *testing.T) {
	dir := workshop(t)
	s := serve(t, dir)
	b := s.as(job.Manager)
	secret, err := os.ReadFile(filepath.Join(dir, "keys", "private"))
	if err != nil {
		t.Fatal(err)
	}
	before := tree(t, filepath.Dir(dir))
	for _, name := range []string{"../../evil", "..", "a/../../evil", `..\..\evil`, "/etc/evil", "evil\x00.txt", "evil\r\nSet-Cookie: a=b", strings.Repeat("a", 5000), "C:evil", ".hidden/../evil", "%2e%2e%2fevil"} {
		a := b.post("/jobs", url.Values{"number": {name}, "vehicle": {"Invented"}})
		a.refused(http.StatusUnprocessableEntity, parts{"Open a job", "ob number", "use letters, digits, points and dashes", "such as 0412"})
	}
	for _, path := range []string{
		"/static/x/..%2f..%2f..%2fkeys%2fprivate", "/static/x/%2e%2e/%2e%2e/keys/private", "/static/../../keys/private", "/jobs/..%2f..%2fkeys",
		"/jobs/%2e%2e/record", "/jobs/0412%00/record", "/jobs/0412/photo/..%2f..%2f..%2fkeys%2fprivate/file", "/jobs/0412/photo/blob:..%2f..%2fkeys%2fprivate/file",
		"/sheets/..%2f..%2f..%2fkeys%2fprivate/file", "/sheets/sheet:..%2f..%2f..%2fkeys%2fprivate/file", "/tools/..%2f..%2fworkshop", "/jobs/0412/bundle.zip/../../../../keys/private",
	} {
		status, body := raw(t, b, path)
		if status/100 == 5 || status == http.StatusOK {
			t.Errorf("%s: %d", path, status)
		}
		if strings.Contains(body, string(secret[:min(len(secret), 20)])) {
			t.Fatalf("%s shows the private key", path)
		}
	}
	s.stop()
	after := tree(t, filepath.Dir(dir))
	for path := range after {
		if _, ok := before[path]; !ok && !strings.Contains(path, "/witnessmark.db-") {
			t.Errorf("there is a new file %s", path)
		}
	}
}

// raw sends a path as it is: a client would tidy it up.
func raw(t *testing.T, b *tablet, path string) (status int, body string) {
	t.Helper()
	u, err := url.Parse(b.url)
	if err != nil {
		t.Fatal(err)
	}
	r := &http.Request{Method: http.MethodGet, URL: &url.URL{Scheme: "http", Host: u.Host, Opaque: path}, Host: u.Host, Header: http.Header{}}
	a := b.must(r.WithContext(t.Context()), nil)
	return a.status, a.body
}

func tree(t *testing.T, dir string) map[string]bool {
	t.Helper()
	out := map[string]bool{}
	if err := filepath.WalkDir(dir, func(path string, _ os.DirEntry, err error) error {
		out[path] = true
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return out
}

// TestLongNote keeps a note of 10,000 lines, whole, and shows it again; one
// that is longer than a note may be comes back with its reason.
func TestLongNote(t *testing.T) {
	dir := workshop(t)
	s := serve(t, dir)
	b := s.as(job.Technician)
	at := "/jobs/" + demo.TheCast().HalfWay
	var lines []string
	for n := range 10_000 {
		lines = append(lines, fmt.Sprintf("Line %d <b>& \"so on\"</b> µ ≤", n))
	}
	words := strings.Join(lines, "\r\n")
	before := blobs(t, dir)
	b.upload(at+"/note", url.Values{"id": {newID(t)}, "words": {words}, "open": {"1"}}).kept()
	for path, data := range blobs(t, dir) {
		if before[path] == "" && !strings.HasSuffix(data, words) {
			t.Errorf("%d bytes were kept, and %d sent", len(data), len(words))
		}
	}
	page := b.get(at + "/note")
	if !strings.Contains(page.body, html.EscapeString(lines[9_999])) {
		t.Error("the last line is not on the page")
	}
	for _, path := range []string{"", "/record", "/handover", "/report"} {
		if a := b.get(at + path); a.status != http.StatusOK {
			t.Errorf("%s: %d", path, a.status)
		}
	}
	for _, long := range []string{words + words, strings.Repeat(words, 12)} {
		b.upload(at+"/note", url.Values{"id": {newID(t)}, "words": {long}}).refused(http.StatusUnprocessableEntity,
			parts{"Write a note", fmt.Sprintf("he note has %d bytes", len(long)), "more than 524288", "rite several notes"})
	}
	b.post(at+"/note", url.Values{"id": {newID(t)}, "words": {strings.Repeat(words, 4)}}).refused(http.StatusRequestEntityTooLarge,
		parts{"Too large", "More was sent at once", "than the 1048 kB", "Send less at a time"})
	s.stop()
	sound(t, dir)
}

// TestStop ends the server while event streams are open, a form is half sent
// and a connection says nothing: within 5 seconds, and in good order.
func TestStop(t *testing.T) {
	dir := workshop(t)
	s := serve(t, dir)
	b := s.as(job.Technician)
	at := "/jobs/" + demo.TheCast().HalfWay
	for range 8 {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.url+at+"/events", nil)
		if err != nil {
			t.Fatal(err)
		}
		res, err := b.client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		if _, err := res.Body.Read(make([]byte, 8)); err != nil { // it streams
			t.Fatal(err)
		}
	}
	host := strings.TrimPrefix(s.url, "http://")
	for _, begin := range []string{"", "GET / HT", "POST " + at + "/note HTTP/1.1\r\nHost: " + host + "\r\nContent-Length: 100000\r\n\r\nwords=a"} {
		c, err := net.Dial("tcp", host)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		if _, err := c.Write([]byte(begin)); err != nil {
			t.Fatal(err)
		}
	}
	b.post(at+"/reading", reading(newID(t), 1)).kept() // it has gone past all these
	if took := s.stop(); took.Seconds() > 5 {
		t.Errorf("it took %v", took)
	}
	if _, err := os.Stat(filepath.Join(dir, "witnessmark.db-wal")); err == nil {
		t.Error("it ended with its write-ahead log left behind")
	}
	sound(t, dir)
}
