// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"fmt"

	"witnessmark/internal/job"
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
