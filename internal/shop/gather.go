// SPDX-License-Identifier: Apache-2.0

package shop

import (
	"context"
	"errors"
	"fmt"

	"witnessmark/internal/job"
	"witnessmark/internal/store"
	"witnessmark/record"
)

// Withhold is what a bundle or a report keeps back: its record and seals hold
// without it.
type Withhold struct {
	Words  bool // names, addresses, plates, notes and signatures
	Photos bool
}

// Holds reports whether anything is kept back.
func (h Withhold) Holds() bool { return h.Words || h.Photos }

// gather puts into a bundle what its entries name. What was erased or is
// withheld is left out; the bundle lists it.
func (s *Shop) gather(ctx context.Context, b *record.Bundle, hold Withhold) error {
	blobs, sheets := record.AllRefs(b.Entries)
	photos := map[record.Commitment]bool{}
	for _, p := range job.Fold(b.Entries).Photos {
		photos[record.Commitment(p.Commitment)] = true
	}
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
		if photos[c] && hold.Photos || !photos[c] && hold.Words {
			b.Withheld = append(b.Withheld, c)
			continue
		}
		b.Blobs[c] = blob
	}
	return nil
}
