// SPDX-License-Identifier: Apache-2.0

package api

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"witnessmark/internal/job"
	"witnessmark/internal/report"
	"witnessmark/internal/shop"
	"witnessmark/scope"
)

// Account is the estimate beside what the job took. Money is a decimal string
// without a rate: null.
type Account struct {
	Currency  string         `json:"currency"`
	Labour    []AccountHours `json:"labour"`
	Parts     []AccountPart  `json:"parts"`
	Estimated Bill           `json:"estimated"`
	Actual    Bill           `json:"actual"`
}

// AccountHours is one line of labour.
type AccountHours struct {
	ID        string  `json:"id"`
	Title     string  `json:"title"`
	Estimated float64 `json:"estimated_h"`
	Actual    float64 `json:"actual_h"`
	Beyond    bool    `json:"not_estimated,omitempty"`
}

// AccountPart is one line of parts.
type AccountPart struct {
	ID        string `json:"id"`
	Title     string `json:"title"`
	Estimated string `json:"estimated"`
	Actual    string `json:"actual"`
	Beyond    bool   `json:"not_estimated,omitempty"`
}

// Bill is hours and money of one side.
type Bill struct {
	Hours       float64  `json:"hours"`
	Labour      *string  `json:"labour"`
	Parts       string   `json:"parts"`
	Tax         *string  `json:"tax"`
	Total       *string  `json:"total"`
	PriceToCome []string `json:"price_to_come"`
}

type accountOutput struct {
	Body Account
}

func (s *server) account(ctx context.Context, in *JobPath) (*accountOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	a, ok, err := job.AccountOf(l.State, l.Basis)
	if err != nil {
		return nil, err
	}
	if !ok {
		return nil, &shop.Refusal{Cause: report.ErrNoAgreedWork}
	}
	out := Account{Currency: string(a.Currency), Labour: []AccountHours{}, Parts: []AccountPart{}, Estimated: billOf(a.Estimated), Actual: billOf(a.Actual)}
	for _, x := range a.Labour {
		out.Labour = append(out.Labour, AccountHours{x.ID, x.Title, x.Estimated.Hours(), x.Actual.Hours(), x.Beyond})
	}
	for _, x := range a.Parts {
		out.Parts = append(out.Parts, AccountPart{x.ID, x.Title, x.Estimated.String(), x.Actual.String(), x.Beyond})
	}
	return &accountOutput{out}, nil
}

func billOf(b scope.Bill) Bill {
	out := Bill{Hours: b.Hours.Hours(), Parts: b.Parts.String(), PriceToCome: append([]string{}, b.PriceToCome...)}
	if b.Labour != nil && b.Tax != nil && b.Total != nil {
		labour, tax, total := b.Labour.String(), b.Tax.String(), b.Total.String()
		out.Labour, out.Tax, out.Total = &labour, &tax, &total
	}
	return out
}

type tableInput struct {
	JobPath
	Of   string `path:"paper" enum:"estimate,parts,account"`
	Kind string `path:"kind" enum:"csv,xlsx"`
}

// table is a paper for a spreadsheet.
func (s *server) table(ctx context.Context, in *tableInput) (*fileOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	data, err := report.Table(l, in.Of, in.Kind)
	if errors.Is(err, report.ErrNoAgreedWork) {
		return nil, &shop.Refusal{Cause: err}
	}
	if err != nil {
		return nil, err
	}
	return &fileOutput{ContentType: report.TableKinds[in.Kind], Disposition: fmt.Sprintf(`attachment; filename="%s-%s.%s"`, in.Of, in.Job, in.Kind), Policy: filePolicy, Body: data}, nil
}

// estimate is the estimate for paper.
func (s *server) estimate(ctx context.Context, in *paperInput) (*fileOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	if _, _, ok := job.Agreed(l.State, l.Basis.Plan); !ok {
		return nil, &shop.Refusal{Cause: report.ErrNoAgreedWork}
	}
	d, err := report.GatherEstimate(ctx, s.shop, l)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := d.PDF(&b, report.PaperOf(s.shop, in.Paper)); err != nil {
		return nil, err
	}
	return &fileOutput{ContentType: pdfType, Disposition: fmt.Sprintf(`inline; filename="estimate-%s.pdf"`, in.Job), Policy: filePolicy, Body: b.Bytes()}, nil
}
