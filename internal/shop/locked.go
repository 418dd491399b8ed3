// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"fmt"

	"witnessmark/internal/job"
	"witnessmark/record"
)

// Locked reports whether a manager has to unlock a person after too many wrong
// PINs.
func (s *Shop) Locked(ctx context.Context, person string) (bool, error) {
	f, err := s.store.FailuresOf(ctx, failureKey(person))
	if err != nil {
		return false, fmt.Errorf("shop: log-in: %w", err)
	}
	return f.Count >= MaxFailures, nil
}

// FreePerson is an id that nobody has or had.
func (s *Shop) FreePerson(ctx context.Context) (string, error) {
	w, err := s.Workshop(ctx)
	if err != nil {
		return "", err
	}
	for n := len(w.People) + 1; ; n++ {
		id := fmt.Sprintf("p-%d", n)
		if _, taken := w.Person(id); !taken {
			return id, nil
		}
	}
}

// Tool is one tool of the register.
func (s *Shop) Tool(ctx context.Context, id string) (job.Tool, error) {
	tools, err := s.Tools(ctx)
	if err != nil {
		return job.Tool{}, err
	}
	t, ok := tools[id]
	if !ok {
		return job.Tool{}, fmt.Errorf("shop: tool %q: %w", id, ErrNotFound)
	}
	return t, nil
}

// History is what a log of the register or of the workshop says, in words.
func (s *Shop) History(ctx context.Context, subject string) ([]job.Line, error) {
	if err := record.CheckSubject(subject); err != nil {
		return nil, fmt.Errorf("shop: %s: %w", subject, ErrNotFound)
	}
	entries, err := s.entries(ctx, subject)
	if err != nil {
		return nil, err
	}
	basis, voice, err := s.basis(ctx)
	if err != nil {
		return nil, err
	}
	return job.Record(entries, basis, voice), nil
}
