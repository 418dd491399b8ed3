// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"fmt"
	"hash/fnv"
	"slices"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/record"
)

// StudySubject is the subject of a gauge study's log.
func StudySubject(id string) string { return "study/" + id }

// Study is one gauge study.
func (s *Shop) Study(ctx context.Context, id string) (job.GaugeStudy, error) {
	if err := record.CheckSubject(StudySubject(id)); err != nil {
		return job.GaugeStudy{}, fmt.Errorf("shop: study %q: %w", id, ErrNotFound)
	}
	entries, err := s.entries(ctx, StudySubject(id))
	if err != nil {
		return job.GaugeStudy{}, err
	}
	if len(entries) == 0 {
		return job.GaugeStudy{}, fmt.Errorf("shop: study %q: %w", id, ErrNotFound)
	}
	return job.FoldStudy(entries), nil
}

// Studies are the gauge studies of one tool, the newest first; of all tools
// for "".
func (s *Shop) Studies(ctx context.Context, tool string) ([]job.GaugeStudy, error) {
	subjects, err := s.store.Subjects(ctx, "study/")
	if err != nil {
		return nil, fmt.Errorf("shop: studies: %w", err)
	}
	var out []job.GaugeStudy
	for _, info := range subjects {
		entries, err := s.entries(ctx, info.Subject)
		if err != nil {
			return nil, err
		}
		if g := job.FoldStudy(entries); tool == "" || g.Gauge == tool {
			out = append(out, g)
		}
	}
	slices.SortStableFunc(out, func(a, b job.GaugeStudy) int { return b.Opened.Received.Compare(a.Opened.Received) })
	return out, nil
}

// OpenStudy begins a gauge study. Id and order follow from the id of the entry,
// so that sending it twice begins one study.
func (s *Shop) OpenStudy(ctx context.Context, person string, in Input, b job.StudyOpened) (string, error) {
	if _, err := s.Tool(ctx, b.Gauge); err != nil {
		return "", err
	}
	if in.ID == "" {
		var err error
		if in.ID, err = record.NewID(s.now(), s.rand); err != nil {
			return "", err
		}
	}
	h := fnv.New32a()
	_, _ = h.Write([]byte(in.ID))
	b.Seed = int64(h.Sum32())
	b.ID = b.Gauge + "-" + strings.ToLower(in.ID[max(0, len(in.ID)-6):])
	in.Subject, in.Kind, in.Body = StudySubject(b.ID), "study_opened", b
	if err := record.CheckSubject(in.Subject); err != nil {
		return "", &Refusal{Cause: fmt.Errorf("study %q: the gauge's id is too long", b.ID)}
	}
	_, _, err := s.Append(ctx, person, in)
	return b.ID, err
}
