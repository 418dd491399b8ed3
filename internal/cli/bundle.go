// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"witnessmark/internal/report"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// bundleResult is what `bundle` prints.
type bundleResult struct {
	Job     string `json:"job"`
	File    string `json:"file"`
	Bytes   int    `json:"bytes"`
	SHA256  string `json:"sha256"`
	Entries int    `json:"entries"`
	Sealed  int64  `json:"sealed_to_entry"` // 0: not sealed
}

func newBundleCommand(a *app) *cobra.Command {
	var file string
	var held []string
	c := example(&cobra.Command{
		Use:   "bundle JOB -o FILE.zip",
		Short: "Write a job with everything in it, for anyone to verify",
		Long: `Write a job's record with its seals, engine sheet, report and what is kept beside
it, as one zip. Verifying it takes the file and the workshop's public key
("witnessmark key show"). It holds names and addresses unless they were erased:
give it only to whom they concern, or leave them out with --without words,photos. The
record and its seals verify without them, and the bundle says that they are withheld.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if file == "" {
				return usagef("bundle %s: -o is missing: name the file to write, such as job-%s.zip", args[0], args[0])
			}
			hold, err := withholdOf(held)
			if err != nil {
				return err
			}
			return a.withShop(c.Context(), func(s *shop.Shop) error { return a.bundle(c.Context(), s, args[0], file, hold) })
		},
		ValidArgsFunction: a.completeJob,
	}, "  witnessmark bundle 0412 -o job-0412.zip\n  witnessmark bundle 0412 -o job-0412.zip --without words,photos")
	c.Flags().StringVarP(&file, "output", "o", "", "the file to write; it must not be there yet")
	c.Flags().StringSliceVar(&held, "without", nil, "what to withhold: words, photos or both")
	return c
}

// withholdOf reads what is to be kept back.
func withholdOf(held []string) (shop.Withhold, error) {
	var h shop.Withhold
	for _, what := range held {
		switch what {
		case "words":
			h.Words = true
		case "photos":
			h.Photos = true
		default:
			return h, usagef("--without %s is not known: write words, photos or both with a comma between", what)
		}
	}
	return h, nil
}

func (a *app) bundle(ctx context.Context, s *shop.Shop, id, file string, hold shop.Withhold) error {
	l, err := theJob(ctx, s, id)
	if err != nil {
		return err
	}
	d, err := report.GatherWithout(ctx, s, l, hold)
	if err != nil {
		return err
	}
	reports, err := d.Files(ctx, report.Options{Paper: s.Config().Paper})
	if err != nil {
		return err
	}
	var zip bytes.Buffer
	if err := s.Bundle(ctx, l.ID, reports, hold, &zip); err != nil {
		return keyError(a.folder(), err)
	}
	if err := writeNew(file, zip.Bytes()); err != nil {
		return err
	}
	b, err := record.ReadBundle(zip.Bytes())
	if err != nil {
		return couldNot(err)
	}
	sum := sha256.Sum256(zip.Bytes())
	r := bundleResult{Job: l.ID, File: file, Bytes: zip.Len(), SHA256: hex.EncodeToString(sum[:]), Entries: len(b.Entries)}
	if seal, ok := record.LastSeal(b.Entries); ok {
		r.Sealed = seal.Size
	} else {
		a.say("Job %s is not sealed: only the bundle's own list vouches for its entries. Seal it first with \"witnessmark seal %s\".", l.ID, l.ID)
	}
	return couldNot(a.emit(r, func(w io.Writer) {
		fmt.Fprintf(w, "Job %s written to %s: %d entries, sealed to entry %d, %d bytes.\n", r.Job, r.File, r.Entries, r.Sealed, r.Bytes)
	}))
}

// writeNew writes a file that must not be there yet, safely on disk.
func writeNew(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return couldNotf("%s: there is a file of that name already. Take another name or move it away first", path)
	}
	if err != nil {
		return couldNotf("%s can't be written: %w", path, err)
	}
	_, err = f.Write(data)
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		return couldNotf("%s can't be written: %w", path, errors.Join(err, os.Remove(path)))
	}
	return nil
}
