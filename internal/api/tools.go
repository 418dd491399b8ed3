// SPDX-License-Identifier: Apache-2.0

package api

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// Tool is one tool of the register.
type Tool struct {
	job.ToolAdded
	Due     string    `json:"due,omitempty" doc:"the day the calibration runs out"`
	Today   job.Trust `json:"today" enum:"trusted,overdue,rejected,not_known" doc:"whether what is done with it today stands"`
	Retired bool      `json:"retired,omitempty"`
}

func (s *server) toolOf(t job.Tool) Tool {
	return Tool{ToolAdded: t.ToolAdded, Due: t.Due(), Today: t.TrustOn(job.Day(s.shop.Now(), s.shop.Zone())), Retired: t.Retired != nil}
}

// Tools is the tool register.
type Tools struct {
	Tools []Tool `json:"tools"`
}

type toolsOutput struct {
	Body Tools
}

func (s *server) tools(ctx context.Context, _ *nothing) (*toolsOutput, error) {
	register, err := s.shop.Tools(ctx)
	if err != nil {
		return nil, err
	}
	out := &toolsOutput{}
	out.Body.Tools = []Tool{}
	for _, t := range register {
		out.Body.Tools = append(out.Body.Tools, s.toolOf(t))
	}
	slices.SortFunc(out.Body.Tools, func(a, b Tool) int { return cmp.Compare(a.ID, b.ID) })
	return out, nil
}

type ToolPath struct {
	Tool string `path:"tool" maxLength:"64" doc:"its id"`
}

// ToolHistory is a tool with what was done with it.
type ToolHistory struct {
	Tool    Tool   `json:"tool"`
	History []Line `json:"history"`
}

type toolOutput struct {
	Body ToolHistory
}

func (s *server) tool(ctx context.Context, in *ToolPath) (*toolOutput, error) {
	t, err := s.shop.Tool(ctx, in.Tool)
	if err != nil {
		return nil, err
	}
	history, err := s.shop.History(ctx, t.Subject)
	if err != nil {
		return nil, err
	}
	out := &toolOutput{}
	out.Body.Tool, out.Body.History = s.toolOf(t), linesOf(history)
	return out, nil
}

type toolLinesInput struct {
	ToolPath
	LinesInput
}

func (s *server) toolLines(ctx context.Context, in *toolLinesInput) (*linesOutput, error) {
	return s.lines(ctx, toolSubject(in.Tool), in.LinesInput)
}

func toolSubject(id string) string { return "tool/" + id }

type toolProposeInput struct {
	ToolPath
	Body Proposal
}

// keepOnTool keeps an entry of a tool's log. tool_added makes the tool.
func (s *server) keepOnTool(ctx context.Context, in *toolProposeInput) (*keptOutput, error) {
	if err := rightLog(in.Body.Kind, false); err != nil {
		return nil, err
	}
	subject := toolSubject(in.Tool)
	if in.Body.Kind == "tool_added" {
		if err := s.newTool(ctx, subject, in); err != nil {
			return nil, err
		}
	}
	return s.proposed(ctx, subject, in.Body)
}

// newTool refuses a tool under another's id. Sent twice, it is the same tool.
func (s *server) newTool(ctx context.Context, subject string, in *toolProposeInput) error {
	if err := record.CheckSubject(subject); err != nil {
		return &shop.Refusal{Cause: fmt.Errorf("tool id %q: use letters, digits, points and dashes, such as TW-2", in.Tool)}
	}
	var b struct {
		ID string `json:"id"`
	}
	if json.Unmarshal(in.Body.Body, &b) == nil && b.ID != in.Tool {
		return &shop.Refusal{Cause: fmt.Errorf("tool id %q: the path says %q", b.ID, in.Tool)}
	}
	entries, err := s.shop.Log(ctx, subject, 0)
	if err == nil && entries[0].ID != in.Body.ID {
		return &shop.Refusal{Cause: fmt.Errorf("tool %s is in the register already: choose another id, or look at that tool", in.Tool)}
	}
	return nil
}
