// SPDX-License-Identifier: Apache-2.0

// Package shop is the workshop at work: it loads a job with everything that
// its assessment rests on, and appends to logs on a person's behalf. Pages,
// API and command line all go through it, so that they refuse and decide
// alike.
//
// Start with [New], then [Shop.Job] and [Shop.Append]. Who may do what is in
// one table, [May].
package shop

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"sync"
	"time"

	"witnessmark/engine"
	"witnessmark/internal/draw"
	"witnessmark/internal/filmwork"
	"witnessmark/internal/job"
	"witnessmark/internal/photo"
	"witnessmark/internal/store"
	"witnessmark/record"
	"witnessmark/scope"
	"witnessmark/units"
)

// Shop is one workshop with its data.
type Shop struct {
	store   store.Store
	conf    store.Config
	folder  *store.Folder
	pepper  []byte
	program string
	now     func() time.Time
	rand    io.Reader
	zone    *time.Location
	films   *filmwork.Desk

	mu     sync.Mutex
	logs   map[string]*held // by subject
	asked  int64            // how often for logs
	size   int64            // their entries
	staff  staff
	sheets map[string]*engine.Sheet // by content hash
	plans  map[string]*scope.Plan   // likewise
	words  map[string]string        // small texts beside the logs, by commitment
	charts map[string]draw.Chart    // of files of traces, by commitment
	erased int                      // how often anything was erased
	pairs  map[string]solved        // choices of shells that were solved

	groundMu sync.Mutex
	stood    *ground // as it was read last
}

// Options is what a shop is made from.
type Options struct {
	Folder  *store.Folder
	Program string           // version of the program
	Clock   func() time.Time // nil: time.Now; the folder's should be the same
	Rand    io.Reader        // of ids; nil: crypto/rand

	// Films is where oil films are computed; nil: a desk of the shop's own. Shops
	// that share one compute the same films once.
	Films *filmwork.Desk
}

// New makes a shop on an open data folder.
func New(o Options) (*Shop, error) {
	zone, err := o.Folder.Config.Location()
	if err != nil {
		return nil, fmt.Errorf("shop: %w", err)
	}
	pepper, err := o.Folder.Secret("pepper")
	if err != nil {
		return nil, fmt.Errorf("shop: %w", err)
	}
	if o.Clock == nil {
		o.Clock = time.Now
	}
	if o.Rand == nil {
		o.Rand = rand.Reader
	}
	if o.Films == nil {
		o.Films = filmwork.NewDesk()
	}
	return &Shop{store: o.Folder.Store, folder: o.Folder, conf: o.Folder.Config, pepper: pepper, program: o.Program, now: o.Clock, rand: o.Rand, zone: zone, films: o.Films,
		logs: map[string]*held{}, sheets: map[string]*engine.Sheet{}, plans: map[string]*scope.Plan{}, words: map[string]string{}, charts: map[string]draw.Chart{}, pairs: map[string]solved{}}, nil
}

// Store gives the store itself, for sessions and live pages.
func (s *Shop) Store() store.Store { return s.store }

// Config is the workshop's configuration.
func (s *Shop) Config() store.Config { return s.conf }

// Now is the server's time.
func (s *Shop) Now() time.Time { return s.now() }

// Zone is the workshop's time zone.
func (s *Shop) Zone() *time.Location { return s.zone }

// Program is the version of the program.
func (s *Shop) Program() string { return s.program }

// ErrNotFound says that there is no such job, tool or person.
var ErrNotFound = errors.New("not found")

// Sheet loads an engine sheet by its content hash.
func (s *Shop) Sheet(ctx context.Context, hash string) (*engine.Sheet, error) {
	s.mu.Lock()
	sheet := s.sheets[hash]
	s.mu.Unlock()
	if sheet != nil {
		return sheet, nil
	}
	data, err := s.store.Sheet(ctx, record.ContentHash(hash))
	if err != nil {
		return nil, fmt.Errorf("shop: engine sheet %s: %w", hash, err)
	}
	sheet, err = engine.Load("sheet.yaml", data)
	if err != nil {
		return nil, fmt.Errorf("shop: engine sheet %s: %w", hash, err)
	}
	s.mu.Lock()
	s.sheets[hash] = sheet
	s.mu.Unlock()
	return sheet, nil
}

// SheetInfo is an engine sheet in the workshop's hands.
type SheetInfo struct {
	Hash  string
	Sheet *engine.Sheet
}

// Sheets lists the engine sheets, newest edition of each as kept. Documents
// that are no sheets (a handover's snapshot) are left out.
func (s *Shop) Sheets(ctx context.Context) ([]SheetInfo, error) {
	hashes, err := s.store.Sheets(ctx)
	if err != nil {
		return nil, fmt.Errorf("shop: engine sheets: %w", err)
	}
	var out []SheetInfo
	for _, h := range hashes {
		sheet, err := s.Sheet(ctx, string(h))
		if err != nil {
			continue
		}
		out = append(out, SheetInfo{Hash: string(h), Sheet: sheet})
	}
	return out, nil
}

// AddSheet checks an engine sheet and keeps its bytes.
func (s *Shop) AddSheet(ctx context.Context, name string, data []byte) (SheetInfo, error) {
	sheet, err := engine.Load(name, data)
	if err != nil {
		return SheetInfo{}, err
	}
	h, err := s.store.PutSheet(ctx, data)
	if err != nil {
		return SheetInfo{}, fmt.Errorf("shop: keep engine sheet: %w", err)
	}
	return SheetInfo{Hash: string(h), Sheet: sheet}, nil
}

// Input is one fact to append on a person's behalf.
type Input struct {
	ID         string    // empty: a new one is made
	Subject    string    // job/0412, tool/TW-2 or workshop
	DeviceTime time.Time // zero: the server's
	Kind       string
	Version    int // of the kind; 0: the newest
	Body       any // of package job, or json.RawMessage
	Saw        int64
	// Photos are taken photos to keep beside the log; the entry names them.
	Photos []photo.Photo
}

// Append keeps one fact. existed says that it was there before.
func (s *Shop) Append(ctx context.Context, person string, in Input) (e record.Entry, existed bool, err error) {
	if len(in.Photos) > 0 {
		// A photo is salted anew each time it is sent, so what was kept before
		// is found by its id alone.
		if e, ok, err := s.kept(ctx, in.Subject, in.ID); ok || err != nil {
			return e, ok, err
		}
	}
	if err := s.sameAgain(ctx, &in); err != nil {
		return record.Entry{}, false, err
	}
	p, err := s.propose(in)
	if err != nil {
		return record.Entry{}, false, err
	}
	if err := s.keepPhotos(ctx, &p, in.Photos); err != nil {
		return record.Entry{}, false, err
	}
	if err := s.knows(ctx, p); err != nil {
		return record.Entry{}, false, err
	}
	guard, err := s.guard(ctx, p)
	if err != nil {
		return record.Entry{}, false, err
	}
	e, existed, err = s.store.Append(ctx, person, p, guard)
	if err == nil && !existed {
		s.keepSmall(ctx, e, in.Photos)
	}
	return e, existed, err
}

func (s *Shop) propose(in Input) (record.Proposal, error) {
	p, err := job.Propose(in.Subject, in.Kind, in.Body)
	if err != nil {
		return record.Proposal{}, &Refusal{Cause: err}
	}
	if in.Version != 0 && in.Version != p.Version {
		return record.Proposal{}, &Refusal{Cause: fmt.Errorf("%s version %d: this program writes version %d", in.Kind, in.Version, p.Version)}
	}
	p.ID, p.DeviceTime, p.Saw = in.ID, in.DeviceTime, in.Saw
	if p.DeviceTime.IsZero() {
		p.DeviceTime = s.now()
	}
	if p.ID == "" {
		if p.ID, err = record.NewID(s.now(), s.rand); err != nil {
			return record.Proposal{}, err
		}
	}
	return p, nil
}

// knows refuses an entry for a job or tool that was never opened or added:
// the first entry of a log says what it is about.
func (s *Shop) knows(ctx context.Context, p record.Proposal) error {
	first := map[string]bool{"job_opened": true, "tool_added": true, "batch_added": true, "study_opened": true}
	if first[p.Kind] || p.Subject == record.Workshop {
		return nil
	}
	if s.begun(p.Subject) {
		return nil
	}
	entries, err := s.entries(ctx, p.Subject)
	if err != nil {
		return err
	}
	if len(entries) == 0 {
		return fmt.Errorf("shop: %s: %w", p.Subject, ErrNotFound)
	}
	return nil
}

// Refusal is input that can't be understood. Its words are for the person who
// typed it.
type Refusal struct{ Cause error }

func (r *Refusal) Error() string { return r.Cause.Error() }
func (r *Refusal) Unwrap() error { return r.Cause }

// Preferences are the reader's units by the workshop's choice.
func Preferences(w job.Workshop) units.Preferences {
	if w.Units == "inch" {
		return units.Inch
	}
	return units.Metric
}
