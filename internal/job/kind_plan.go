// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"

	"witnessmark/scope"
)

// PlanAdopted pins an access plan for the job by its content.
type PlanAdopted struct {
	Plan   string `json:"plan"` // content hash
	Family string `json:"family,omitempty"`
	Reason string `json:"reason,omitempty"`
}

func (b *PlanAdopted) check() error {
	return firstError(checkContent("plan", b.Plan), checkLength("family", b.Family), checkLength("reason", b.Reason))
}

func (b *PlanAdopted) apply(s *State, at At) { s.Plan = &Noted[PlanAdopted]{At: at, Body: *b} }

func (b *PlanAdopted) words(PositionNamer) string {
	w := "Plan adopted"
	if b.Family != "" {
		w += " for engine family " + b.Family
	}
	if b.Reason != "" {
		w += ": " + b.Reason
	}
	return w + "."
}

// ScopeAgreed is the work of the plan that is agreed. A later one replaces it.
type ScopeAgreed struct {
	Want []string `json:"want"` // ids of work
}

func (b *ScopeAgreed) check() error {
	if len(b.Want) == 0 {
		return errors.New("no work is agreed: name work of the plan")
	}
	for _, w := range b.Want {
		if err := checkText("work", w); err != nil {
			return err
		}
	}
	return nil
}

func (b *ScopeAgreed) apply(s *State, at At) { s.Scope = &Noted[ScopeAgreed]{At: at, Body: *b} }

func (b *ScopeAgreed) words(PositionNamer) string { return "Work agreed: " + list(b.Want) + "." }

// Agreed is the agreed work of a job and what it takes; ok is false without a
// plan, without agreed work, and for work that the plan does not have.
func Agreed(s State, plan *scope.Plan) (want []string, e scope.Estimate, ok bool) {
	if plan == nil || s.Scope == nil {
		return nil, e, false
	}
	want = s.Scope.Body.Want
	e, err := plan.Estimate(scope.Request{Want: want})
	return want, e, err == nil
}
