// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

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
	var out, paper string
	var summary bool
	c := example(&cobra.Command{
		Use:   "report JOB -o FILE.pdf|FILE.html",
		Short: "Write the printable report of a job",
		Long: `Write the report of a job: a PDF with a summary for the owner on its first page,
photos and a page for the seal, or one HTML page. The ending of the file's name
says which. It holds names and notes unless they were erased.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			write, err := writerOf(args[0], out, paper, summary)
			if err != nil {
				return err
			}
			return a.withShop(c.Context(), func(s *shop.Shop) error {
				d, err := reportOf(c.Context(), s, args[0])
				if err != nil {
					return err
				}
				var b bytes.Buffer
				if err := write(c.Context(), s, d, &b); err != nil {
					return err
				}
				return a.writeFile(fileResult{args[0], out, b.Len()}, b.Bytes())
			})
		},
		ValidArgsFunction: a.completeJob,
	}, "  witnessmark report 0398 -o report-0398.pdf\n  witnessmark report 0398 -o owner-0398.pdf --summary\n  witnessmark report 0398 -o report-0398.html")
	c.Flags().StringVarP(&out, "output", "o", "", "file to write, .pdf or .html")
	c.Flags().StringVar(&paper, "paper", "", "paper of a PDF: a4 or letter (default: the workshop's own)")
	c.Flags().BoolVar(&summary, "summary", false, "the owner's summary alone, one side (PDF)")
	return c
}

// writerOf says how a report is written, by the ending of the file's name.
func writerOf(id, out, paper string, summary bool) (func(context.Context, *shop.Shop, report.Data, io.Writer) error, error) {
	if out == "" {
		return nil, usagef("report %s: -o is missing: name the file to write, such as report-%s.pdf", id, id)
	}
	if err := checkPaper(paper); err != nil {
		return nil, err
	}
	pdf := report.Data.PDF
	if summary {
		pdf = report.Data.SummaryPDF
	}
	switch strings.ToLower(filepath.Ext(out)) {
	case ".pdf":
		return func(_ context.Context, s *shop.Shop, d report.Data, w io.Writer) error {
			return pdf(d, w, report.PaperOf(s, paper))
		}, nil
	case ".html", ".htm":
		if summary {
			return nil, usagef("report %s: --summary is for paper; end -o %s with .pdf", id, out)
		}
		return func(ctx context.Context, _ *shop.Shop, d report.Data, w io.Writer) error { return d.HTML(ctx, w) }, nil
	}
	return nil, usagef("report %s: -o %s: the ending says what is written; end it with .pdf or .html", id, out)
}

func checkPaper(paper string) error {
	if paper == "" {
		return nil
	}
	if !slices.Contains(report.Papers, strings.ToLower(paper)) {
		return usagef("--paper %s is not known: write %s", paper, strings.Join(report.Papers, " or "))
	}
	return nil
}

func reportOf(ctx context.Context, s *shop.Shop, id string) (report.Data, error) {
	l, err := theJob(ctx, s, id)
	if err != nil {
		return report.Data{}, err
	}
	return report.Gather(ctx, s, l)
}

// writeFile writes a job's file and says so.
func (a *app) writeFile(r fileResult, data []byte) error {
	if err := os.WriteFile(r.File, data, 0o600); err != nil {
		return couldNot(err)
	}
	return couldNot(a.emit(r, func(w io.Writer) { fmt.Fprintf(w, "Job %s written to %s.\n", r.Job, r.File) }))
}
