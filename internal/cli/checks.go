// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"witnessmark/internal/checks"
)

func newChecksCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "checks",
		Short: "Hold the calculations against published values and say what came out",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			results := checks.Run()
			if err := a.emit(results, func(w io.Writer) { printChecks(w, results) }); err != nil {
				return couldNot(err)
			}
			for _, r := range results {
				if !r.OK {
					return errNo
				}
			}
			return nil
		},
	}, "  witnessmark checks\n  witnessmark checks --json")
}

func printChecks(w io.Writer, results []checks.Result) {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tw, "\tcheck\texpected\tgot\ttolerance\tkind\tsource")
	failed := 0
	for _, r := range results {
		mark := "ok"
		if !r.OK {
			mark = "FAILS"
			failed++
		}
		fmt.Fprintf(tw, "%s\t%s\t%.8g\t%.8g\t%.2g\t%s\t%s\n", mark, r.Name, r.Expected, r.Got, r.Tolerance, r.Kind, r.Source)
	}
	tw.Flush()
	fmt.Fprintf(w, "%d checks, %d fail\n", len(results), failed)
}
