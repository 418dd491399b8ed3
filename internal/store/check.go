// SPDX-License-Identifier: Apache-2.0

package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"witnessmark/record"
)

// Check looks at everything: the database's own consistency, every line, every
// log against its seals, every blob and sheet against its name. It returns one
// verification per log. The error names what isn't a log's.
func (f *Folder) Check(ctx context.Context) ([]record.Verification, error) {
	if err := f.db.integrity(ctx); err != nil {
		return nil, err
	}
	chain, err := f.Chain()
	if err != nil {
		return nil, err
	}
	subjects, err := f.Subjects(ctx, "")
	if err != nil {
		return nil, err
	}
	var out []record.Verification
	var errs []error
	for _, s := range subjects {
		entries, v, err := f.VerifyLog(ctx, s.Subject, chain)
		if err != nil {
			return out, err
		}
		out = append(out, v)
		errs = append(errs, f.checkRefs(ctx, entries))
	}
	return out, errors.Join(errs...)
}

// VerifyLog holds a log against its seals and the hashes kept with it. The
// lines are read as strictly as a bundle's.
func (f *Folder) VerifyLog(ctx context.Context, subject string, chain record.Chain) ([]record.Entry, record.Verification, error) {
	leaves, err := f.Leaves(ctx, subject)
	if err != nil {
		return nil, record.Verification{}, err
	}
	entries, err := f.Entries(ctx, subject, 0)
	if err != nil {
		return nil, record.Verification{}, err
	}
	entries = entries[:min(len(entries), len(leaves))] // some may have come since
	for i, e := range entries {
		strict, err := record.ParseLine(e.Line())
		if err != nil || !bytes.Equal(strict.Line(), e.Line()) {
			return entries, record.Verification{}, fmt.Errorf("store: %s: entry %d: %w: %w", subject, i+1, ErrDamaged, err)
		}
	}
	return entries, record.VerifyLog(entries, leaves, chain), nil
}

func (f *Folder) checkRefs(ctx context.Context, entries []record.Entry) error {
	var errs []error
	blobs, sheets := record.AllRefs(entries)
	for _, c := range blobs {
		if _, err := f.Blob(ctx, c); err != nil && !errors.Is(err, ErrErased) {
			errs = append(errs, err)
		}
	}
	for _, h := range sheets {
		if _, err := f.Sheet(ctx, h); err != nil {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}

// integrity asks the database about itself.
func (s *sqliteStore) integrity(ctx context.Context) error {
	rows, err := s.read.QueryContext(ctx, `PRAGMA integrity_check`)
	return because("check the database", each(rows, err, func() error {
		var said string
		if err := rows.Scan(&said); err != nil {
			return err
		}
		if said != "ok" {
			return fmt.Errorf("%w: %s", ErrDamaged, said)
		}
		return nil
	}))
}
