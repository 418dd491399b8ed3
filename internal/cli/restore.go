// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"github.com/spf13/cobra"

	"witnessmark/internal/shop"
	"witnessmark/internal/store"
)

func newRestoreCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "restore FILE --dir D",
		Short: "Fill an empty data folder from a backup and verify all of it",
		Long: `Fill an empty data folder from a backup. Every file is held against its sum and
every record against its seals; if anything is wrong the folder is left empty.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return a.restore(c.Context(), args[0])
		},
	}, "  witnessmark restore 2031-05-02.backup --dir new-folder")
}

func (a *app) restore(ctx context.Context, file string) error {
	dir := a.folder()
	info, err := store.Restore(ctx, file, dir, store.Options{NeedSaw: shop.NeedSaw})
	switch {
	case errors.Is(err, fs.ErrExist):
		return couldNotf("restore into %s: it is not empty. Name another folder with --dir: %w", dir, err)
	case errors.Is(err, store.ErrNotFound):
		return couldNotf("restore %s: there is no such file: %w", file, err)
	case errors.Is(err, store.ErrNewer):
		return couldNotf("restore %s: a newer version of this program wrote it. Use that one: %w", file, err)
	case errors.Is(err, store.ErrDamaged):
		return couldNotf("restore %s: it is not as it was written; %s was left empty. Take another backup: %w", file, dir, err)
	case err != nil:
		return couldNotf("restore %s into %s: %w", file, dir, err)
	}
	r := backupResult{File: file, Dir: dir, Files: info.Files, Bytes: info.Bytes, Keys: info.Keys}
	if !r.Keys {
		a.say("The private key was not in the backup: this folder can't seal, and PINs have to be set anew.")
	}
	return couldNot(a.emit(r, func(w io.Writer) {
		fmt.Fprintf(w, "%s was restored from %s: %d files, %d bytes, all as they were backed up; every record was verified.\n", r.Dir, r.File, r.Files, r.Bytes)
	}))
}
