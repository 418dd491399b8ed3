// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/record"
)

// NeedSaw are the kinds that carry the sequence they saw, and are answered
// with a conflict if what they rest on has changed since.
var NeedSaw = []string{"correction", "concession", "seal", "handover"}

// guard is what decides inside the appending transaction.
func (s *Shop) guard(ctx context.Context, p record.Proposal) (record.Guard, error) {
	switch p.Kind {
	case "correction":
		return correctionGuard, nil
	case "concession":
		return s.concessionGuard(ctx)
	case "handover":
		return record.UnchangedSinceSeen, nil
	case "batch_added", "study_opened":
		return beginsGuard, nil
	case "study_read", "study_again":
		return studyGuard, nil
	}
	return func(record.Log, record.Proposal) error { return nil }, nil
}

// correctionGuard refuses a correction of an entry that is not there, and one
// that somebody else corrected meanwhile.
func correctionGuard(log record.Log, p record.Proposal) error {
	var c job.Correction
	if err := json.Unmarshal(p.Body, &c); err != nil {
		return err
	}
	if c.Replaces > log.Len() {
		return &Refusal{Cause: fmt.Errorf("entry %d is not there: the record has %d entries", c.Replaces, log.Len())}
	}
	target, err := log.After(c.Replaces - 1)
	if err != nil {
		return err
	}
	if !c.Withdraws() && target[0].Kind != c.Kind {
		return &Refusal{Cause: fmt.Errorf("entry %d is a %s, the correction is a %s: write the same kind, or withdraw the entry", c.Replaces, target[0].Kind, c.Kind)}
	}
	for _, e := range target[1:] {
		var other job.Correction
		if e.Seq > p.Saw && e.Kind == "correction" && json.Unmarshal(e.Body, &other) == nil && other.Replaces == c.Replaces {
			return &record.ConflictError{Subject: p.Subject, Saw: p.Saw, Seq: log.Len(), Changed: []int64{e.Seq}}
		}
	}
	return nil
}

// beginsGuard refuses to begin a batch or a study that is there already. The
// same entry sent twice never comes here.
func beginsGuard(log record.Log, p record.Proposal) error {
	if log.Len() == 0 {
		return nil
	}
	what, id, _ := strings.Cut(p.Subject, "/")
	if what == "stock" {
		return &Refusal{Cause: fmt.Errorf("batch %s is in stock already: open it and add to it", id)}
	}
	return &Refusal{Cause: fmt.Errorf("study %s was begun before: read on in it, or begin another", id)}
}

// studyGuard refuses a second reading of a step of a gauge study, for who reads
// again has seen the first, and to take back any but the last.
func studyGuard(log record.Log, p record.Proposal) error {
	var b struct {
		Step int `json:"step"`
	}
	if err := json.Unmarshal(p.Body, &b); err != nil {
		return err
	}
	entries, err := log.After(0)
	if err != nil {
		return err
	}
	g := job.FoldStudy(entries)
	if p.Kind == "study_again" {
		if !g.MayReadAgain(b.Step) {
			return &Refusal{Cause: fmt.Errorf("step %d can’t be read again: only the reading before can be taken back, and none once all are read; read on, or begin another study", b.Step)}
		}
		return nil
	}
	if _, read := g.Read[b.Step]; read {
		return &Refusal{Cause: fmt.Errorf("step %d is read already, and the first reading counts: go on with the next", b.Step)}
	}
	return nil
}

// concessionGuard refuses a concession when the obstacle that it names rests
// on other entries by now, or stands no longer.
func (s *Shop) concessionGuard(ctx context.Context) (record.Guard, error) {
	basis, _, err := s.basis(ctx)
	if err != nil {
		return nil, err
	}
	return func(log record.Log, p record.Proposal) error {
		var c job.Conceded
		if err := json.Unmarshal(p.Body, &c); err != nil {
			return err
		}
		entries, err := log.After(0)
		if err != nil {
			return err
		}
		l, err := s.assess(ctx, &Loaded{Entries: entries, State: job.Fold(entries), Basis: basis})
		if err != nil {
			return err
		}
		for _, o := range l.Assessment.Obstacles {
			if o.Key == c.Obstacle && slices.Equal(o.RestsOn, c.RestsOn) {
				return nil
			}
		}
		return &record.ConflictError{Subject: p.Subject, Saw: p.Saw, Seq: log.Len(), Changed: since(entries, p.Saw)}
	}, nil
}

func since(entries []record.Entry, saw int64) []int64 {
	var seqs []int64
	for _, e := range entries {
		if e.Seq > saw {
			seqs = append(seqs, e.Seq)
		}
	}
	return seqs
}
