// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"encoding/json"
	"fmt"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// Stock is the shells on the shelf.
type Stock struct {
	Batches []job.ShelfBatch `json:"batches"`
}

type stockOutput struct {
	Body Stock
}

func (s *server) stock(ctx context.Context, _ *nothing) (*stockOutput, error) {
	all, err := s.shop.Stock(ctx)
	if err != nil {
		return nil, err
	}
	tools, err := s.shop.Tools(ctx)
	if err != nil {
		return nil, err
	}
	out := &stockOutput{Body: Stock{Batches: []job.ShelfBatch{}}}
	for _, b := range all {
		out.Body.Batches = append(out.Body.Batches, b.Listed(tools))
	}
	return out, nil
}

type BatchPath struct {
	Batch string `path:"batch" maxLength:"64" doc:"as the maker marks it"`
}

type batchProposeInput struct {
	BatchPath
	Body Proposal
}

// keepInStock keeps an entry of a batch's log. batch_added makes the batch.
func (s *server) keepInStock(ctx context.Context, in *batchProposeInput) (*keptOutput, error) {
	if err := ownLog(in.Body.Kind, job.LogStock); err != nil {
		return nil, err
	}
	subject := shop.StockSubject(in.Batch)
	if in.Body.Kind == "batch_added" {
		var b job.BatchAdded
		if json.Unmarshal(in.Body.Body, &b) == nil && b.ID != in.Batch {
			return nil, &shop.Refusal{Cause: fmt.Errorf("batch %q: the path says %q", b.ID, in.Batch)}
		}
	}
	return s.proposed(ctx, subject, in.Body)
}

// ownLog refuses kinds of another log. What was entered into stock by mistake
// is corrected; a blind reading is not.
func ownLog(kind, log string) error {
	if kind == "correction" && log == job.LogStock {
		return nil
	}
	for _, k := range job.Kinds() {
		if k.Name == kind && k.Log == log {
			return nil
		}
	}
	return &shop.Refusal{Cause: fmt.Errorf("kind %q: it does not belong to a log of %s", kind, log)}
}

// Pairing is a choice of shells for a job.
type Pairing struct {
	job.PairingAdopted
	Remedies []string `json:"remedies" doc:"what would help positions that can't be met"`
	Missing  []string `json:"missing" doc:"sizes that are not measured"`
	Problem  string   `json:"problem,omitempty" doc:"why nothing is chosen"`
}

type pairingInput struct {
	JobPath
	Aside []int `query:"aside" doc:"positions to leave out"`
	Free  []int `query:"free" doc:"positions finally tightened to choose anew"`
}

type pairingOutput struct {
	Body Pairing
}

func (s *server) pairing(ctx context.Context, in *pairingInput) (*pairingOutput, error) {
	l, err := s.shop.Job(ctx, in.Job)
	if err != nil {
		return nil, err
	}
	p, err := s.shop.Pairing(ctx, l, job.PairingAsk{Aside: in.Aside, Free: in.Free})
	if err != nil {
		return nil, err
	}
	v := job.ShowPairing(p.Case, p.Best, p.Remedies, p.Err, l.Assessment, l.State, l.Basis, l.Voice)
	out := &pairingOutput{Body: Pairing{Remedies: []string{}, Missing: []string{}, Problem: v.Problem}}
	if p.Err == nil {
		out.Body.PairingAdopted = p.Case.Adopt(p.Best)
	}
	if out.Body.Fits == nil {
		out.Body.Fits = []job.PairedShells{}
	}
	for _, r := range v.Remedies {
		out.Body.Remedies = append(out.Body.Remedies, r.Words)
	}
	for _, a := range v.Asks {
		out.Body.Missing = append(out.Body.Missing, a.Words)
	}
	return out, nil
}

type StudyPath struct {
	Study string `path:"study" maxLength:"64" doc:"its id"`
}

// Study is a gauge study: how far it is; its readings once all are read.
type Study struct {
	job.StudyOpened
	Steps    int                `json:"steps"`
	Read     int                `json:"read"`
	Readings []job.StudyReading `json:"readings" doc:"hidden until all are read; people are letters"`
}

type studyOutput struct {
	Body Study
}

func (s *server) study(ctx context.Context, in *StudyPath) (*studyOutput, error) {
	g, err := s.shop.Study(ctx, in.Study)
	if err != nil {
		return nil, err
	}
	out := &studyOutput{Body: Study{StudyOpened: g.StudyOpened, Steps: len(g.Steps), Read: len(g.Read), Readings: []job.StudyReading{}}}
	if g.Done() {
		out.Body.Readings = g.Readings()
	}
	return out, nil
}

type studyProposeInput struct {
	StudyPath
	Body Proposal
}

// keepInStudy keeps a reading of a study, or takes the last one back: of the
// caller's own steps only.
func (s *server) keepInStudy(ctx context.Context, in *studyProposeInput) (*keptOutput, error) {
	if err := ownLog(in.Body.Kind, job.LogStudy); err != nil {
		return nil, err
	}
	if in.Body.Kind == "study_opened" {
		var b job.StudyOpened
		if json.Unmarshal(in.Body.Body, &b) == nil && b.ID != in.Study {
			return nil, &shop.Refusal{Cause: fmt.Errorf("study %q: the path says %q", b.ID, in.Study)}
		}
	}
	if in.Body.Kind == "study_read" || in.Body.Kind == "study_again" {
		g, err := s.shop.Study(ctx, in.Study)
		if err != nil {
			return nil, err
		}
		var b struct {
			Step int `json:"step"`
		}
		if json.Unmarshal(in.Body.Body, &b) == nil && (b.Step < 1 || b.Step > len(g.Steps) || g.Steps[b.Step-1].Person != who(ctx).ID) {
			return nil, &shop.Refusal{Cause: fmt.Errorf("step %d is somebody else’s to read", b.Step)}
		}
	}
	return s.proposed(ctx, shop.StudySubject(in.Study), in.Body)
}
