// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"bytes"
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"witnessmark/internal/api"
	"witnessmark/internal/api/client"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/record"
)

// A device that waits hears of what is kept meanwhile, past the interface too.
func TestChanges(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Technician)
	all, err := c.Changes(t.Context(), 0, 0)
	k.must(err)
	if len(all.Changes) == 0 || all.Last != all.Changes[len(all.Changes)-1].Number {
		t.Fatalf("from the beginning: %+v", all)
	}
	type heard struct {
		api.Changes
		err error
	}
	answer := make(chan heard)
	go func() {
		n, err := c.Changes(t.Context(), all.Last, 30)
		answer <- heard{n, err}
	}()
	e, _, err := k.shop.Append(t.Context(), "p-inspector", shop.Input{Subject: shop.Subject(k.job), Kind: "last_look", Body: job.LastLook{NothingLeft: true}})
	k.must(err)
	h := <-answer
	k.must(h.err)
	if len(h.Changes.Changes) != 1 || h.Changes.Changes[0].Sequence != e.Seq || h.Changes.Changes[0].Person != "p-inspector" || h.Last != all.Last+1 {
		t.Errorf("heard %+v", h.Changes)
	}
	// A record shorter than what was seen is another one: it is sent whole.
	again, err := c.Changes(t.Context(), h.Last+1000, 0)
	k.must(err)
	if len(again.Changes) != len(all.Changes)+1 {
		t.Errorf("%d changes of a restored record, want %d", len(again.Changes), len(all.Changes)+1)
	}
}

// A page of entries ends where the next begins.
func TestEntriesInPages(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Office)
	whole, err := c.Entries(t.Context(), k.job, 0)
	k.must(err)
	var page []byte
	k.must(c.Send(t.Context(), http.MethodGet, "/jobs/0500/entries?limit=1", nil, &page))
	if want := string(whole[0].Line()) + "\n"; string(page) != want {
		t.Errorf("got %q, want %q", page, want)
	}
	rest, err := c.Entries(t.Context(), k.job, 1)
	k.must(err)
	if len(rest) != len(whole)-1 || rest[0].Seq != 2 {
		t.Errorf("%d entries after the first of %d", len(rest), len(whole))
	}
	none, err := c.Entries(t.Context(), k.job, whole[len(whole)-1].Seq)
	k.must(err)
	if len(none) != 0 {
		t.Errorf("%d entries after the last", len(none))
	}
}

// Details and notes are beside the log and read back with their words; the
// log itself has none of them.
func TestBesideTheLog(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Office)
	id, err := client.NewID()
	k.must(err)
	var one, two api.Kept
	d := api.NewDetails{ID: id, Owner: &api.Contact{Name: "Somebody Invented", Phone: "555"}}
	k.must(c.Send(t.Context(), http.MethodPost, "/jobs/0500/details", d, &one))
	k.must(c.Send(t.Context(), http.MethodPost, "/jobs/0500/details", d, &two))
	if one.Sequence != two.Sequence {
		t.Errorf("kept at %d and %d", one.Sequence, two.Sequence)
	}
	_, err = c.AddNote(t.Context(), k.job, api.NewNote{Words: "Rings Somebody Invented first.", Open: true})
	k.must(err)
	var details api.Details
	k.must(c.Send(t.Context(), http.MethodGet, "/jobs/0500/details", nil, &details))
	var notes api.Notes
	k.must(c.Send(t.Context(), http.MethodGet, "/jobs/0500/notes", nil, &notes))
	if details.Owner != *d.Owner || len(notes.Notes) != 1 || !notes.Notes[0].Open || !strings.Contains(notes.Notes[0].Words, "Somebody") {
		t.Errorf("read back %+v and %+v", details, notes)
	}
	var lines []byte
	k.must(c.Send(t.Context(), http.MethodGet, "/jobs/0500/entries", nil, &lines))
	if bytes.Contains(lines, []byte("Somebody")) {
		t.Error("a name is in the log")
	}
	var rec api.Record
	k.must(c.Send(t.Context(), http.MethodGet, "/jobs/0500/record", nil, &rec))
	if n := len(rec.Lines); n == 0 || rec.Lines[n-1].Kind != "note" || rec.Lines[n-1].Person != "Some office" {
		t.Errorf("the record in words: %+v", rec.Lines)
	}
}

// An empty workshop is set up with the code that the server printed, once.
func TestSetUp(t *testing.T) {
	f, err := store.Init(t.Context(), t.TempDir(), store.Config{WorkshopID: "new", Name: "New"}, store.Options{NeedSaw: shop.NeedSaw})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	s, err := shop.New(shop.Options{Folder: f, Program: "test"})
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(api.New(s, api.Options{SetUpCode: "ABCD2345"}))
	defer server.Close()
	k := &kit{TB: t, server: server}
	c := k.as("")
	first := api.SetUp{Code: "abcd2345", Name: "First One", PIN: kitPIN, Device: "tablet"}
	wrong := first
	wrong.Code = "ABCD2346"
	k.refused(c.Send(t.Context(), http.MethodPost, "/setup", wrong, nil), http.StatusUnauthorized, "set-up code")
	var l api.LogIn
	k.must(c.Send(t.Context(), http.MethodPost, "/setup", first, &l))
	if l.Person.Role != job.Manager {
		t.Errorf("the first is %+v", l.Person)
	}
	k.refused(c.Send(t.Context(), http.MethodPost, "/setup", first, nil), http.StatusUnauthorized, "set-up code")

	c.Token = l.Token
	id, err := client.NewID()
	k.must(err)
	k.must(c.Send(t.Context(), http.MethodPost, "/settings", api.NewSettings{ID: id, DeviceTime: s.Now(), Units: "inch", Confidence: 0.9}, nil))
	w, err := c.Workshop(t.Context())
	k.must(err)
	if w.Units != "inch" || w.Confidence != 0.9 || w.Assumed || !w.OnePerson {
		t.Errorf("settings %+v", w)
	}
	if _, err := record.KeyName(w.PublicKey); err != nil {
		t.Error(err)
	}
}

// Every printed thing comes as what it is.
func TestPrinted(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Office)
	for path, begins := range map[string]string{
		"/jobs/0500/report.html": "<!doctype html>", "/jobs/0500/report.pdf?paper=letter": "%PDF-", "/jobs/0500/summary.pdf": "%PDF-", "/jobs/0500/bundle.zip?without=words&without=photos": "PK", "/jobs/0500/bundle.zip": "PK",
		"/sheets/" + k.sheet + "/blank.pdf?job=0500": "%PDF-",
	} {
		var data []byte
		k.must(c.Send(t.Context(), http.MethodGet, path, nil, &data))
		if !strings.HasPrefix(strings.ToLower(string(data[:min(len(data), 20)])), strings.ToLower(begins)) {
			t.Errorf("%s begins with %.40q", path, data)
		}
	}
}

// Whatever is sent for an entry, the program answers with a refusal or keeps
// it; what is kept folds and is shown. Over the network no two runs cover the
// same, so fuzz it with -fuzzminimizetime 1x.
func FuzzAppend(f *testing.F) {
	k := newKit(f)
	c := k.as(job.Manager)
	f.Add("reading", []byte(`{"of":"clearance","phase":"fitted","position":1,"value":{"text":"0.045","unit":"mm","kind":"length"}}`), int64(0))
	f.Add("correction", []byte(`{"replaces":2,"reason":"x","kind":"sheet_adopted","version":1,"body":{"sheet":"sheet:`+strings.Repeat("ab", 32)+`","family":"x"}}`), int64(2))
	f.Add("photo_marked", []byte(`{"photo":"blob:`+strings.Repeat("ab", 32)+`","marks":[{"shape":"circle","x1":0.1,"y1":0.1,"x2":0.2,"y2":0.2}]}`), int64(0))
	f.Add("sheet_adopted", []byte(`{"sheet":"x","sheet":"y"}`), int64(-1))
	f.Add("stage_done", []byte(`{"fastener":"rod_bolt","bolts":[]}`), int64(9))
	f.Fuzz(func(t *testing.T, kind string, body []byte, saw int64) {
		c := &client.Client{URL: c.URL, Token: c.Token, HTTP: &http.Client{Transport: described{t, http.DefaultTransport}}}
		id, err := client.NewID()
		if err != nil {
			t.Fatal(err)
		}
		err = c.Send(t.Context(), http.MethodPost, "/jobs/0500/entries", map[string]any{"id": id, "kind": kind, "version": 1, "device_time": k.clock.Now(), "saw": saw, "body": raw(body)}, nil)
		var p *api.Problem
		if errors.As(err, &p) && p.Status >= http.StatusInternalServerError {
			t.Errorf("%s %s: %v", kind, body, p)
		}
		if _, err := c.Job(t.Context(), k.job); err != nil {
			t.Fatalf("after %s %s the job is not shown: %v", kind, body, err)
		}
	})
}
