// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"witnessmark/internal/report"
	"witnessmark/internal/shop"
)

// fileResult is what a command prints that writes a file.
type fileResult struct {
	Job   string `json:"job"`
	File  string `json:"file"`
	Bytes int    `json:"bytes"`
}

func newReportCommand(a *app) *cobra.Command {
	var out string
	c := example(&cobra.Command{
		Use:   "report JOB -o FILE.html",
		Short: "Write the printable report of a job",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if out == "" {
				return usagef("report %s: -o is missing: name the file to write, such as report-%s.html", args[0], args[0])
			}
			return a.withShop(c.Context(), func(s *shop.Shop) error {
				html, err := reportOf(c.Context(), s, args[0])
				if err != nil {
					return err
				}
				return a.writeFile(fileResult{args[0], out, len(html)}, html)
			})
		},
		ValidArgsFunction: a.completeJob,
	}, "  witnessmark report 0398 -o report-0398.html")
	c.Flags().StringVarP(&out, "output", "o", "", "file to write")
	return c
}

func reportOf(ctx context.Context, s *shop.Shop, id string) ([]byte, error) {
	l, err := theJob(ctx, s, id)
	if err != nil {
		return nil, err
	}
	d, err := report.Gather(ctx, s, l)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := d.HTML(ctx, &b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// writeFile writes a job's file and says so.
func (a *app) writeFile(r fileResult, data []byte) error {
	if err := os.WriteFile(r.File, data, 0o600); err != nil {
		return couldNot(err)
	}
	return couldNot(a.emit(r, func(w io.Writer) { fmt.Fprintf(w, "Job %s written to %s.\n", r.Job, r.File) }))
}
