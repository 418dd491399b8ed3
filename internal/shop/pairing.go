// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"fmt"

	"witnessmark/bearing"
	"witnessmark/internal/job"
)

// Pairing is the choice of shells for a job, solved.
type Pairing struct {
	Case     job.PairingCase
	Best     bearing.Pairing
	Remedies []bearing.Remedy
	Err      error // why nothing was solved; it is for the page
}

// solved is a choice that was solved before.
type solved struct {
	best bearing.Pairing
	err  error
	help []bearing.Help
}

// maxSolved is how many solved choices are kept in memory.
const maxSolved = 64

// oneMoreBudget is what each 'one more' may take: there are as many as walls.
var oneMoreBudget = bearing.Budget{Steps: 1_000_000}

// ErrNoLimits says that a job's shells can't be chosen yet.
var ErrNoLimits = fmt.Errorf("the engine sheet gives no limits of the clearance on both sides: %w", ErrNotFound)

// Pairing chooses shells for a job. Positions that no two shells here bring
// within the limits are left out of the choice and named.
func (s *Shop) Pairing(ctx context.Context, l *Loaded, ask job.PairingAsk) (Pairing, error) {
	stock, err := s.Stock(ctx)
	if err != nil {
		return Pairing{}, err
	}
	c, ok := job.NewPairing(l.State, l.Basis, l.Assessment, stock, l.ID, ask)
	if !ok {
		return Pairing{}, ErrNoLimits
	}
	p := Pairing{Case: c}
	if len(c.Input.Bores) == 0 {
		p.Err = fmt.Errorf("no position has both its housing bore and its journal measured: measure them, then the shells can be chosen")
		return p, nil
	}
	got := s.solve(c)
	if got.err == nil && !got.best.AllWithin {
		if p.Remedies = p.Case.SetAside(got.best); len(p.Remedies) > 0 && len(p.Case.Input.Bores) > 0 {
			got = s.solve(p.Case)
		}
		if got.err == nil && len(p.Case.Input.Bores) > 0 {
			p.Remedies = append(p.Remedies, bearing.Remedies(p.Case.Input, got.best)...)
		}
	}
	p.Best, p.Err = got.best, got.err
	if len(p.Case.Input.Bores) == 0 {
		p.Err = fmt.Errorf("no two shells here bring any position within the limits")
	}
	return p, nil
}

// solve solves a choice unless that was done before.
func (s *Shop) solve(c job.PairingCase) solved {
	key := c.Key()
	s.mu.Lock()
	got, ok := s.pairs[key]
	s.mu.Unlock()
	if ok {
		return got
	}
	got.best, got.err = bearing.Pair(c.Input, bearing.DefaultBudget)
	s.keepSolved(key, got)
	return got
}

func (s *Shop) keepSolved(key string, got solved) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.pairs) >= maxSolved {
		clear(s.pairs)
	}
	s.pairs[key] = got
}

// OneMore says how much one more shell of each wall or grade would help.
func (s *Shop) OneMore(p Pairing) ([]bearing.Help, error) {
	if p.Err != nil {
		return nil, &Refusal{Cause: p.Err}
	}
	got := s.solve(p.Case)
	if got.help != nil {
		return got.help, nil
	}
	help, err := bearing.OneMore(p.Case.Input, got.best, oneMoreBudget)
	if err != nil {
		return nil, &Refusal{Cause: err}
	}
	got.help = help
	s.keepSolved(p.Case.Key(), got)
	return help, nil
}
