// SPDX-License-Identifier: Apache-2.0

// Package storetest holds what any store must do, as tests to run on it.
package storetest

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"sync"
	"testing"
	"time"

	"witnessmark/internal/store"
	"witnessmark/record"
)

// NeedSaw is what the stores under test must be opened with.
var NeedSaw = []string{"correction"}

// Run runs the suite. open returns a new, empty store opened with NeedSaw and
// with [Clock]; the suite closes it.
func Run(t *testing.T, open func(t *testing.T) store.Store) {
	for name, f := range map[string]func(*testing.T, store.Store){
		"append and read":      appendAndRead,
		"repeat":               repeat,
		"id reused":            idReused,
		"refused":              refused,
		"conflict":             conflict,
		"guard":                guard,
		"all or none":          allOrNone,
		"concurrent appends":   concurrent,
		"concurrent repeats":   concurrentRepeats,
		"subjects":             subjects,
		"changes":              changes,
		"seals are made apart": sealsApart,
		"blobs":                blobs,
		"erasure":              erasure,
		"sheets":               sheets,
		"reports":              reports,
		"credentials":          credentials,
		"sessions":             sessions,
		"settings":             settings,
		"failures":             failures,
	} {
		t.Run(name, func(t *testing.T) {
			st := open(t)
			t.Cleanup(func() {
				if err := st.Close(); err != nil {
					t.Errorf("close: %v", err)
				}
			})
			f(t, st)
		})
	}
}

// now is the time by Clock.
var now = time.Date(2031, 5, 2, 9, 0, 0, 0, time.UTC)

// Clock is the clock of the stores under test: it stands still.
func Clock() time.Time { return now }

// Proposal returns a reading about job/id with a new id.
func Proposal(t testing.TB, id string, n int) record.Proposal {
	t.Helper()
	return proposal(t, "job/"+id, "reading", fmt.Sprintf(`{"n":%d,"read":"0.050 mm"}`, n))
}

func proposal(t testing.TB, subject, kind, body string) record.Proposal {
	t.Helper()
	id, err := record.NewID(now, rand.Reader)
	ok(t, err)
	return record.Proposal{ID: id, Subject: subject, DeviceTime: now.Add(-time.Minute), Kind: kind, Version: 1, Body: json.RawMessage(body)}
}

func appendAndRead(t *testing.T, st store.Store) {
	ctx := t.Context()
	var want []record.Entry
	for i := range 5 {
		e, existed, err := st.Append(ctx, "p-1", Proposal(t, "a", i), nil)
		ok(t, err)
		if existed || e.Seq != int64(i)+1 || e.Person != "p-1" || !e.Received.Equal(now) {
			t.Fatalf("entry %+v, existed %v", e, existed)
		}
		want = append(want, e)
	}
	got, err := st.Entries(ctx, "job/a", 0)
	ok(t, err)
	sameLines(t, got, want)
	got, err = st.Entries(ctx, "job/a", 3)
	ok(t, err)
	sameLines(t, got, want[3:])
	leaves, err := st.Leaves(ctx, "job/a")
	ok(t, err)
	if len(leaves) != 5 || leaves[4] != want[4].Leaf() {
		t.Errorf("leaves %v", leaves)
	}
	if got, err := st.Entries(ctx, "job/none", 0); err != nil || len(got) != 0 {
		t.Errorf("an unknown log has %d entries, error %v", len(got), err)
	}
}

func repeat(t *testing.T, st store.Store) {
	ctx := t.Context()
	p := Proposal(t, "a", 1)
	first, _, err := st.Append(ctx, "p-1", p, nil)
	ok(t, err)
	_, _, err = st.Append(ctx, "p-1", Proposal(t, "a", 2), nil)
	ok(t, err)
	p.Body = json.RawMessage(`{ "n": 1, "read": "0.050 mm" }`) // blanks don't count
	again, existed, err := st.Append(ctx, "p-2", p, func(record.Log, record.Proposal) error {
		return errors.New("asked about an entry that is there")
	})
	ok(t, err)
	if !existed || !bytes.Equal(first.Line(), again.Line()) {
		t.Errorf("a repeat gave %s, existed %v", again.Line(), existed)
	}
	size(t, st, "job/a", 2)
}

func idReused(t *testing.T, st store.Store) {
	ctx := t.Context()
	p := Proposal(t, "a", 1)
	_, _, err := st.Append(ctx, "p-1", p, nil)
	ok(t, err)
	for name, edit := range map[string]func(*record.Proposal){
		"body":    func(p *record.Proposal) { p.Body = json.RawMessage(`{"n":1,"read":"0.05 mm"}`) },
		"subject": func(p *record.Proposal) { p.Subject = "job/b" },
		"time":    func(p *record.Proposal) { p.DeviceTime = p.DeviceTime.Add(time.Nanosecond) },
		"kind":    func(p *record.Proposal) { p.Kind = "note" },
		"version": func(p *record.Proposal) { p.Version = 2 },
		"saw":     func(p *record.Proposal) { p.Saw = 1 },
	} {
		q := p
		edit(&q)
		if _, _, err := st.Append(ctx, "p-1", q, nil); !errors.Is(err, record.ErrIDReused) {
			t.Errorf("other %s under the id: %v", name, err)
		}
	}
	size(t, st, "job/a", 1)
	size(t, st, "job/b", 0)
}

func refused(t *testing.T, st store.Store) {
	for name, edit := range map[string]func(*record.Proposal){
		"id":      func(p *record.Proposal) { p.ID = "x" },
		"subject": func(p *record.Proposal) { p.Subject = "job/../x" },
		"kind":    func(p *record.Proposal) { p.Kind = "Reading" },
		"version": func(p *record.Proposal) { p.Version = 0 },
		"body":    func(p *record.Proposal) { p.Body = json.RawMessage(`[]`) },
		"twice":   func(p *record.Proposal) { p.Body = json.RawMessage(`{"a":1,"a":2}`) },
		"no saw":  func(p *record.Proposal) { p.Kind = "correction" },
	} {
		p := Proposal(t, "a", 1)
		edit(&p)
		if _, _, err := st.Append(t.Context(), "p-1", p, nil); !errors.Is(err, record.ErrInvalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, _, err := st.Append(t.Context(), "", Proposal(t, "a", 1), nil); !errors.Is(err, record.ErrInvalid) {
		t.Errorf("nobody: %v", err)
	}
	size(t, st, "job/a", 0)
}

func conflict(t *testing.T, st store.Store) {
	ctx := t.Context()
	for i := range 3 {
		_, _, err := st.Append(ctx, "p-1", Proposal(t, "a", i), nil)
		ok(t, err)
	}
	for _, saw := range []int64{2, 4} {
		p := proposal(t, "job/a", "correction", `{}`)
		p.Saw = saw
		_, _, err := st.Append(ctx, "p-1", p, nil)
		var c *record.ConflictError
		if !errors.As(err, &c) || c.Saw != saw || c.Seq != 3 || c.Subject != "job/a" {
			t.Errorf("saw %d of 3: %v", saw, err)
		}
	}
	p := proposal(t, "job/a", "correction", `{}`)
	p.Saw = 3
	_, _, err := st.Append(ctx, "p-1", p, nil)
	ok(t, err)
	size(t, st, "job/a", 4)
}

func guard(t *testing.T, st store.Store) {
	ctx := t.Context()
	for i := range 3 {
		_, _, err := st.Append(ctx, "p-1", Proposal(t, "a", i), nil)
		ok(t, err)
	}
	p := proposal(t, "job/a", "correction", `{}`)
	p.Saw = 1
	var seen []record.Entry
	_, _, err := st.Append(ctx, "p-1", p, func(log record.Log, q record.Proposal) (err error) {
		if log.Len() != 3 || q.ID != p.ID {
			return fmt.Errorf("guard got %d entries and %s", log.Len(), q.ID)
		}
		seen, err = log.After(q.Saw)
		return err
	})
	ok(t, err)
	if len(seen) != 2 || seen[0].Seq != 2 {
		t.Errorf("guard saw %v", seen)
	}
	no := errors.New("the guard says no")
	if _, _, err := st.Append(ctx, "p-1", Proposal(t, "a", 9), func(record.Log, record.Proposal) error { return no }); !errors.Is(err, no) {
		t.Errorf("guard's error came back as %v", err)
	}
	size(t, st, "job/a", 4)
}

func allOrNone(t *testing.T, st store.Store) {
	ctx := t.Context()
	one, two := Proposal(t, "a", 1), Proposal(t, "b", 2)
	got, err := st.AppendAll(ctx, "p-1", []record.Proposal{one, two, Proposal(t, "a", 3)}, func(log record.Log, p record.Proposal) error {
		if e, err := log.After(0); err != nil || int64(len(e)) != log.Len() {
			return fmt.Errorf("log of %d has %d entries, error %w", log.Len(), len(e), err)
		}
		return nil
	})
	ok(t, err)
	if len(got) != 3 || got[0].Seq != 1 || got[1].Seq != 1 || got[2].Seq != 2 {
		t.Fatalf("got %+v", got)
	}
	bad := Proposal(t, "a", 5)
	bad.Saw = 1
	if _, err := st.AppendAll(ctx, "p-1", []record.Proposal{Proposal(t, "a", 4), bad}, nil); err == nil {
		t.Error("the second was refused, and the whole was not")
	}
	size(t, st, "job/a", 2)
	again, err := st.AppendAll(ctx, "p-1", []record.Proposal{one, Proposal(t, "a", 6), two}, nil)
	ok(t, err)
	if !bytes.Equal(again[0].Line(), got[0].Line()) || again[1].Seq != 3 || !bytes.Equal(again[2].Line(), got[1].Line()) {
		t.Errorf("again %+v", again)
	}
}

func concurrent(t *testing.T, st store.Store) {
	const clients, each = 12, 20
	kept := make([][]record.Entry, clients)
	var wg sync.WaitGroup
	for c := range clients {
		wg.Go(func() {
			for i := range each {
				e, _, err := st.Append(t.Context(), fmt.Sprint("p-", c), Proposal(t, fmt.Sprint("j", c%3), i), nil)
				if err != nil {
					t.Errorf("client %d: %v", c, err)
					return
				}
				kept[c] = append(kept[c], e)
			}
		})
	}
	wg.Wait()
	for j := range 3 {
		got, err := st.Entries(t.Context(), fmt.Sprint("job/j", j), 0)
		ok(t, err)
		ids := map[string]int64{}
		for i, e := range got {
			if e.Seq != int64(i)+1 {
				t.Fatalf("entry %d has number %d", i+1, e.Seq)
			}
			ids[e.ID] = e.Seq
		}
		want := 0
		for c := j; c < clients; c += 3 {
			for _, e := range kept[c] {
				want++
				if ids[e.ID] != e.Seq {
					t.Errorf("answered as %d, found as %d", e.Seq, ids[e.ID])
				}
			}
		}
		if len(got) != want || len(ids) != want {
			t.Errorf("%d answered, %d found, %d different", want, len(got), len(ids))
		}
	}
}

func concurrentRepeats(t *testing.T, st store.Store) {
	p := Proposal(t, "a", 1)
	var wg sync.WaitGroup
	lines := make([][]byte, 8)
	for i := range lines {
		wg.Go(func() {
			e, _, err := st.Append(t.Context(), fmt.Sprint("p-", i), p, nil)
			if err != nil {
				t.Error(err)
			}
			lines[i] = e.Line()
		})
	}
	wg.Wait()
	for _, l := range lines {
		if !bytes.Equal(l, lines[0]) {
			t.Errorf("%s and %s", l, lines[0])
		}
	}
	size(t, st, "job/a", 1)
}

func subjects(t *testing.T, st store.Store) {
	ctx := t.Context()
	for _, s := range []string{"tool/t-1", "job/b", "job/a", "job/b", "workshop", "job/a-2"} {
		_, _, err := st.Append(ctx, "p-1", proposal(t, s, "note", `{}`), nil)
		ok(t, err)
	}
	got, err := st.Subjects(ctx, "job/")
	ok(t, err)
	want := []store.SubjectInfo{
		{Subject: "job/a", Size: 1, First: now, Last: now, Change: 3},
		{Subject: "job/a-2", Size: 1, First: now, Last: now, Change: 6},
		{Subject: "job/b", Size: 2, First: now, Last: now, Change: 4},
	}
	if !slices.Equal(got, want) {
		t.Errorf("got  %v\nwant %v", got, want)
	}
	if all, err := st.Subjects(ctx, ""); err != nil || len(all) != 5 {
		t.Errorf("all: %v, error %v", all, err)
	}
	if none, err := st.Subjects(ctx, "stock/"); err != nil || len(none) != 0 {
		t.Errorf("none: %v, error %v", none, err)
	}
}

func changes(t *testing.T, st store.Store) {
	ctx := t.Context()
	if n, err := st.LastChange(ctx); n != 0 || err != nil {
		t.Errorf("at first change %d, error %v", n, err)
	}
	var want []record.Entry
	for i := range 6 {
		e, _, err := st.Append(ctx, "p-1", Proposal(t, fmt.Sprint("j", i%2), i), nil)
		ok(t, err)
		want = append(want, e)
	}
	var got []record.Entry
	var at int64
	for {
		part, err := st.ChangesAfter(ctx, at, 4)
		ok(t, err)
		if len(part) == 0 {
			break
		}
		for _, c := range part {
			if c.Number <= at {
				t.Fatalf("change %d after %d", c.Number, at)
			}
			at = c.Number
			got = append(got, c.Entry)
		}
	}
	sameLines(t, got, want)
	if n, err := st.LastChange(ctx); n != at || err != nil {
		t.Errorf("last change %d, the feed ends at %d, error %v", n, at, err)
	}
}

func sealsApart(t *testing.T, st store.Store) {
	ctx := t.Context()
	p := proposal(t, "job/a", record.KindSeal, `{}`)
	if _, _, err := st.Append(ctx, "p-1", p, nil); !errors.Is(err, record.ErrInvalid) {
		t.Errorf("a seal as an entry: %v", err)
	}
	if _, err := st.AppendAll(ctx, "p-1", []record.Proposal{p}, nil); !errors.Is(err, record.ErrInvalid) {
		t.Errorf("a seal among entries: %v", err)
	}
	size(t, st, "job/a", 0)
}

func ok(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func size(t *testing.T, st store.Store, subject string, want int) {
	t.Helper()
	got, err := st.Entries(context.Background(), subject, 0)
	ok(t, err)
	if len(got) != want {
		t.Errorf("%s has %d entries, not %d", subject, len(got), want)
	}
}

func sameLines(t *testing.T, got, want []record.Entry) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%d entries, not %d", len(got), len(want))
	}
	for i := range got {
		if !bytes.Equal(got[i].Line(), want[i].Line()) {
			t.Errorf("got  %s\nwant %s", got[i].Line(), want[i].Line())
		}
	}
}
