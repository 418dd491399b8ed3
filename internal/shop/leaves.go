// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"errors"

	"witnessmark/internal/job"
	"witnessmark/record"
)

var errLastManager = errors.New("this is the last manager: make somebody else one first, or nobody can add people and tools any more")

// Leaves ends somebody's access; what they recorded stays. id makes sending it
// twice count once.
func (s *Shop) Leaves(ctx context.Context, by, id, person string) error {
	if err := s.notLastManager(ctx, person); err != nil {
		return err
	}
	_, _, err := s.Append(ctx, by, Input{ID: id, Subject: record.Workshop, Kind: "person_left", Body: job.PersonLeft{ID: person}})
	return err
}

// notLastManager refuses to take the last manager away.
func (s *Shop) notLastManager(ctx context.Context, person string) error {
	people, err := s.People(ctx)
	if err != nil {
		return err
	}
	managers, last := 0, false
	for _, p := range people {
		if p.Left || p.Role != job.Manager {
			continue
		}
		managers++
		last = last || p.ID == person
	}
	if last && managers == 1 {
		return &Refusal{Cause: errLastManager}
	}
	return nil
}
