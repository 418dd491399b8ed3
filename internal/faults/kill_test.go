// SPDX-License-Identifier: Apache-2.0

package faults

import (
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"witnessmark/internal/api"
	"witnessmark/internal/api/client"
	"witnessmark/internal/demo"
	"witnessmark/internal/job"
	"witnessmark/internal/store"
	"witnessmark/record"
)

// sent is one entry that was sent: as a form by a tablet, or through the API
// by a device.
type sent struct {
	subject string
	path    string
	form    url.Values
	propose *api.Proposal
}

// sender is a tablet or a device.
type sender interface {
	at(url string)
	entry(job string, n int) (id string, e sent)
	try(e sent) bool
}

func (b *tablet) at(url string) { b.url = url }

// device speaks the API with a token of its own.
type device struct {
	t testing.TB
	*client.Client
}

func (s *server) device(role string) *device {
	s.t.Helper()
	d := &device{s.t, client.New(s.url)}
	m := member(s.t, role)
	if _, err := d.LogIn(s.t.Context(), m.ID, m.PIN, "endurance"); err != nil {
		s.t.Fatal(err)
	}
	return d
}

func (d *device) at(url string) { d.URL = url }

func (d *device) entry(number string, _ int) (string, sent) {
	p, err := client.Propose("debris_found", job.DebrisFound{Place: "sump", Kinds: []string{"none"}, Amount: "none"}, 0)
	if err != nil {
		d.t.Error(err)
	}
	return p.ID, sent{subject: "job/" + number, path: number, propose: &p}
}

// try sends an entry and reports whether it was acknowledged.
func (d *device) try(e sent) bool {
	_, err := d.AppendAgain(d.t.Context(), e.path, *e.propose)
	var refused *api.Problem
	if errors.As(err, &refused) {
		d.t.Errorf("%s: %v", e.path, refused)
	}
	return err == nil
}

// ledger is what the tablets know: what they sent and what was acknowledged.
type ledger struct {
	mu    sync.Mutex
	sent  map[string]sent // by id
	acked map[string]bool
}

func (l *ledger) send(id string, s sent) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.sent[id] = s
}

func (l *ledger) ack(id string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.acked[id] = true
}

// TestKilled kills the server with SIGKILL at a random point while three
// tablets and a device of the API enter readings and notes, about 40 entries to a round and 2,000 in
// all, and starts it again on the same folder. What was acknowledged is there
// once; what was not is there once at most, and once after it is sent again;
// every log verifies and has no gap.
func TestKilled(t *testing.T) {
	rounds := 50
	if os.Getenv("WITNESSMARK_LONG") == "1" {
		rounds = 1000
	}
	dir := workshop(t)
	l := &ledger{sent: map[string]sent{}, acked: map[string]bool{}}
	s := serve(t, dir)
	boss := s.as(job.Manager)
	senders := []sender{s.device(job.Technician)} // logged in once: that outlives the server too
	for range 3 {
		b := s.as(job.Technician)
		b.accept = "application/json"
		senders = append(senders, b)
	}
	var jobs []string
	for round := range rounds {
		if round%10 == 0 { // a job has tens of entries, hundreds at most
			boss.url = s.url
			jobs = newJobs(t, boss, round)
		}
		s.killedAmid(l, senders, jobs)
		s = serve(t, dir)
		for _, b := range senders {
			b.at(s.url)
		}
		sendAgain(t, l, senders)
		if round%10 == 9 || round == rounds-1 {
			l.check(t, dir)
		}
	}
	if len(l.acked) < rounds*10 {
		t.Errorf("only %d entries in %d rounds: too few to mean anything", len(l.acked), rounds)
	}
	t.Logf("%d rounds, %d entries", rounds, len(l.acked))
}

func newJobs(t testing.TB, boss *tablet, round int) []string {
	t.Helper()
	var jobs []string
	for i := range 3 {
		number := fmt.Sprintf("K%04d-%d", round, i)
		boss.post("/jobs", url.Values{"number": {number}, "vehicle": {"Invented"}, "purpose": {"endurance"}, "sheet": {theSheet(t)}}).kept()
		jobs = append(jobs, number)
	}
	return jobs
}

// killedAmid lets all of them enter until the server is killed.
func (s *server) killedAmid(l *ledger, senders []sender, jobs []string) {
	s.t.Helper()
	after := int64(1 + rand.IntN(80))
	var acked atomic.Int64
	enough := make(chan struct{})
	var wg sync.WaitGroup
	for i, b := range senders {
		wg.Go(func() {
			for n := 0; ; n++ {
				id, e := b.entry(jobs[(i+n)%len(jobs)], n)
				l.send(id, e)
				if !b.try(e) {
					return
				}
				l.ack(id)
				if acked.Add(1) == after {
					close(enough)
				}
			}
		})
	}
	<-enough
	s.kill()
	wg.Wait()
}

// entry is one entry of a mix: readings, and every third a note, which is kept
// beside the log as well.
func (b *tablet) entry(number string, n int) (id string, e sent) {
	id = newID(b.t)
	e = sent{subject: "job/" + number, path: "/jobs/" + number + "/reading", form: reading(id, 1+n%8)}
	if n%3 == 2 {
		e.path, e.form = "/jobs/"+number+"/note", url.Values{"id": {id}, "words": {fmt.Sprintf("Note %d of the endurance test, %s", n, id)}}
	}
	return id, e
}

// try sends an entry and reports whether it was acknowledged. It fails the
// test when it was refused.
func (b *tablet) try(e sent) bool {
	r, err := b.form(e.path, e.form)
	if err != nil {
		b.t.Error(err)
		return false
	}
	a, err := b.do(r)
	if err != nil {
		return false // the server is gone
	}
	if a.status != http.StatusOK || !strings.Contains(a.body, `"location"`) {
		b.t.Errorf("%s: %d %s", e.path, a.status, a.body)
		return false
	}
	return true
}

// sendAgain sends once more what was not acknowledged, as tablets do.
func sendAgain(t *testing.T, l *ledger, senders []sender) {
	t.Helper()
	for id, e := range l.sent {
		if l.acked[id] {
			continue
		}
		by := senders[1]
		if e.propose != nil {
			by = senders[0]
		}
		if !by.try(e) {
			t.Errorf("%s was not taken after the restart", id)
		}
		l.ack(id)
	}
}

// check opens the folder beside the server and holds it to the ledger. All
// that was sent was sent again until it was acknowledged, so all is there.
func (l *ledger) check(t *testing.T, dir string) {
	t.Helper()
	found := map[string]string{}
	for _, e := range sound(t, dir) {
		if before, ok := found[e.id]; ok {
			t.Errorf("%s is there twice, in %s and in %s", e.id, before, e.subject)
		}
		found[e.id] = e.subject
	}
	for id := range l.acked {
		if found[id] != l.sent[id].subject {
			t.Errorf("%s was acknowledged for %s and is in %q", id, l.sent[id].subject, found[id])
		}
	}
}

// there is one entry on disk.
type there struct {
	id, subject string
	line        string
}

// sound opens a folder, verifies all of it, and returns every entry.
func sound(t testing.TB, dir string) []there {
	t.Helper()
	f, err := store.Open(t.Context(), dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := f.Check(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range all {
		if !v.OK {
			t.Errorf("%s", v)
		}
	}
	subjects, err := f.Subjects(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	var out []there
	for _, s := range subjects {
		entries, err := f.Entries(t.Context(), s.Subject, 0)
		if err != nil {
			t.Fatal(err)
		}
		for i, e := range entries {
			if e.Seq != int64(i)+1 {
				t.Errorf("%s: entry %d has sequence %d", s.Subject, i+1, e.Seq)
			}
			out = append(out, there{e.ID, e.Subject, string(e.Line())})
		}
	}
	return out
}

// theSheet is the engine sheet that the invented job half-way uses.
func theSheet(t testing.TB) string {
	t.Helper()
	program(t)
	f, err := store.Open(t.Context(), made.workshop, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	entries, err := f.Entries(t.Context(), "job/"+demo.TheCast().HalfWay, 0)
	if err != nil {
		t.Fatal(err)
	}
	return sheetOf(t, entries)
}

// sheetOf is the engine sheet that a log adopted.
func sheetOf(t testing.TB, entries []record.Entry) string {
	t.Helper()
	for _, e := range entries {
		var body job.SheetAdopted
		if e.Kind == "sheet_adopted" && json.Unmarshal(e.Body, &body) == nil {
			return body.Sheet
		}
	}
	t.Fatal("the job has adopted no engine sheet")
	return ""
}
