// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

func newStockCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "stock [BATCH]",
		Short: "List the shells in stock, by batch",
		Long: `List every batch of shells of the workshop, or one, with the wall of each shell at
its crown and the job that has it. Shells are put in, measured and taken back on
the page of their batch.`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(s *shop.Shop) error { return a.stock(c.Context(), s, args) })
		},
	}, "  witnessmark stock\n  witnessmark stock INV-2409 --json")
}

func (a *app) stock(ctx context.Context, s *shop.Shop, args []string) error {
	var batches []job.Batch
	var err error
	if len(args) == 1 {
		batches = make([]job.Batch, 1)
		batches[0], err = s.Batch(ctx, args[0])
	} else {
		batches, err = s.Stock(ctx)
	}
	if errors.Is(err, shop.ErrNotFound) {
		return usagef("stock: no batch %q; \"witnessmark stock\" lists them", args[0])
	}
	if err != nil {
		return couldNot(err)
	}
	tools, err := s.Tools(ctx)
	if err != nil {
		return couldNot(err)
	}
	result := []job.ShelfBatch{}
	for _, b := range batches {
		result = append(result, b.Listed(tools))
	}
	return couldNot(a.emit(result, func(w io.Writer) { printStock(w, result) }))
}

func printStock(w io.Writer, all []job.ShelfBatch) {
	if len(all) == 0 {
		fmt.Fprintln(w, "No batch is on the shelf.")
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	defer t.Flush()
	for _, b := range all {
		fmt.Fprintf(t, "Batch %s\t%s\t%s\n", b.ID, b.Part, b.Family)
		for _, s := range b.Shells {
			where := "on the shelf"
			switch {
			case s.Job != "":
				where = fmt.Sprintf("job %s, position %d", s.Job, s.Position)
			case !s.Free:
				where = "taken out"
			}
			fmt.Fprintf(t, "  %s\t%s\t%.4f mm ± %.4f\t%s\n", s.ID, s.Half, s.WallMM, 2*s.U, where)
		}
		for _, g := range b.Grades {
			fmt.Fprintf(t, "  grade %s\t%s\t%.4f mm\t%d on the shelf\n", g.Grade, g.Half, g.WallMM, g.Count)
		}
		for _, p := range b.Pairs {
			fmt.Fprintf(t, "  %s and %s\tstay together\n", p[0], p[1])
		}
	}
}
