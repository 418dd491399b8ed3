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

// shellsResult is what `shells` prints: the choice as it would be adopted, and
// its words as on the page.
type shellsResult struct {
	job.PairingAdopted
	Headline string   `json:"headline"`
	Proof    string   `json:"proof,omitempty"`
	Problem  string   `json:"problem,omitempty"`
	Remedies []string `json:"remedies"`
	Missing  []string `json:"missing"`
	Notes    []string `json:"notes"`
	Adopted  bool     `json:"adopted"`

	view job.PairingView
}

func newShellsCommand(a *app) *cobra.Command {
	var aside []int
	c := example(&cobra.Command{
		Use:   "shells JOB",
		Short: "Choose shells from the stock for a job's positions",
		Long: `Choose an upper and a lower shell from the stock for every position of a job whose
housing bore and journal are measured, so that the largest departure from the
target is least. Nothing is adopted: that is done on the job's page. The exit
code is 1 when nothing can be chosen or a position can't be met.`,
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeJob,
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(s *shop.Shop) error { return a.shells(c.Context(), s, args[0], job.PairingAsk{Aside: aside}) })
		},
	}, "  witnessmark shells 0412\n  witnessmark shells 0412 --aside 4 --json")
	c.Flags().IntSliceVar(&aside, "aside", nil, "positions to leave out, such as 4,6")
	return c
}

func (a *app) shells(ctx context.Context, s *shop.Shop, id string, ask job.PairingAsk) error {
	l, err := s.Job(ctx, id)
	if err != nil {
		return couldNot(err)
	}
	p, err := s.Pairing(ctx, l, ask)
	if errors.Is(err, shop.ErrNoLimits) {
		return usagef("shells %s: %w; adopt an engine sheet that does", id, err)
	}
	if err != nil {
		return couldNot(err)
	}
	v := job.ShowPairing(p.Case, p.Best, p.Remedies, p.Err, l.Assessment, l.State, l.Basis, l.Voice)
	r := shellsResult{Headline: v.Headline, Proof: v.Proof, Problem: v.Problem, Remedies: []string{}, Missing: []string{}, Notes: append([]string{}, v.Notes...), Adopted: v.Adopted, view: v}
	if p.Err == nil {
		r.PairingAdopted = p.Case.Adopt(p.Best)
	}
	if r.Fits == nil {
		r.Fits = []job.PairedShells{}
	}
	for _, x := range v.Remedies {
		r.Remedies = append(r.Remedies, x.Words)
	}
	for _, x := range v.Asks {
		r.Missing = append(r.Missing, x.Words)
	}
	if err := couldNot(a.emit(r, func(w io.Writer) { printShells(w, r) })); err != nil {
		return err
	}
	if p.Err != nil || len(p.Remedies) > 0 {
		return errNo
	}
	return nil
}

func printShells(w io.Writer, r shellsResult) {
	fmt.Fprintf(w, "%s (target %s, allowed %s)\n", r.Headline, r.view.Target, r.view.Limits)
	for _, s := range []string{r.Problem, r.Proof} {
		if s != "" {
			fmt.Fprintln(w, s)
		}
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, x := range r.view.Rows {
		if x.Set {
			fmt.Fprintf(t, "  %s\t%s, %s\t%s\t%s\t%s\n", x.Name, x.Upper, x.Lower, x.Clearance, x.Departure, x.Verdict.Word)
		} else {
			fmt.Fprintf(t, "  %s\t%s\n", x.Name, x.Why)
		}
	}
	t.Flush()
	for _, list := range [][]string{r.Remedies, r.Notes} {
		for _, s := range list {
			fmt.Fprintln(w, s)
		}
	}
	if r.Adopted {
		fmt.Fprintln(w, "This choice is adopted.")
	}
}
