// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"witnessmark/internal/job"
	"witnessmark/internal/store"
	"witnessmark/record"
)

// Loaded is a job with everything that its assessment rests on.
type Loaded struct {
	ID         string
	Subject    string
	Entries    []record.Entry
	State      job.State
	Basis      job.Basis
	Assessment job.Assessment
	Voice      job.Voice
	Change     int64 // the newest change before it was loaded

	view *viewed
}

// viewed is a job put into words once, when somebody first asks.
type viewed struct {
	once sync.Once
	view job.View
}

// View is the job in words.
func (l *Loaded) View() job.View {
	if l.view == nil {
		return job.Show(l.Assessment, l.State, l.Basis, l.Voice)
	}
	l.view.once.Do(func() { l.view.view = job.Show(l.Assessment, l.State, l.Basis, l.Voice) })
	return l.view.view
}

// Words puts one obstacle into words.
func (l *Loaded) Words(o job.Obstacle) job.ObstacleView {
	return job.Words(o, l.Assessment, l.State, l.Basis, l.Voice)
}

// PhotosAsked are the photos that the sheet asks for with a kind of entry.
func (l *Loaded) PhotosAsked(of string, position int) []job.PhotoAsk {
	return job.PhotosAsked(l.Assessment, l.Basis, of, position)
}

// Record is every entry in words.
func (l *Loaded) Record() []job.Line { return job.Record(l.Entries, l.Basis, l.Voice) }

// Subject is the subject of a job's log.
func Subject(id string) string { return "job/" + id }

// Job loads one job.
func (s *Shop) Job(ctx context.Context, id string) (*Loaded, error) {
	if err := record.CheckSubject(Subject(id)); err != nil {
		return nil, fmt.Errorf("shop: job %q: %w", id, ErrNotFound)
	}
	head, err := s.head(ctx)
	if err != nil {
		return nil, err
	}
	g, err := s.groundAt(ctx, head)
	if err != nil {
		return nil, err
	}
	l, err := s.load(ctx, Subject(id), g, head)
	if err != nil {
		return nil, err
	}
	return l, nil
}

// load is a job with everything up to a change at least, assessed on a ground.
// Only new entries are read and folded, and what was assessed before on the
// same entries and ground is not assessed again. What is loaded is only ever
// read, so that many pages can share it.
func (s *Shop) load(ctx context.Context, subject string, g ground, head int64) (*Loaded, error) {
	id := strings.TrimPrefix(subject, "job/")
	h := s.hold(subject)
	h.mu.Lock()
	defer h.mu.Unlock()
	if err := s.readOn(ctx, h, head); err != nil {
		return nil, err
	}
	if len(h.entries) == 0 {
		return nil, fmt.Errorf("shop: job %q: %w", id, ErrNotFound)
	}
	if h.loaded == nil || h.on != g.groundMark || len(h.loaded.Entries) != len(h.entries) {
		l, err := s.assess(ctx, &Loaded{ID: id, Subject: subject, Entries: h.entries, State: h.folding.Fold(h.entries), Basis: g.basis, Voice: g.voice})
		if err != nil {
			return nil, err
		}
		h.loaded, h.on = l, g.groundMark
	}
	l := *h.loaded
	l.Change = head
	return &l, nil
}

// assess decides a job that was folded, with its sheet and its plan.
func (s *Shop) assess(ctx context.Context, l *Loaded) (*Loaded, error) {
	if h := l.State.Sheet.Sheet; h != "" {
		sheet, err := s.Sheet(ctx, h)
		if err != nil {
			return nil, err
		}
		l.Basis.Sheet = sheet
	}
	if p := l.State.Plan; p != nil {
		plan, err := s.Plan(ctx, p.Body.Plan)
		if err != nil {
			return nil, err
		}
		l.Basis.Plan = plan
	}
	l.Assessment, l.view = job.Assess(l.State, l.Basis), &viewed{}
	return l, nil
}

// Summary is one line of the list of jobs.
type Summary struct {
	ID         string
	Number     string
	Vehicle    string
	Family     string
	Opened     time.Time
	Last       time.Time
	Waits      string
	State      string // fits, out, unproven or todo
	HandedOver bool
	Invented   bool
}

// Jobs lists all jobs, the one touched last first, handed over ones at the
// end.
func (s *Shop) Jobs(ctx context.Context) ([]Summary, error) {
	all, err := s.everyJob(ctx)
	if err != nil {
		return nil, err
	}
	out := make([]Summary, len(all))
	for i, l := range all {
		out[i] = summary(l)
	}
	slices.SortStableFunc(out, func(a, b Summary) int {
		if a.HandedOver != b.HandedOver {
			if a.HandedOver {
				return 1
			}
			return -1
		}
		return b.Last.Compare(a.Last)
	})
	return out, nil
}

func summary(l *Loaded) Summary {
	v := l.View()
	state := "todo"
	switch {
	case v.Finding != nil:
		state = v.Finding.Value.Verdict.State
	case l.Assessment.HandedOver:
		state = "fits"
	}
	return Summary{ID: l.ID, Number: v.Number, Vehicle: v.Vehicle, Family: v.Family, Opened: l.Entries[0].Received, Last: l.Entries[len(l.Entries)-1].Received,
		Waits: v.Waits, State: state, HandedOver: l.Assessment.HandedOver, Invented: v.Invented}
}

// PutWords keeps words beside the log and returns the commitment for an entry.
func (s *Shop) PutWords(ctx context.Context, words string) (string, error) {
	c, err := s.store.PutBlob(ctx, record.Blob{Data: []byte(words)})
	if err != nil {
		return "", fmt.Errorf("shop: keep words beside the log: %w", err)
	}
	return string(c), nil
}

// Words returns what was kept beside the log. Erased words say so.
func (s *Shop) Words(ctx context.Context, commitment string) (string, error) {
	s.mu.Lock()
	w, ok := s.words[commitment]
	s.mu.Unlock()
	if ok {
		return w, nil
	}
	b, err := s.store.Blob(ctx, record.Commitment(commitment))
	switch {
	case errors.Is(err, store.ErrErased):
		return ErasedWords, nil
	case err != nil:
		return "", fmt.Errorf("shop: words beside the log: %w", err)
	}
	return string(b.Data), nil
}

// ErasedWords stands where words were erased.
const ErasedWords = "(erased)"

// Erase deletes words or photos beside a job's log; the seal still verifies
// and says what was erased.
func (s *Shop) Erase(ctx context.Context, subject string, commitments ...string) error {
	cs := make([]record.Commitment, len(commitments))
	for i, c := range commitments {
		cs[i] = record.Commitment(c)
	}
	err := s.store.Erase(ctx, subject, cs...)
	s.mu.Lock()
	clear(s.words)
	clear(s.charts)
	s.erased++
	s.mu.Unlock()
	return err
}
