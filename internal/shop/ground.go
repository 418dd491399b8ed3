// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/record"
)

// ground is what all jobs share, with what tells one ground from another.
type ground struct {
	basis job.Basis
	voice job.Voice
	groundMark
	asOf int64 // the newest change before it was read
}

// groundMark counts the entries that a ground rests on: logs only grow, so the
// same counts are the same entries. Names can be erased, by another process
// too, and may fail to load.
type groundMark struct{ workshop, tools, toolEntries, names, gone, erased int }

// staff is the workshop's log folded.
type staff struct {
	job.Workshop
	entries int
	// erasing are the names that were erased, or are about to be: the entry
	// comes first.
	erasing map[string]bool
}

func (s *Shop) ground(ctx context.Context) (ground, error) {
	head, err := s.head(ctx)
	if err != nil {
		return ground{}, err
	}
	return s.groundAt(ctx, head)
}

// groundAt is the ground with everything up to a change at least. It is read
// anew only if the workshop's log or one of a tool grew since.
func (s *Shop) groundAt(ctx context.Context, head int64) (ground, error) {
	s.groundMu.Lock()
	defer s.groundMu.Unlock()
	s.mu.Lock()
	erased := s.erased
	s.mu.Unlock()
	if g := s.stood; g != nil && g.erased == erased {
		stands, err := s.stands(ctx, g, head)
		if err != nil {
			return ground{}, err
		}
		if stands {
			return *g, nil
		}
	}
	g, settled, err := s.readGround(ctx, head, erased)
	if err != nil {
		return ground{}, err
	}
	if s.stood = nil; settled {
		s.stood = &g
	}
	return g, nil
}

// manyChanges are too many to look through.
const manyChanges = 256

// stands reports whether nothing came up to a change that a ground rests on. It
// needs s.groundMu.
func (s *Shop) stands(ctx context.Context, g *ground, head int64) (bool, error) {
	if g.asOf >= head {
		return true, nil
	}
	since, err := s.store.ChangesAfter(ctx, g.asOf, manyChanges)
	if err != nil {
		return false, fmt.Errorf("shop: what changed: %w", err)
	}
	for _, c := range since {
		if c.Entry.Subject == record.Workshop || strings.HasPrefix(c.Entry.Subject, "tool/") {
			return false, nil
		}
	}
	if len(since) == manyChanges {
		return false, nil
	}
	g.asOf = head
	return true, nil
}

// readGround also says whether every name was read for good.
func (s *Shop) readGround(ctx context.Context, head int64, erased int) (g ground, settled bool, err error) {
	w, err := s.staffAt(ctx, head)
	if err != nil {
		return g, false, err
	}
	tools, entries, err := s.toolsAt(ctx, head)
	if err != nil {
		return g, false, err
	}
	names, settled := s.names(ctx, w)
	g.basis = job.Basis{Workshop: w.Workshop, Tools: tools, Zone: s.zone}
	g.voice = job.Voice{Units: Preferences(w.Workshop), Names: names, Zone: s.zone}
	gone := 0
	for _, n := range names {
		if n == ErasedWords {
			gone++
		}
	}
	g.groundMark, g.asOf = groundMark{workshop: w.entries, tools: len(tools), toolEntries: entries, names: len(names), gone: gone, erased: erased}, head
	return g, settled, nil
}

// basis is the ground for what is not a job.
func (s *Shop) basis(ctx context.Context) (job.Basis, job.Voice, error) {
	g, err := s.ground(ctx)
	return g.basis, g.voice, err
}

// Workshop is the people and the settings.
func (s *Shop) Workshop(ctx context.Context) (job.Workshop, error) {
	head, err := s.head(ctx)
	if err != nil {
		return job.Workshop{}, err
	}
	w, err := s.staffAt(ctx, head)
	w.People = slices.Clone(w.People)
	return w.Workshop, err
}

// staffAt folds the workshop's log, unless that was done before.
func (s *Shop) staffAt(ctx context.Context, head int64) (staff, error) {
	entries, err := s.entriesAt(ctx, record.Workshop, head)
	if err != nil {
		return staff{}, err
	}
	s.mu.Lock()
	before := s.staff
	s.mu.Unlock()
	if before.entries == len(entries) && len(entries) > 0 {
		return before, nil
	}
	w := staff{Workshop: job.FoldWorkshop(entries), entries: len(entries), erasing: erasing(entries)}
	if w.Confidence == 0 {
		w.Confidence = s.conf.Confidence
	}
	if len(entries) == 0 && s.conf.Units == "inch" {
		w.Units = "inch"
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if w.entries > s.staff.entries {
		s.staff = w
	}
	return w, nil
}

// erasing are what the entries say is erased, whether it was done already or
// not.
func erasing(entries []record.Entry) map[string]bool {
	out := map[string]bool{}
	for _, e := range entries {
		var b job.Erased
		if e.Kind != "erased" || json.Unmarshal(e.Body, &b) != nil {
			continue
		}
		for _, x := range b.What {
			out[x.Name] = true
		}
	}
	return out
}

// Tools is the tool register.
func (s *Shop) Tools(ctx context.Context) (job.Register, error) {
	g, err := s.ground(ctx)
	return maps.Clone(g.basis.Tools), err
}

// toolsAt also counts the entries that the register rests on.
func (s *Shop) toolsAt(ctx context.Context, head int64) (reg job.Register, n int, err error) {
	subjects, err := s.store.Subjects(ctx, "tool/")
	if err != nil {
		return nil, 0, fmt.Errorf("shop: tool register: %w", err)
	}
	reg = job.Register{}
	for _, info := range subjects {
		entries, err := s.entriesAt(ctx, info.Subject, head)
		if err != nil {
			return nil, 0, err
		}
		t := job.FoldTool(entries)
		reg[t.ID] = t
		n += len(entries)
	}
	return reg, n, nil
}
