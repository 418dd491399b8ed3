// SPDX-License-Identifier: Apache-2.0

package faults

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"witnessmark/internal/demo"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/internal/web"
	"witnessmark/record"
)

// watch is a clock that a test sets.
type watch struct {
	mu sync.Mutex
	at time.Time
}

func (w *watch) now() time.Time {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.at
}

func (w *watch) turn(d time.Duration) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.at = w.at.Add(d)
}

// byWatch serves the invented workshop's pages in this process, so that its
// clock can be set; everything else is as the program has it.
func byWatch(t *testing.T) (s *server, w *watch, f *store.Folder) {
	t.Helper()
	dir := workshop(t)
	w = &watch{at: time.Now()}
	f, err := store.Open(t.Context(), dir, store.Options{Clock: w.now, NeedSaw: shop.NeedSaw, Server: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	sh, err := shop.New(shop.Options{Folder: f, Clock: w.now})
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(web.New(sh, web.Options{}))
	t.Cleanup(srv.Close)
	return &server{t: t, url: srv.URL}, w, f
}

// TestWrongPIN guesses PINs: each try waits longer, then a manager has to
// unlock the name. The right PIN is no help before that.
func TestWrongPIN(t *testing.T) {
	s, w, _ := byWatch(t)
	boss, b := s.as(job.Manager), tabletAt(t, s.url, "127.0.0.1")
	m := member(t, job.Technician)
	try := func(pin string) answer { return b.post("/login", url.Values{"person": {m.ID}, "pin": {pin}}) }
	for n := 1; n < shop.MaxFailures; n++ {
		try("0000").refused(http.StatusUnauthorized, parts{"Who is at the tablet?", "Name and PIN", "do not belong together", "Try again"})
		if n >= 3 {
			try(m.PIN).refused(http.StatusUnauthorized, parts{"Who is at the tablet?", "after a wrong PIN", "too soon", "Wait a few seconds"})
		}
		w.turn(time.Minute)
	}
	locked := parts{"Who is at the tablet?", "This name", "locked after too many wrong PINs", "A manager can unlock it under People"}
	try("0000").refused(http.StatusUnauthorized, locked)
	w.turn(24 * time.Hour)
	try(m.PIN).refused(http.StatusUnauthorized, locked)
	boss.logIn(job.Manager) // a day has passed
	boss.post("/people/"+m.ID+"/unlock", nil).kept()
	try(m.PIN).kept()
}

// TestClockMoved puts the server's clock back and forward while people work.
// The order is that of the record, whatever the times say; nobody is let in
// for longer, or kept out until the clock has caught up.
func TestClockMoved(t *testing.T) {
	s, w, f := byWatch(t)
	at := "/jobs/" + demo.TheCast().HalfWay
	m := member(t, job.Inspector)
	var ids []string
	enter := func() {
		t.Helper()
		b := s.as(job.Technician)
		for n := range 3 {
			id := newID(t)
			b.post(at+"/reading", reading(id, 1+n)).kept()
			ids = append(ids, id)
		}
		if a := b.get(at + "/record"); a.status != http.StatusOK {
			t.Errorf("the record: %d", a.status)
		}
	}
	enter()
	for _, d := range []time.Duration{-48 * time.Hour, 400 * 24 * time.Hour, -400 * 24 * time.Hour, -30 * 365 * 24 * time.Hour, 30 * 365 * 24 * time.Hour} {
		for range 4 { // so that the next try has to wait
			tabletAt(t, s.url, "127.0.0.1").post("/login", url.Values{"person": {m.ID}, "pin": {"0000"}})
		}
		w.turn(d)
		enter()
		if a := tabletAt(t, s.url, "127.0.0.1").post("/login", url.Values{"person": {m.ID}, "pin": {m.PIN}}); a.status != http.StatusSeeOther {
			t.Errorf("moved by %v, the right PIN is not taken: %s", d, a.text())
		}
	}
	entries, err := f.Entries(t.Context(), "job/"+demo.TheCast().HalfWay, 0)
	if err != nil {
		t.Fatal(err)
	}
	back := 0
	for i, e := range entries[len(entries)-len(ids):] {
		if e.ID != ids[i] {
			t.Errorf("entry %d is %s, not %s", e.Seq, e.ID, ids[i])
		}
		if before := entries[e.Seq-2]; e.Received.Before(before.Received) {
			back++
		}
	}
	if back != 3 {
		t.Errorf("the times go back %d times, and the clock was put back 3 times", back)
	}
	if v := record.VerifyLog(entries, nil, record.Chain{}); len(v.Problems) > 0 && strings.Contains(v.String(), "time") {
		t.Errorf("%s", v)
	}
	if _, err := f.Check(t.Context()); err != nil {
		t.Error(err)
	}

	// A session of the future ends; one that was good before the clock went on
	// is over by then.
	b := s.as(job.Technician)
	w.turn(15 * time.Hour)
	b.accept = "application/json"
	b.post(at+"/reading", reading(newID(t), 1)).refused(http.StatusUnauthorized, parts{"Log in first", "on this tablet", "has run out", "Log in"})
}

// TestStolenSession uses a tablet's cookie from another address.
func TestStolenSession(t *testing.T) {
	s := serve(t, workshop(t))
	b, thief := s.as(job.Manager), tabletAt(t, s.url, "127.0.0.2")
	u, err := url.Parse(s.url)
	if err != nil {
		t.Fatal(err)
	}
	thief.client.Jar.SetCookies(u, b.client.Jar.Cookies(u))
	if a := thief.get("/people"); a.status != http.StatusSeeOther || !strings.HasPrefix(a.location, "/login") {
		t.Errorf("with the cookie of another tablet: %d to %q", a.status, a.location)
	}
	if a := b.get("/people"); a.status != http.StatusSeeOther || !strings.HasPrefix(a.location, "/login") {
		t.Errorf("a cookie that was stolen is good still: %d", a.status)
	}
	thief.accept = "application/json"
	thief.post("/jobs/"+demo.TheCast().HalfWay+"/reading", reading(newID(t), 1)).refused(http.StatusUnauthorized,
		parts{"Log in first", "on this tablet", "Nobody is logged in", "Log in; what was typed is still there"})
	b.logIn(job.Manager)
	if a := b.get("/people"); a.status != http.StatusOK {
		t.Errorf("after a new log-in: %d", a.status)
	}
}

// TestCrossSitePost sends forms as a page of another site would, with the
// cookie that the browser has.
func TestCrossSitePost(t *testing.T) {
	dir := workshop(t)
	s := serve(t, dir)
	b := s.as(job.Manager)
	entries := len(sound(t, dir))
	at := "/jobs/" + demo.TheCast().HalfWay + "/reading"
	for name, set := range map[string]func(h http.Header){
		"another origin":      func(h http.Header) { h.Set("Origin", "http://elsewhere.example") },
		"another port":        func(h http.Header) { h.Set("Origin", "http://127.0.0.1:1") },
		"said by the browser": func(h http.Header) { h.Set("Sec-Fetch-Site", "cross-site") },
		"another subdomain":   func(h http.Header) { h.Set("Sec-Fetch-Site", "same-site") },
		"no origin at all":    func(h http.Header) { h.Set("Origin", "null") },
	} {
		for _, accept := range []string{"text/html", "application/json"} {
			r, err := b.form(at, reading(newID(t), 1))
			if err != nil {
				t.Fatal(err)
			}
			set(r.Header)
			r.Header.Set("Accept", accept)
			a := b.must(r, nil)
			t.Run(name+" "+filepath.Base(accept), func(t *testing.T) {
				a.t = t
				a.refused(http.StatusForbidden, parts{"Sent from another site", "This form", "only these pages may send", "Open the page here"})
			})
		}
	}
	if n := len(sound(t, dir)); n != entries {
		t.Errorf("%d entries, and %d before", n, entries)
	}
	r, err := b.form(at, reading(newID(t), 1))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Origin", s.url)
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	b.must(r, nil).kept()
}
