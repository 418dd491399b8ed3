// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"

	"witnessmark/internal/api"
	"witnessmark/internal/api/client"
	"witnessmark/internal/job"
)

// What can't be understood is refused with a sentence that names it, and
// nothing is kept.
func TestRefusals(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Manager)
	before, err := c.Job(t.Context(), k.job)
	k.must(err)
	id, err := client.NewID()
	k.must(err)
	entry := func(kind, body string) string {
		return fmt.Sprintf(`{"id":%q,"kind":%q,"version":1,"device_time":"2031-05-02T11:14:01+02:00","body":%s}`, id, kind, body)
	}
	entries, long := "/jobs/0500/entries", strings.Repeat("x", 1<<20+1<<14)
	blob := "blob:" + strings.Repeat("ab", 32)
	for _, x := range []struct {
		method, path, body string
		status             int
		says               string
	}{
		{"POST", entries, `{"id":`, 400, "body"},
		{"POST", entries, ``, 400, "body"},
		{"POST", entries, `[]`, 422, "expected object"},
		{"POST", entries, strings.Replace(entry("note", "{}"), `"kind"`, `"Kind"`, 1), 422, `"Kind" in the body: there is no such field`},
		{"POST", entries, strings.Replace(entry("reading", "{}"), `"body"`, `"secret":"4711","body"`, 1), 422, `"secret" in the body: there is no such field`},
		{"POST", entries, entry("reading", `{"of":"clearance","fast":true}`), 422, `unknown field \"fast\"`},
		{"POST", entries, entry("reading", `{"of":"clearance","phase":"fitted","position":99}`), 422, "Position 99"},
		{"POST", entries, entry("reading", `7`), 422, "expected object"},
		{"POST", entries, strings.Replace(entry("last_look", "{}"), `"version":1`, `"version":9`, 1), 422, "version 9"},
		{"POST", entries, strings.Replace(entry("last_look", "{}"), id, "not-an-id", 1), 422, "id"},
		{"POST", entries, strings.Replace(entry("last_look", "{}"), id, "", 1), 422, "ULID"},
		{"POST", entries, strings.Replace(entry("last_look", "{}"), "2031-05-02T11:14:01+02:00", "yesterday", 1), 422, "device_time"},
		{"POST", entries, entry("guess", "{}"), 422, "no such kind"},
		{"POST", entries, entry("note", "{}"), 422, "/jobs/{job}/notes"},
		{"POST", entries, entry("tool_retired", `{"reason":"old"}`), 422, "log of a tool"},
		{"POST", "/tools/TW-1/entries", entry("last_look", "{}"), 422, "log of a job"},
		{"POST", "/tools/TW-1/entries", entry("tool_retired", `{"reason":"old"}`), 404, ""},
		{"POST", "/tools/TW-1/entries", entry("tool_added", `{"id":"TW-2","kind":"other","title":"Thing"}`), 422, "TW-1"},
		{"POST", entries, entry("arrival", `{"photos":["`+blob+`"]}`), 422, "no photo that is kept here"},
		{"POST", entries, entry("sheet_adopted", `{"sheet":"sheet:`+strings.Repeat("ab", 32)+`","family":"other"}`), 422, "no engine sheet of this workshop"},
		{"POST", entries, entry("sheet_adopted", `{"sheet":"`+k.sheet+`","family":"other"}`), 422, "the engine sheet is of"},
		{"POST", entries, entry("old_parts", `{"parts":"`+long+`"}`), 413, "Too large"},
		{"POST", "/jobs/9999/entries", entry("last_look", "{}"), 404, ""},
		{"POST", "/jobs/..%2F..%2Fetc/entries", entry("last_look", "{}"), 404, ""},
		{"GET", "/jobs/..%2Fworkshop", "", 404, ""},
		{"GET", "/jobs/0500/handover", "", 404, "handover"},
		{"GET", "/jobs/0500/entries?after=-1", "", 422, "after"},
		{"GET", "/jobs/0500/entries?after=x", "", 422, "after"},
		{"GET", "/jobs/0500?fast=1", "", 422, "no such parameter"},
		{"GET", "/changes?wait=3600", "", 422, "wait"},
		{"GET", "/nowhere", "", 404, "openapi.json"},
		{"DELETE", "/jobs/0500", "", 405, "Allow"},
		{"POST", "/jobs", `{"number":"a/b"}`, 422, "letters, digits"},
		{"POST", "/jobs", `{"number":"0500"}`, 422, "opened before"},
		{"POST", "/jobs", `{"number":"0501","sheet":"sheet:` + strings.Repeat("ab", 32) + `"}`, 422, "no such sheet"},
		{"POST", "/jobs/0500/details", `{"id":"` + id + `"}`, 422, "one at a time"},
		{"POST", "/jobs/0500/notes", `{"id":"` + id + `","words":"  "}`, 422, "empty"},
		{"POST", "/jobs/0500/concessions", `{"id":"` + id + `","obstacle":"none","reason":"so","saw":1}`, 422, "nothing of that name"},
		{"POST", "/people", `{"name":"X","role":"chief","pin":"1234"}`, 422, "role"},
		{"POST", "/people", `{"name":"X","role":"office","pin":"12"}`, 422, "4 to 12 digits"},
		{"POST", "/sheets", `family: [`, 422, ""},
		{"POST", "/tokens", `{"person":"p-office","pin":"2468","device":"t","more":1}`, 422, `"more" in the body`},
		{"POST", "/setup", `{"code":"X","name":"Y","pin":"2468","device":"t"}`, 401, "set-up code"},
	} {
		status, body := ask(t, k.server.URL, x.method, x.path, c.Token, x.body)
		var p api.Problem
		if err := json.Unmarshal([]byte(body), &p); err != nil || p.Status != status || p.Title == "" || p.Detail == "" || p.Next == "" {
			t.Errorf("%s %s %.80s: %d is no problem with its parts: %s", x.method, x.path, x.body, status, body)
		}
		if status != x.status || !strings.Contains(body, x.says) && !strings.Contains(p.Detail, x.says) {
			t.Errorf("%s %s %.120s: %d %s, want %d and %q", x.method, x.path, x.body, status, body, x.status, x.says)
		}
		if strings.Contains(body, "2468") || strings.Contains(body, "4711") {
			t.Errorf("%s %s: what was typed is in the answer: %s", x.method, x.path, body)
		}
	}
	after, err := c.Job(t.Context(), k.job)
	k.must(err)
	if after.Size != before.Size {
		t.Errorf("the job has %d entries, had %d", after.Size, before.Size)
	}
}

// An entry that is sent twice is kept once; other words under its id are
// refused, and so is a correction of what has changed since it was seen.
func TestSentTwice(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Technician)
	p, err := client.Propose("reading", clearance(t, job.AsFitted, 1, "0.045"), 0)
	k.must(err)
	first, err := c.AppendAgain(t.Context(), k.job, p)
	k.must(err)
	again, err := c.AppendAgain(t.Context(), k.job, p)
	k.must(err)
	if first.Existed || !again.Existed || first.Sequence != again.Sequence || string(first.Line) != string(again.Line) {
		t.Errorf("first %+v, then %+v", first, again)
	}
	p.Body, err = json.Marshal(clearance(t, job.AsFitted, 1, "0.046"))
	k.must(err)
	_, err = c.AppendAgain(t.Context(), k.job, p)
	k.refused(err, http.StatusConflict, "Sent before")

	correction := job.Correction{Replaces: first.Sequence, Reason: "misread"}
	_, err = c.Append(t.Context(), k.job, "correction", correction, first.Sequence)
	k.must(err)
	_, err = c.Append(t.Context(), k.job, "correction", correction, first.Sequence)
	if got := k.refused(err, http.StatusConflict, "went on"); len(got.Changed) != 1 || got.Changed[0] != first.Sequence+1 {
		t.Errorf("changed %v", got.Changed)
	}

	note := api.NewNote{ID: p.ID, Words: "under the id of a reading"}
	_, err = c.AddNote(t.Context(), k.job, note)
	k.refused(err, http.StatusConflict, "another entry")
	if note.ID, err = client.NewID(); err != nil {
		t.Fatal(err)
	}
	one, err := c.AddNote(t.Context(), k.job, note)
	k.must(err)
	two, err := c.AddNote(t.Context(), k.job, note)
	k.must(err)
	if one.Sequence != two.Sequence || !two.Existed {
		t.Errorf("the note is kept at %d and %d", one.Sequence, two.Sequence)
	}
}

// What arrives in part counts for nothing, and the answer says so.
func TestHalfSent(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Manager)
	conn, err := net.Dial("tcp", strings.TrimPrefix(k.server.URL, "http://"))
	k.must(err)
	defer conn.Close()
	_, err = fmt.Fprintf(conn, "POST %s/jobs/0500/photos HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer %s\r\nContent-Type: image/jpeg\r\nContent-Length: 100000\r\n\r\n\xff\xd8\xff", api.Prefix, c.Token)
	k.must(err)
	k.must(conn.(*net.TCPConn).CloseWrite())
	res, err := http.ReadResponse(bufio.NewReader(conn), nil)
	k.must(err)
	body, err := io.ReadAll(res.Body)
	k.must(err)
	if res.StatusCode != http.StatusBadRequest || !strings.Contains(string(body), "Only part of it arrived") {
		t.Errorf("%d %s", res.StatusCode, body)
	}
}
