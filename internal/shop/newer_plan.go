// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"

	"witnessmark/plans"
	"witnessmark/scope"
)

// NewerPlan is another plan of the same engine family than the one that a job
// pinned: the one adopted last by any job since, else the program's own. The
// job keeps what it pinned until somebody adopts the other.
func (s *Shop) NewerPlan(ctx context.Context, l *Loaded) (*scope.Plan, error) {
	pinned := l.Basis.Plan
	if pinned == nil || pinned.Family == "" {
		return nil, nil
	}
	all, err := s.everyJob(ctx)
	if err != nil {
		return nil, err
	}
	newest := l.State.Plan.At.Received
	var found *scope.Plan
	for _, other := range all {
		p := other.State.Plan
		if p != nil && p.At.Received.After(newest) && other.Basis.Plan.Family == pinned.Family && other.Basis.Plan.Hash != pinned.Hash {
			found, newest = other.Basis.Plan, p.At.Received
		}
	}
	if found != nil {
		return found, nil
	}
	own, ok, err := plans.ForFamily(pinned.Family)
	if err != nil || !ok || own.Hash == pinned.Hash || own.Edition <= pinned.Edition {
		return nil, err
	}
	return own, nil
}
