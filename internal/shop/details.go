// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"encoding/json"
	"fmt"

	"witnessmark/internal/job"
	"witnessmark/record"
)

// KeepDetails keeps details of the owner or the vehicle beside the log and
// enters them. id makes sending them twice count once; empty, a new one is
// made.
func (s *Shop) KeepDetails(ctx context.Context, person, jobID, id, of string, details any) (record.Entry, error) {
	if e, ok, err := s.kept(ctx, Subject(jobID), id); ok || err != nil {
		return e, err
	}
	data, err := json.Marshal(details)
	if err != nil {
		return record.Entry{}, fmt.Errorf("shop: details: %w", err)
	}
	c, err := s.PutWords(ctx, string(data))
	if err != nil {
		return record.Entry{}, err
	}
	e, _, err := s.Append(ctx, person, Input{ID: id, Subject: Subject(jobID), Kind: "details", Body: job.Details{Of: of, Commitment: c}})
	return e, err
}
