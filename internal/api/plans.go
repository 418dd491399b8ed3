// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"

	"witnessmark/internal/shop"
	"witnessmark/scope"
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
	return &planOutput{Body: planOf(hash, plan)}, nil
}

func planOf(hash string, plan *scope.Plan) Plan {
	out := Plan{Hash: hash, Family: plan.Family, Title: plan.Title, Work: []string{}, Warnings: []string{}}
	for _, w := range plan.Work {
		out.Work = append(out.Work, w.ID)
	}
	for _, w := range plan.Warnings() {
		out.Warnings = append(out.Warnings, w.String())
	}
	return out
}

// Plans is the access plans that come with the program and those of jobs.
type Plans struct {
	Plans []Plan `json:"plans"`
}

type plansOutput struct {
	Body Plans
}

func (s *server) plans(ctx context.Context, _ *nothing) (*plansOutput, error) {
	all, err := s.shop.Plans(ctx)
	if err != nil {
		return nil, err
	}
	out := &plansOutput{Body: Plans{Plans: []Plan{}}}
	for _, x := range all {
		out.Body.Plans = append(out.Body.Plans, planOf(x.Hash(), x.Plan))
	}
	return out, nil
}

type PlanPath struct {
	Hash string `path:"hash" maxLength:"80"`
}

func (s *server) planFile(ctx context.Context, in *PlanPath) (*fileOutput, error) {
	info, err := s.shop.PlanListed(ctx, in.Hash)
	if err != nil {
		return nil, nothingAt("such access plan", Prefix+"/plans")
	}
	return &fileOutput{ContentType: yamlType, Disposition: `attachment; filename="plan.yaml"`, Policy: filePolicy, Body: info.Plan.Bytes()}, nil
}
