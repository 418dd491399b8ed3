// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/record"
)

// sealResult is what `seal` prints.
type sealResult struct {
	Job         string `json:"job"`
	Covers      int64  `json:"covers_entries"`
	Extends     int64  `json:"extends_seal_to_entry"` // 0: it is the first
	Entry       int64  `json:"entry"`                 // that holds the seal
	Root        string `json:"root_sha256"`
	Fingerprint string `json:"fingerprint"`
	Key         string `json:"key"`
	Note        string `json:"note"`
}

func newSealCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "seal JOB",
		Short: "Sign a job's record as it stands",
		Long: `Sign a job's record as it stands with the workshop's key. A seal locks nothing:
later entries follow it, and the next seal proves that it extends this one.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(s *shop.Shop) error { return a.seal(c.Context(), s, args[0]) })
		},
		ValidArgsFunction: a.completeJob,
	}, "  witnessmark seal 0412 --as 'Odda Brenk'")
}

func (a *app) seal(ctx context.Context, s *shop.Shop, id string) error {
	p, err := a.who(ctx, s, record.KindSeal)
	if err != nil {
		return err
	}
	l, err := theJob(ctx, s, id)
	if err != nil {
		return err
	}
	seal, err := s.Seal(ctx, p.ID, l.ID, "", 0)
	if err != nil {
		return keyError(a.folder(), err)
	}
	r := sealResult{Job: l.ID, Covers: seal.Size, Extends: seal.OldSize, Entry: seal.Seq, Root: hex.EncodeToString(seal.Root[:]),
		Fingerprint: seal.Fingerprint(), Key: seal.Key, Note: seal.Note}
	return couldNot(a.emit(r, func(w io.Writer) {
		fmt.Fprintf(w, "Job %s is sealed to entry %d. Fingerprint %s.\n", r.Job, r.Covers, r.Fingerprint)
	}))
}

// keyError says what to do when there is nothing to sign with, or when what is
// there must not be signed.
func keyError(dir string, err error) error {
	switch {
	case errors.Is(err, store.ErrNoKey):
		return couldNotf("data folder %s: the workshop's private key is not in it, so nothing can be signed. Put keys/private back from a backup that holds it: %w", dir, err)
	case errors.Is(err, store.ErrDamaged):
		return couldNotf("nothing was signed: what is on disk is not what was kept. Leave the folder %s as it is and restore a backup elsewhere: %w", dir, err)
	}
	return err
}
