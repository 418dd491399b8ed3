// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"fmt"

	"witnessmark/record"
)

// Verify holds a job's log as it is on disk against its leaves and seals. It
// reads everything anew: what is in memory proves nothing.
func (s *Shop) Verify(ctx context.Context, id string) (record.Verification, error) {
	if err := record.CheckSubject(Subject(id)); err != nil {
		return record.Verification{}, fmt.Errorf("shop: job %q: %w", id, ErrNotFound)
	}
	entries, err := s.store.Entries(ctx, Subject(id), 0)
	if err != nil {
		return record.Verification{}, fmt.Errorf("shop: verify %s: %w", id, err)
	}
	if len(entries) == 0 {
		return record.Verification{}, fmt.Errorf("shop: job %q: %w", id, ErrNotFound)
	}
	leaves, err := s.store.Leaves(ctx, Subject(id))
	if err != nil {
		return record.Verification{}, fmt.Errorf("shop: verify %s: %w", id, err)
	}
	chain, err := s.folder.Chain()
	if err != nil {
		return record.Verification{}, fmt.Errorf("shop: verify %s: %w", id, err)
	}
	return record.VerifyLog(entries, leaves, chain), nil
}

// Log is the entries of a log after one of them, as they are stored.
func (s *Shop) Log(ctx context.Context, subject string, after int64) ([]record.Entry, error) {
	if err := record.CheckSubject(subject); err != nil {
		return nil, fmt.Errorf("shop: %s: %w", subject, ErrNotFound)
	}
	all, err := s.entries(ctx, subject)
	if err != nil {
		return nil, err
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("shop: %s: %w", subject, ErrNotFound)
	}
	return all[min(max(after, 0), int64(len(all))):], nil
}
