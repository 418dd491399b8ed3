// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
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
}

// View is the job in words.
func (l *Loaded) View() job.View { return job.Show(l.Assessment, l.State, l.Basis, l.Voice) }

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
	entries, err := s.entries(ctx, Subject(id))
	if err != nil {
		return nil, err
	}
	if len(entries) == 0 {
		return nil, fmt.Errorf("shop: job %q: %w", id, ErrNotFound)
	}
	b, err := s.ground(ctx)
	if err != nil {
		return nil, err
	}
	return s.load(ctx, id, entries, b)
}

// ground is what all jobs share, with what tells one ground from another.
type ground struct {
	basis job.Basis
	voice job.Voice
	groundMark
}

// groundMark counts the entries that a ground rests on: logs only grow, so the
// same counts are the same entries. Names can be erased, and may fail to load.
type groundMark struct{ workshop, tools, toolEntries, names, erased int }

func (s *Shop) ground(ctx context.Context) (g ground, err error) {
	s.mu.Lock()
	g.erased = s.erased
	s.mu.Unlock()
	var w job.Workshop
	var tools job.Register
	if w, g.workshop, err = s.workshop(ctx); err != nil {
		return g, err
	}
	if tools, g.toolEntries, err = s.tools(ctx); err != nil {
		return g, err
	}
	g.voice = job.Voice{Units: Preferences(w), Names: s.names(ctx, w), Zone: s.zone}
	g.basis = job.Basis{Workshop: w, Tools: tools, Zone: s.zone}
	g.tools, g.names = len(tools), len(g.voice.Names)
	return g, nil
}

// basis is the ground for what is not a job.
func (s *Shop) basis(ctx context.Context) (job.Basis, job.Voice, error) {
	g, err := s.ground(ctx)
	return g.basis, g.voice, err
}

// load is a job as it was assessed from so many entries on a ground.
type load struct {
	*Loaded
	on groundMark
}

// load assesses a job, unless that was done on the same entries and ground
// before. What is loaded is only ever read, so that many pages can share it.
func (s *Shop) load(ctx context.Context, id string, entries []record.Entry, g ground) (*Loaded, error) {
	s.mu.Lock()
	before, ok := s.loads[id]
	s.mu.Unlock()
	if ok && before.on == g.groundMark && len(before.Entries) == len(entries) {
		l := *before.Loaded
		return &l, nil
	}
	l, err := s.assess(ctx, id, entries, g.basis, g.voice)
	if err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.loads) >= maxLogs {
		clear(s.loads)
	}
	s.loads[id] = load{l, g.groundMark}
	again := *l
	return &again, nil
}

func (s *Shop) assess(ctx context.Context, id string, entries []record.Entry, basis job.Basis, voice job.Voice) (*Loaded, error) {
	l := &Loaded{ID: id, Subject: Subject(id), Entries: entries, State: job.Fold(entries), Basis: basis, Voice: voice}
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
	l.Assessment = job.Assess(l.State, l.Basis)
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
	subjects, err := s.store.Subjects(ctx, "job/")
	if err != nil {
		return nil, fmt.Errorf("shop: jobs: %w", err)
	}
	g, err := s.ground(ctx)
	if err != nil {
		return nil, err
	}
	var out []Summary
	for _, info := range subjects {
		id := strings.TrimPrefix(info.Subject, "job/")
		entries, err := s.entries(ctx, info.Subject)
		if err != nil {
			return nil, err
		}
		l, err := s.load(ctx, id, entries, g)
		if err != nil {
			return nil, err
		}
		out = append(out, summary(l, info))
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

func summary(l *Loaded, info store.SubjectInfo) Summary {
	v := l.View()
	state := "todo"
	switch {
	case v.Finding != nil:
		state = v.Finding.Value.Verdict.State
	case l.Assessment.HandedOver:
		state = "fits"
	}
	return Summary{ID: l.ID, Number: v.Number, Vehicle: v.Vehicle, Family: v.Family, Opened: info.First, Last: info.Last,
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
