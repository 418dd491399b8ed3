// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"sync"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/internal/store"
	"witnessmark/record"
	"witnessmark/sheets"
)

// two opens one folder twice, as a server and the command line beside it do.
func two(t *testing.T) (a, b *Shop) {
	t.Helper()
	dir := t.TempDir()
	f, err := store.Init(t.Context(), dir, store.Config{WorkshopID: "test", Name: "Test"}, store.Options{NeedSaw: NeedSaw})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	a = shopOn(t, f)
	must(t, a.AddPerson(t.Context(), "p-1", NewPerson{ID: "p-1", Name: "Some One", Role: job.Manager, PIN: "2468"}))
	sheet, err := sheets.Named(sheets.V8)
	must(t, err)
	info, err := a.AddSheet(t.Context(), "v8.yaml", sheet.Bytes())
	must(t, err)
	_, err = a.OpenJob(t.Context(), "p-1", NewJob{Number: "1", Vehicle: "Invented", Sheet: info.Hash})
	must(t, err)
	return a, reopened(t, dir)
}

func reopened(t *testing.T, dir string) *Shop {
	t.Helper()
	f, err := store.Open(t.Context(), dir, store.Options{NeedSaw: NeedSaw})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return shopOn(t, f)
}

func shopOn(t *testing.T, f *store.Folder) *Shop {
	t.Helper()
	s, err := New(Options{Folder: f, Program: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func loaded(t *testing.T, s *Shop, id string) *Loaded {
	t.Helper()
	l, err := s.Job(t.Context(), id)
	must(t, err)
	return l
}

func wear(position, severity int) Input {
	return Input{Subject: "job/1", Kind: "wear_seen", Body: job.WearSeen{Position: position, Half: job.Upper, Severity: severity}}
}

// What is in memory is never behind the database: the entries, tools, people
// and erasures of another process are there at the next look.
func TestHeldIsNeverBehind(t *testing.T) {
	server, beside := two(t)
	ctx := t.Context()
	for i := range 5 {
		loaded(t, server, "1")
		_, _, err := beside.Append(ctx, "p-1", wear(1+i%4, i%4))
		must(t, err)
		if l, size := loaded(t, server, "1"), loaded(t, beside, "1").State.Size; l.State.Size != size || l.Assessment.Entries != size {
			t.Fatalf("%d entries, assessed with %d, of %d", l.State.Size, l.Assessment.Entries, size)
		}
	}
	_, _, err := beside.Append(ctx, "p-1", Input{Subject: "tool/MM-1", Kind: "tool_added", Body: job.ToolAdded{ID: "MM-1", Kind: "micrometer", Title: "Micrometer"}})
	must(t, err)
	if _, ok := loaded(t, server, "1").Basis.Tools["MM-1"]; !ok {
		t.Error("a tool that another process added is missing")
	}
	yes := true
	_, _, err = beside.Append(ctx, "p-1", Input{Subject: record.Workshop, Kind: "settings_changed", Body: job.SettingsChanged{OnePerson: &yes, Confidence: 0.95}})
	must(t, err)
	if w := loaded(t, server, "1").Basis.Workshop; w.Confidence != 0.95 {
		t.Errorf("confidence %v, another process set 0.95", w.Confidence)
	}
	must(t, beside.AddPerson(ctx, "p-1", NewPerson{ID: "p-2", Name: "Some Two", Role: job.Technician, PIN: "1357"}))
	if got := loaded(t, server, "1").Voice.Names["p-2"]; got != "Some Two" {
		t.Errorf("a new person is called %q", got)
	}
	must(t, beside.Leaves(ctx, "p-1", "", "p-2"))
	must(t, beside.ErasePerson(ctx, "p-1", "", "p-2", "asked for"))
	if got := loaded(t, server, "1").Voice.Names["p-2"]; got != ErasedWords {
		t.Errorf("a name that another process erased is still %q", got)
	}
	if _, err := server.Job(ctx, "2"); !errors.Is(err, ErrNotFound) {
		t.Errorf("no such job: %v", err)
	}
	_, err = beside.OpenJob(ctx, "p-1", NewJob{Number: "2", Vehicle: "Invented"})
	must(t, err)
	loaded(t, server, "2")
}

// A name whose erasure is entered but not done yet is read from the disk each
// time, so that it goes the moment that it is gone.
func TestNameBeingErased(t *testing.T) {
	server, beside := two(t)
	ctx := t.Context()
	must(t, beside.AddPerson(ctx, "p-1", NewPerson{ID: "p-2", Name: "Some Two", Role: job.Technician, PIN: "1357"}))
	loaded(t, server, "1")
	w, err := beside.Workshop(ctx)
	must(t, err)
	p, _ := w.Person("p-2")
	_, _, err = beside.Append(ctx, "p-1", Input{Subject: record.Workshop, Kind: "erased",
		Body: job.Erased{Reason: "asked for", What: []job.ErasedThing{{What: "name", Name: p.Name}}}})
	must(t, err)
	if got := loaded(t, server, "1").Voice.Names["p-2"]; got != "Some Two" {
		t.Fatalf("a name that is not erased yet is %q", got)
	}
	must(t, beside.store.Erase(ctx, record.Workshop, record.Commitment(p.Name)))
	if got := loaded(t, server, "1").Voice.Names["p-2"]; got != ErasedWords {
		t.Errorf("an erased name is still %q", got)
	}
}

// Several people write from two processes while others read: whoever reads
// after an entry was acknowledged has it, folded as from the beginning.
func TestManyReadWhileManyWrite(t *testing.T) {
	server, beside := two(t)
	const writers, each = 4, 12
	var wg sync.WaitGroup
	for n := range writers {
		s := []*Shop{server, beside}[n%2]
		wg.Go(func() {
			for i := range each {
				in := wear(1+n, i%4)
				if i%5 == 4 { // a correction folds all of it anew
					in = Input{Subject: "job/1", Kind: "correction", Saw: 2, Body: &job.Correction{Replaces: 2, Reason: fmt.Sprint(n, i)}}
				}
				e, _, err := s.Append(context.Background(), "p-1", in)
				var conflict *record.ConflictError
				if errors.As(err, &conflict) {
					continue
				}
				if err != nil {
					t.Error(err)
					return
				}
				for _, reader := range []*Shop{server, beside} {
					l, err := reader.Job(context.Background(), "1")
					if err != nil || l.State.Size < e.Seq {
						t.Errorf("entry %d was acknowledged, then the job has %d: %v", e.Seq, l.State.Size, err)
						return
					}
					if !reflect.DeepEqual(l.State, job.Fold(l.Entries)) {
						t.Errorf("the state of %d entries is not that from the beginning", len(l.Entries))
					}
					l.View()
				}
			}
		})
	}
	wg.Wait()
}

// A log that grew too long to hold is let go of, the one not asked for longest
// first, and comes back whole.
func TestHeldIsBounded(t *testing.T) {
	server, _ := two(t)
	for i := range 5 {
		_, err := server.OpenJob(t.Context(), "p-1", NewJob{Number: fmt.Sprint("b", i), Vehicle: "Invented"})
		must(t, err)
		loaded(t, server, fmt.Sprint("b", i))
	}
	h := server.hold("job/b4")
	h.mu.Lock()
	server.weigh(h, maxHeldEntries)
	h.mu.Unlock()
	server.mu.Lock()
	logs, size := len(server.logs), server.size
	server.mu.Unlock()
	if logs != 1 || size != maxHeldEntries {
		t.Errorf("%d logs are held, %d entries: one is as long as all may be", logs, size)
	}
	if l := loaded(t, server, "b0"); l.State.Number != "b0" || len(l.Entries) == 0 {
		t.Errorf("a job that was let go of came back as %+v", l.State)
	}
	if _, err := server.entries(t.Context(), "job/none"); err != nil || server.logs["job/none"] != nil {
		t.Errorf("a log that is not there is held, error %v", err)
	}
}
