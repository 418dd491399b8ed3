// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"witnessmark/internal/job"
	"witnessmark/plans"
	"witnessmark/record"
	"witnessmark/scope"
)

// Plan loads an access plan by its content hash.
func (s *Shop) Plan(ctx context.Context, hash string) (*scope.Plan, error) {
	s.mu.Lock()
	plan := s.plans[hash]
	s.mu.Unlock()
	if plan != nil {
		return plan, nil
	}
	data, err := s.store.Sheet(ctx, record.ContentHash(hash))
	if err != nil {
		return nil, fmt.Errorf("shop: plan %s: %w", hash, err)
	}
	if plan, err = scope.Load("plan.yaml", data); err != nil {
		return nil, fmt.Errorf("shop: plan %s: %w", hash, err)
	}
	s.mu.Lock()
	s.plans[hash] = plan
	s.mu.Unlock()
	return plan, nil
}

// AddPlan checks an access plan and keeps its bytes by their content.
func (s *Shop) AddPlan(ctx context.Context, name string, data []byte) (hash string, plan *scope.Plan, err error) {
	if plan, err = scope.Load(name, data); err != nil {
		return "", nil, err
	}
	h, err := s.store.PutSheet(ctx, data)
	if err != nil {
		return "", nil, fmt.Errorf("shop: keep plan: %w", err)
	}
	return string(h), plan, nil
}

// AdoptPlan pins a plan for a job.
func (s *Shop) AdoptPlan(ctx context.Context, person, id, hash, reason string) error {
	plan, err := s.Plan(ctx, hash)
	if err != nil {
		return err
	}
	_, _, err = s.Append(ctx, person, Input{Subject: Subject(id), Kind: "plan_adopted", Body: job.PlanAdopted{Plan: hash, Family: plan.Family, Reason: reason}})
	return err
}

// agreed is the plan of a job, the agreed work and what it takes.
func agreed(l *Loaded) (*scope.Plan, []string, scope.Estimate) {
	want, e, ok := job.Agreed(l.State, l.Basis.Plan)
	if !ok {
		return l.Basis.Plan, nil, scope.Estimate{}
	}
	return l.Basis.Plan, want, e
}

// PlanInfo is an access plan with where it is used.
type PlanInfo struct {
	Plan *scope.Plan
	Own  bool     // comes with the program
	Jobs []string // that pin it, handed over or not
}

// Hash is the plan's as entries name it.
func (i PlanInfo) Hash() string { return string(record.HashContent(i.Plan.Bytes())) }

// Plans lists the plans that come with the program and those that jobs pin, by
// family, the newest edition first.
func (s *Shop) Plans(ctx context.Context) ([]PlanInfo, error) {
	all, err := s.everyJob(ctx)
	if err != nil {
		return nil, err
	}
	by := map[string]*PlanInfo{}
	for _, name := range plans.Names() {
		p, err := plans.Named(name)
		if err != nil {
			return nil, err
		}
		by[p.Hash] = &PlanInfo{Plan: p, Own: true}
	}
	for _, l := range all {
		p := l.Basis.Plan
		if p == nil {
			continue
		}
		if by[p.Hash] == nil {
			by[p.Hash] = &PlanInfo{Plan: p}
		}
		by[p.Hash].Jobs = append(by[p.Hash].Jobs, l.ID)
	}
	var out []PlanInfo
	for _, x := range by {
		slices.Sort(x.Jobs)
		out = append(out, *x)
	}
	slices.SortFunc(out, func(a, b PlanInfo) int {
		return cmp.Or(cmp.Compare(a.Plan.Family, b.Plan.Family), cmp.Compare(b.Plan.Edition, a.Plan.Edition), cmp.Compare(a.Plan.Hash, b.Plan.Hash))
	})
	return out, nil
}

// PlanListed is the plan of [Shop.Plans] with this hash, or [ErrNotFound].
func (s *Shop) PlanListed(ctx context.Context, hash string) (PlanInfo, error) {
	all, err := s.Plans(ctx)
	if err != nil {
		return PlanInfo{}, err
	}
	for _, x := range all {
		if x.Hash() == hash {
			return x, nil
		}
	}
	return PlanInfo{}, fmt.Errorf("shop: access plan %q: %w", hash, ErrNotFound)
}
