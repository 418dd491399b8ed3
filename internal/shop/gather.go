// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"errors"
	"fmt"

	"witnessmark/internal/store"
	"witnessmark/record"
)

// gather puts into a bundle what its entries name. What was erased is left
// out; the bundle lists it.
func (s *Shop) gather(ctx context.Context, b *record.Bundle) error {
	blobs, sheets := record.AllRefs(b.Entries)
	for _, h := range sheets {
		data, err := s.store.Sheet(ctx, h)
		if err != nil {
			return fmt.Errorf("shop: bundle: %s: %w", h, err)
		}
		b.Sheets[h] = data
	}
	for _, c := range blobs {
		blob, err := s.store.Blob(ctx, c)
		switch {
		case errors.Is(err, store.ErrErased):
			continue
		case err != nil:
			return fmt.Errorf("shop: bundle: %s: %w", c, err)
		}
		b.Blobs[c] = blob
	}
	return nil
}
