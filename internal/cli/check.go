// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"context"
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// checkResult is what `check` prints.
type checkResult struct {
	Job       string           `json:"job"`
	For       job.Check        `json:"for"`
	Ready     bool             `json:"ready"`
	Obstacles []job.Obstacle   `json:"obstacles"` // those that stand in the way
	Words     []obstacleInWord `json:"in_words"`
	// Assessment is everything that the answer rests on.
	Assessment job.Assessment `json:"assessment"`
}

// obstacleInWord is a line of the list, which may stand for several positions.
type obstacleInWord struct {
	Check job.Check `json:"check"`
	What  string    `json:"what"`
	Who   string    `json:"who"`
	How   string    `json:"how"`
}

func newCheckCommand(a *app) *cobra.Command {
	check := string(job.Handover)
	c := example(&cobra.Command{
		Use:   "check JOB [--for close-up|start|handover]",
		Short: "Say what still stands in the way of closing up, starting or handing over",
		Long: `Say what still stands in the way of closing up, starting or handing over, who
can clear it and how. Each check includes the ones before it; without --for all
three are held. Exit code 0 when nothing stands in the way, 1 otherwise.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if !slices.Contains(job.Checks, job.Check(check)) {
				return usagef("check %s: --for %q: write one of close-up, start, handover", args[0], check)
			}
			return a.withShop(c.Context(), func(s *shop.Shop) error { return a.check(c.Context(), s, args[0], job.Check(check)) })
		},
		ValidArgsFunction: a.completeJob,
	}, "  witnessmark check 0412\n  witnessmark check 0412 --for close-up --json")
	c.Flags().StringVar(&check, "for", check, "close-up, start or handover")
	return c
}

func (a *app) check(ctx context.Context, s *shop.Shop, id string, check job.Check) error {
	l, err := theJob(ctx, s, id)
	if err != nil {
		return err
	}
	upTo := slices.Index(job.Checks, check) + 1
	views := l.View().Checks[:upTo]
	result := checkResult{Job: l.ID, For: check, Ready: l.Assessment.Ready(check), Obstacles: l.Assessment.Standing(check),
		Words: []obstacleInWord{}, Assessment: l.Assessment}
	for _, v := range views {
		for _, o := range v.Standing {
			result.Words = append(result.Words, obstacleInWord{v.Check, o.What, o.Who, o.How})
		}
	}
	if err := a.emit(result, func(w io.Writer) {
		for _, v := range views {
			printCheck(w, v)
		}
	}); err != nil {
		return couldNot(err)
	}
	if !result.Ready {
		return errNo
	}
	return nil
}

// printCheck prints one check with what stands in its way.
func printCheck(w io.Writer, c job.CheckView) {
	fmt.Fprintln(w, c.Title)
	for _, o := range c.Standing {
		fmt.Fprintf(w, "  %s  %s\n", o.Mark, o.What)
		fmt.Fprintf(w, "     %s: %s\n", o.Who, o.How)
		if o.Refused != "" {
			fmt.Fprintf(w, "     %s\n", o.Refused)
		}
	}
	for _, o := range c.Conceded {
		fmt.Fprintf(w, "  ✓  %s\n     %s\n", o.What, o.Conceded)
	}
	fmt.Fprintln(w)
}
