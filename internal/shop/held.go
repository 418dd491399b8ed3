// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"fmt"
	"sync"

	"witnessmark/internal/job"
	"witnessmark/record"
)

// held is what is in memory of one log, so that a page asks the database only
// for what is new. Logs only ever grow, by other processes too, and the newest
// change is asked for each time: what is held as of a change is the log up to
// that change at least.
type held struct {
	subject    string
	used, size int64 // when somebody last asked, and how many entries; of Shop.mu

	mu      sync.Mutex // one reads and folds; whoever waits finds it done
	entries []record.Entry
	asOf    int64 // the newest change of the database before the last reading
	folding job.Folding
	loaded  *Loaded // the job as it was assessed last
	on      groundMark
}

// maxHeld and maxHeldEntries bound what is held: logs, and all their entries.
const (
	maxHeld        = 512
	maxHeldEntries = 1 << 17
)

// head is the newest change of the database, also by other processes.
func (s *Shop) head(ctx context.Context) (int64, error) {
	n, err := s.store.LastChange(ctx)
	if err != nil {
		return 0, fmt.Errorf("shop: newest change: %w", err)
	}
	return n, nil
}

// entries returns a log, reading only what was added since the last time.
func (s *Shop) entries(ctx context.Context, subject string) ([]record.Entry, error) {
	head, err := s.head(ctx)
	if err != nil {
		return nil, err
	}
	return s.entriesAt(ctx, subject, head)
}

// entriesAt is a log with everything up to a change at least.
func (s *Shop) entriesAt(ctx context.Context, subject string, head int64) ([]record.Entry, error) {
	h := s.hold(subject)
	h.mu.Lock()
	defer h.mu.Unlock()
	err := s.readOn(ctx, h, head)
	return h.entries, err
}

// readOn reads what was added to a log. It needs h.mu.
func (s *Shop) readOn(ctx context.Context, h *held, head int64) error {
	if h.asOf >= head && len(h.entries) > 0 {
		return nil
	}
	more, err := s.store.Entries(ctx, h.subject, int64(len(h.entries)))
	if err != nil {
		return fmt.Errorf("shop: read %s: %w", h.subject, err)
	}
	h.asOf = head
	if len(more) > 0 {
		all := append(h.entries, more...)
		h.entries = all[:len(all):len(all)] // whoever has it can't write behind it
	}
	s.weigh(h, len(h.entries))
	return nil
}

// hold finds what is held of a log.
func (s *Shop) hold(subject string) *held {
	s.mu.Lock()
	defer s.mu.Unlock()
	h := s.logs[subject]
	if h == nil {
		h = &held{subject: subject}
		s.logs[subject] = h
	}
	s.asked++
	h.used = s.asked
	return h
}

// weigh counts what is held of a log, and lets go of what was not asked for the
// longest while there is too much; a log without entries is not held at all.
func (s *Shop) weigh(h *held, size int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.logs[h.subject] != h {
		return // let go of meanwhile
	}
	s.size += int64(size) - h.size
	h.size = int64(size)
	if size == 0 {
		delete(s.logs, h.subject)
	}
	for len(s.logs) > 1 && (len(s.logs) > maxHeld || s.size > maxHeldEntries) {
		oldest := h
		for _, x := range s.logs {
			if x.used < oldest.used {
				oldest = x
			}
		}
		delete(s.logs, oldest.subject)
		s.size -= oldest.size
	}
}

// begun reports whether a log is known to have entries: it never loses them.
func (s *Shop) begun(subject string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	h := s.logs[subject]
	return h != nil && h.size > 0
}
