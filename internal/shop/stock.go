// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"fmt"
	"slices"

	"witnessmark/internal/job"
	"witnessmark/record"
)

// StockSubject is the subject of a batch's log.
func StockSubject(batch string) string { return "stock/" + batch }

// Stock is every batch of shells, with what jobs took out of it.
func (s *Shop) Stock(ctx context.Context) ([]job.Batch, error) {
	subjects, err := s.store.Subjects(ctx, "stock/")
	if err != nil {
		return nil, fmt.Errorf("shop: stock: %w", err)
	}
	if len(subjects) == 0 {
		return nil, nil
	}
	uses, err := s.uses(ctx)
	if err != nil {
		return nil, err
	}
	var out []job.Batch
	for _, info := range subjects {
		entries, err := s.entries(ctx, info.Subject)
		if err != nil {
			return nil, err
		}
		b := job.FoldBatch(entries)
		b.Take(uses)
		out = append(out, b)
	}
	return out, nil
}

// uses are the shells that any job has or had, the oldest first.
func (s *Shop) uses(ctx context.Context) ([]job.ShellUse, error) {
	all, err := s.everyJob(ctx)
	if err != nil {
		return nil, err
	}
	var out []job.ShellUse
	for _, l := range all {
		out = append(out, job.Uses(l.ID, l.State)...)
	}
	slices.SortStableFunc(out, func(a, b job.ShellUse) int { return a.At.Received.Compare(b.At.Received) })
	return out, nil
}

// Batch is one batch of shells.
func (s *Shop) Batch(ctx context.Context, id string) (job.Batch, error) {
	all, err := s.Stock(ctx)
	if err != nil {
		return job.Batch{}, err
	}
	i := slices.IndexFunc(all, func(b job.Batch) bool { return b.Subject == StockSubject(id) })
	if i < 0 {
		return job.Batch{}, fmt.Errorf("shop: batch %q: %w", id, ErrNotFound)
	}
	return all[i], nil
}

// AddBatch begins the log of a batch.
func (s *Shop) AddBatch(ctx context.Context, person string, in Input, b job.BatchAdded) error {
	in.Subject, in.Kind, in.Body = StockSubject(b.ID), "batch_added", b
	if err := record.CheckSubject(in.Subject); err != nil {
		return &Refusal{Cause: fmt.Errorf("batch %q: use letters, digits, points and dashes, as the maker marks it", b.ID)}
	}
	if have, err := s.entries(ctx, in.Subject); err != nil {
		return err
	} else if len(have) > 0 && have[0].ID != in.ID {
		return &Refusal{Cause: fmt.Errorf("batch %s is in stock already: open it and add to it", b.ID)}
	}
	_, _, err := s.Append(ctx, person, in)
	return err
}
