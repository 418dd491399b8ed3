// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"

	"witnessmark/internal/shop"
)

// NewPlan is an access plan to keep.
type NewPlan struct {
	Name string `json:"name,omitempty" maxLength:"200" doc:"of its file, for messages"`
	YAML string `json:"yaml" maxLength:"1048576" doc:"see witnessmark scope schema"`
}

type planInput struct {
	Body NewPlan
}

// Plan is an access plan that is kept.
type Plan struct {
	Hash     string   `json:"hash" doc:"names it by its bytes"`
	Family   string   `json:"family,omitempty"`
	Title    string   `json:"title,omitempty"`
	Work     []string `json:"work" doc:"ids"`
	Warnings []string `json:"warnings" doc:"what may be used but deserves a look"`
}

type planOutput struct {
	Body Plan
}

func (s *server) addPlan(ctx context.Context, in *planInput) (*planOutput, error) {
	name := in.Body.Name
	if name == "" {
		name = "plan.yaml"
	}
	hash, plan, err := s.shop.AddPlan(ctx, name, []byte(in.Body.YAML))
	if err != nil {
		return nil, &shop.Refusal{Cause: err}
	}
	out := &planOutput{Body: Plan{Hash: hash, Family: plan.Family, Title: plan.Title, Work: []string{}, Warnings: []string{}}}
	for _, w := range plan.Work {
		out.Body.Work = append(out.Body.Work, w.ID)
	}
	for _, w := range plan.Warnings() {
		out.Body.Warnings = append(out.Body.Warnings, w.String())
	}
	return out, nil
}
