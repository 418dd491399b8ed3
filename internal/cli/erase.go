// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"context"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// eraseResult is what `erase` prints.
type eraseResult struct {
	Job    string        `json:"job"`
	Erased bool          `json:"erased"`          // false: what would be
	Entry  int64         `json:"entry,omitempty"` // that says so
	Things []erasedThing `json:"things"`
	Stays  string        `json:"stays"`
}

type erasedThing struct {
	Entry int64  `json:"entry"`
	What  string `json:"what"`
	Name  string `json:"name"` // commitment
	Words string `json:"words"`
}

// eraseFlags say what goes.
type eraseFlags struct {
	what    []string
	entries []int64
	reason  string
	yes     bool
}

func newEraseCommand(a *app) *cobra.Command {
	var f eraseFlags
	c := example(&cobra.Command{
		Use:   "erase JOB --what KINDS|--entry N --reason TEXT [--yes]",
		Short: "Erase what is personal beside a job's record",
		Long: `Erase names, addresses, plates, notes, signatures or photos beside a job's record.
Without --yes it only lists what would go, and the exit code is 1. An entry says
who erased what, and why.

` + shop.ErasureStays,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(s *shop.Shop) error { return a.erase(c.Context(), s, args[0], f) })
		},
		ValidArgsFunction: a.completeJob,
	}, "  witnessmark erase 0412 --what owner,vehicle --reason 'asked for by letter' --as 'Lio Marnet'\n  witnessmark erase 0412 --entry 19 --reason 'shows a face' --as 'Lio Marnet' --yes")
	c.Flags().StringSliceVar(&f.what, "what", nil, "kinds of things: "+strings.Join(erasableKinds(), ", "))
	c.Flags().Int64SliceVar(&f.entries, "entry", nil, "everything that these entries name")
	c.Flags().StringVar(&f.reason, "reason", "", "who asked for it, or why it has to go")
	c.Flags().BoolVar(&f.yes, "yes", false, "erase it, not only list it")
	return c
}

func erasableKinds() []string {
	return slices.DeleteFunc(slices.Sorted(maps.Keys(job.ErasableWords)), func(k string) bool { return k == "name" })
}

func (a *app) erase(ctx context.Context, s *shop.Shop, id string, f eraseFlags) error {
	for _, k := range f.what {
		if !slices.Contains(erasableKinds(), k) {
			return usagef("erase %s: --what %s is not known: write %s", id, k, strings.Join(erasableKinds(), ", "))
		}
	}
	switch {
	case len(f.what)+len(f.entries) == 0:
		return usagef("erase %s: nothing is chosen: say --what or --entry", id)
	case f.reason == "":
		return usagef("erase %s: --reason is missing: say who asked for it, or why it has to go", id)
	}
	p, err := a.who(ctx, s, "erased")
	if err != nil {
		return err
	}
	l, err := theJob(ctx, s, id)
	if err != nil {
		return err
	}
	r := eraseResult{Job: l.ID, Things: []erasedThing{}, Stays: shop.ErasureStays}
	names, err := r.choose(ctx, s, l, f)
	if err != nil {
		return err
	}
	if len(names) == 0 {
		return usagef("erase %s: nothing of that is beside the record, or it was erased before", id)
	}
	if f.yes {
		e, err := s.EraseFrom(ctx, p.ID, "", l.ID, names, f.reason)
		if err != nil {
			return couldNot(err)
		}
		r.Erased, r.Entry = true, e.Seq
	}
	if err := a.emit(r, r.print); err != nil || f.yes {
		return couldNot(err)
	}
	return errNo
}

func (r *eraseResult) choose(ctx context.Context, s *shop.Shop, l *shop.Loaded, f eraseFlags) ([]string, error) {
	all, err := s.Erasable(ctx, l)
	if err != nil {
		return nil, couldNot(err)
	}
	var names []string
	for _, x := range all {
		if !x.Erased && (slices.Contains(f.what, x.What) || slices.Contains(f.entries, x.Entry)) {
			names = append(names, x.Name)
			r.Things = append(r.Things, erasedThing{x.Entry, x.What, x.Name, x.Words})
		}
	}
	return names, nil
}

func (r eraseResult) print(w io.Writer) {
	if r.Erased {
		fmt.Fprintf(w, "Job %s, erased (entry %d):\n", r.Job, r.Entry)
	} else {
		fmt.Fprintf(w, "Job %s, this would be erased for good; add --yes to do it:\n", r.Job)
	}
	for _, x := range r.Things {
		fmt.Fprintf(w, "  %s of entry %d: %s\n", job.ErasableWords[x.What], x.Entry, x.Words)
	}
	fmt.Fprintln(w, r.Stays)
}
