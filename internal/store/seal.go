// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"errors"
	"fmt"
	"time"

	"witnessmark/record"
)

// SealRequest asks for a seal of a log.
type SealRequest struct {
	ID         string // of the entry that will hold it
	Subject    string
	Person     string
	DeviceTime time.Time
	Saw        int64 // the last entry the person saw; 0: seal whatever is there
}

// Seal signs a checkpoint over the log as it stands and appends it as the next
// entry. A log that doesn't match its last seal is not sealed over: ErrDamaged.
// If the log goes on in between, it is a conflict when the request says
// what was seen, and is tried again when it doesn't. A repeat with the same id
// returns the seal that is there.
func (f *Folder) Seal(ctx context.Context, r SealRequest) (record.Seal, error) {
	key, err := f.Key()
	if err != nil {
		return record.Seal{}, err
	}
	chain, err := f.Chain()
	if err != nil {
		return record.Seal{}, err
	}
	for try := 0; ; try++ {
		s, err := sealOnce(ctx, f.Store, key, chain, r)
		var moved *record.ConflictError
		if r.Saw == 0 && try < 10 && errors.As(err, &moved) {
			continue
		}
		return s, err
	}
}

func sealOnce(ctx context.Context, st Logs, key record.Key, chain record.Chain, r SealRequest) (record.Seal, error) {
	entries, err := st.Entries(ctx, r.Subject, 0)
	if err != nil {
		return record.Seal{}, err
	}
	for _, e := range entries {
		if e.ID == r.ID {
			return record.ParseSeal(e)
		}
	}
	if n := int64(len(entries)); r.Saw != 0 && r.Saw != n {
		return record.Seal{}, &record.ConflictError{Subject: r.Subject, Saw: r.Saw, Seq: n}
	}
	if err := soundEnough(ctx, st, r.Subject, entries, chain); err != nil {
		return record.Seal{}, err
	}
	s, err := record.NewSeal(entries, key)
	if err != nil {
		return record.Seal{}, err
	}
	e, err := st.AppendSeal(ctx, r.Person, record.Proposal{
		ID: r.ID, Subject: r.Subject, DeviceTime: r.DeviceTime,
		Kind: record.KindSeal, Version: 1, Body: s.Body(), Saw: s.Size,
	})
	if err != nil {
		return record.Seal{}, err
	}
	return record.ParseSeal(e)
}

// soundEnough holds the log against its seals and the leaf hashes kept with it.
func soundEnough(ctx context.Context, st Logs, subject string, entries []record.Entry, chain record.Chain) error {
	if len(entries) == 0 {
		return fmt.Errorf("store: seal %s: %w", subject, ErrNotFound)
	}
	leaves, err := st.Leaves(ctx, subject)
	if err != nil {
		return err
	}
	leaves = leaves[:min(len(leaves), len(entries))] // some may have come since
	if v := record.VerifyLog(entries, leaves, chain); !v.OK {
		return fmt.Errorf("store: seal: %w: %s", ErrDamaged, v)
	}
	return nil
}
