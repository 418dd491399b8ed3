// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"github.com/spf13/cobra"

	"witnessmark/internal/store"
)

// backupResult is what `backup` and `restore` print.
type backupResult struct {
	File  string `json:"file"`
	Dir   string `json:"dir"`
	Files int    `json:"files"`
	Bytes int64  `json:"bytes"`
	Keys  bool   `json:"with_keys"`
}

func newBackupCommand(a *app) *cobra.Command {
	var withoutKeys bool
	c := example(&cobra.Command{
		Use:   "backup FILE",
		Short: "Copy the whole data folder into one file, while servers run on",
		Long: `Copy the whole data folder into one new file, while servers run on. It holds the
workshop's private key, and whoever has that can seal in the workshop's name: keep
it in a safe place. With --without-keys it can be given away; a folder restored from
it can't seal, and PINs have to be set anew. What was erased meanwhile stays in older
backups: delete those as well.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withFolder(c.Context(), func(f *store.Folder) error { return a.backup(c.Context(), f, args[0], !withoutKeys) })
		},
	}, "  witnessmark backup 2031-05-02.backup\n  witnessmark backup --without-keys elsewhere.backup")
	c.Flags().BoolVar(&withoutKeys, "without-keys", false, "leave out the private key and the other secrets")
	return c
}

func (a *app) backup(ctx context.Context, f *store.Folder, file string, withKeys bool) error {
	info, err := f.Backup(ctx, file, withKeys)
	switch {
	case errors.Is(err, fs.ErrExist):
		return couldNotf("backup %s: there is a file of that name already. Take another name: a backup never replaces one: %w", file, err)
	case errors.Is(err, store.ErrFull):
		return couldNotf("backup %s: the disk is full; nothing was kept. Make room or take another disk: %w", file, err)
	case err != nil:
		return couldNotf("backup %s: %w", file, err)
	}
	r := backupResult{File: file, Dir: f.Dir, Files: info.Files, Bytes: info.Bytes, Keys: info.Keys}
	return couldNot(a.emit(r, func(w io.Writer) {
		fmt.Fprintf(w, "%s was copied to %s: %d files, %d bytes.\n", r.Dir, r.File, r.Files, r.Bytes)
		if r.Keys {
			fmt.Fprintln(w, "It holds the private key: keep it where nobody else can take it.")
		} else {
			fmt.Fprintln(w, "It does not hold the private key: keep a backup that does in a safe place.")
		}
	}))
}
