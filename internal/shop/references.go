// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"witnessmark/internal/job"
	"witnessmark/internal/photo"
	"witnessmark/internal/store"
	"witnessmark/record"
	"witnessmark/scope"
)

// CheckReferences refuses a body from outside that names what is not here: a
// photo that was not sent before, an engine sheet that nobody added. What the
// job's log names already may be named again.
func (s *Shop) CheckReferences(ctx context.Context, subject, kind string, body json.RawMessage) error {
	blobs, sheets := record.Refs(body)
	if len(blobs)+len(sheets) == 0 {
		return nil
	}
	entries, err := s.entries(ctx, subject)
	if err != nil {
		return err
	}
	known, _ := record.AllRefs(entries)
	for _, c := range blobs {
		if slices.Contains(known, c) {
			continue
		}
		if err := s.isPhoto(ctx, c); err != nil {
			return err
		}
	}
	is := s.isSheet
	if kind == "plan_adopted" {
		is = s.isPlan
	}
	for _, h := range sheets {
		if err := is(ctx, h); err != nil {
			return err
		}
	}
	return s.rightFamily(ctx, kind, body)
}

func (s *Shop) isPhoto(ctx context.Context, c record.Commitment) error {
	b, err := s.store.Blob(ctx, c)
	switch {
	case errors.Is(err, store.ErrNotFound), errors.Is(err, ErrErased):
		return &Refusal{Cause: fmt.Errorf("%s is no photo that is kept here: send the photo first, then the entry that names it", c)}
	case err != nil:
		return fmt.Errorf("shop: %s: %w", c, err)
	}
	if _, _, err := photo.Size(b.Data); err != nil {
		return &Refusal{Cause: fmt.Errorf("%s is kept here but is no photo: send the photo, then the entry that names it", c)}
	}
	return nil
}

func (s *Shop) isSheet(ctx context.Context, h record.ContentHash) error {
	_, err := s.Sheet(ctx, string(h))
	if errors.Is(err, store.ErrNotFound) {
		return &Refusal{Cause: fmt.Errorf("%s is no engine sheet of this workshop: add the sheet first", h)}
	}
	return err
}

func (s *Shop) isPlan(ctx context.Context, h record.ContentHash) error {
	_, err := s.Plan(ctx, string(h))
	var problems *scope.Problems
	if errors.Is(err, store.ErrNotFound) || errors.As(err, &problems) {
		return &Refusal{Cause: fmt.Errorf("%s is no access plan of this workshop: add the plan first", h)}
	}
	return err
}

// rightFamily holds the family that an adoption names against the sheet.
func (s *Shop) rightFamily(ctx context.Context, kind string, body json.RawMessage) error {
	var adopted job.SheetAdopted
	if kind != "sheet_adopted" || json.Unmarshal(body, &adopted) != nil {
		return nil
	}
	sheet, err := s.Sheet(ctx, adopted.Sheet)
	if err != nil {
		return err
	}
	if sheet.Family != adopted.Family {
		return &Refusal{Cause: fmt.Errorf("family %q: the engine sheet is of %q", adopted.Family, sheet.Family)}
	}
	return nil
}
