// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"witnessmark/internal/job"
	"witnessmark/internal/report"
	"witnessmark/internal/shop"
)

func newPaperCommand(a *app) *cobra.Command {
	var out, size string
	c := example(&cobra.Command{
		Use:   "paper JOB estimate|parts|account -o FILE.pdf|FILE.csv|FILE.xlsx",
		Short: "Write a job's estimate, parts list or account for a customer or a spreadsheet",
		Long: `Write one paper of a job with agreed work: the estimate, the parts list, or the
account that sets hours and parts beside the estimate. The ending of the file's
name says how it is written; only the estimate is made as a PDF. The account is
in the job's report as well.`,
		Args: cobra.ExactArgs(2),
		RunE: func(c *cobra.Command, args []string) error {
			kind := strings.ToLower(filepath.Ext(out))
			switch {
			case out == "":
				return usagef("paper %s: -o is missing: name the file to write, such as %s-%s.xlsx", args[1], args[1], args[0])
			case kind == ".pdf" && args[1] == "estimate", kind == ".csv", kind == ".xlsx":
			default:
				return usagef("paper %s: -o %s: the ending says what is written; end it with .csv or .xlsx, or .pdf for the estimate", args[1], out)
			}
			return a.withShop(c.Context(), func(s *shop.Shop) error {
				return a.writePaper(c.Context(), s, args[0], args[1], kind, out, size)
			})
		},
		ValidArgsFunction: a.completeJob,
	}, "  witnessmark paper 0398 account -o account-0398.xlsx\n  witnessmark paper 0416 estimate -o estimate-0416.pdf")
	c.Flags().StringVarP(&out, "output", "o", "", "file to write, .pdf, .csv or .xlsx")
	c.Flags().StringVar(&size, "paper", "", "paper of a PDF: a4 or letter (default: the workshop's own)")
	return c
}

func (a *app) writePaper(ctx context.Context, s *shop.Shop, id, of, kind, out, size string) error {
	l, err := s.Job(ctx, id)
	if err != nil {
		return couldNot(err)
	}
	if _, _, ok := job.Agreed(l.State, l.Basis.Plan); !ok {
		return usagef("paper %s: job %s: %w", of, id, report.ErrNoAgreedWork)
	}
	var data []byte
	if kind == ".pdf" {
		data, err = estimatePDF(ctx, s, l, size)
	} else {
		data, err = report.Table(l, of, kind[1:])
	}
	if errors.Is(err, shop.ErrNotFound) {
		return usagef("paper: %w", err)
	}
	if err != nil {
		return couldNot(fmt.Errorf("paper %s: %w", of, err))
	}
	return a.writeFile(fileResult{id, out, len(data)}, data)
}

func estimatePDF(ctx context.Context, s *shop.Shop, l *shop.Loaded, size string) ([]byte, error) {
	if err := checkPaper(size); err != nil {
		return nil, err
	}
	d, err := report.GatherEstimate(ctx, s, l)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = d.PDF(&b, report.PaperOf(s, size))
	return b.Bytes(), err
}
