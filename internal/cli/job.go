// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/sheets"
)

func newJobCommand(a *app) *cobra.Command {
	c := example(&cobra.Command{
		Use:   "job",
		Short: "Open, list and show jobs",
		Args:  cobra.NoArgs,
		RunE:  func(c *cobra.Command, _ []string) error { return c.Help() },
	}, "  witnessmark job list\n  witnessmark job show 0412")
	c.AddCommand(newJobNewCommand(a), newJobListCommand(a), newJobShowCommand(a))
	return c
}

// newJobFlags are the flags of `job new`.
type newJobFlags struct {
	job   shop.NewJob
	sheet string
}

// newJobResult is what `job new` prints.
type newJobResult struct {
	Job    string `json:"job"`
	Family string `json:"family,omitempty"`
	Sheet  string `json:"sheet,omitempty"`
	// Warning is about the identity number: kept as it was given.
	Warning string `json:"warning,omitempty"`
}

func newJobNewCommand(a *app) *cobra.Command {
	var f newJobFlags
	c := example(&cobra.Command{
		Use:   "new",
		Short: "Open a job",
		Long: `Open a job. The engine sheet is a file, the name of one that comes with the
program, or the family or hash of one that the workshop has. Owner and plate are kept
beside the record and can be erased.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withShop(c.Context(), func(s *shop.Shop) error { return a.newJob(c.Context(), s, f) })
		},
	}, "  witnessmark job new --as 'Odda Brenk' --number 0416 --vehicle 'Averland Tarn 3.4' --sheet AV34")
	fl := c.Flags()
	fl.StringVar(&f.job.Number, "number", "", "the workshop's number for it")
	fl.StringVar(&f.job.Vehicle, "vehicle", "", "make and model in plain words")
	fl.StringVar(&f.job.Purpose, "purpose", "", "what it is here for")
	fl.StringVar(&f.sheet, "sheet", "", "engine sheet: file, name, family or hash")
	fl.StringVar(&f.job.Owner.Name, "owner", "", "the owner's name")
	fl.StringVar(&f.job.Owner.Address, "owner-address", "", "the owner's address")
	fl.StringVar(&f.job.Owner.Phone, "owner-phone", "", "the owner's telephone")
	fl.StringVar(&f.job.Owner.Mail, "owner-mail", "", "the owner's e-mail address")
	fl.StringVar(&f.job.Plate, "plate", "", "the vehicle's plate")
	fl.StringVar(&f.job.Identity, "identity", "", "the vehicle's identity number")
	fl.BoolVar(&f.job.Invented, "invented", false, "mark it as invented for demonstration")
	return c
}

func (a *app) newJob(ctx context.Context, s *shop.Shop, f newJobFlags) error {
	if f.job.Number == "" {
		return usagef("job new: --number is missing: give the workshop's number for the job, such as 0416")
	}
	p, err := a.who(ctx, s, "job_opened")
	if err != nil {
		return err
	}
	result := newJobResult{Job: f.job.Number, Warning: engine.IdentityWarning(f.job.Identity)}
	if f.sheet != "" {
		// To adopt a sheet takes somebody who works on the engine.
		if err := shop.May(p.Role, "sheet_adopted"); err != nil {
			return couldNotf("--as %s: %w", a.person, err)
		}
		info, err := findSheet(ctx, s, f.sheet)
		if err != nil {
			return err
		}
		f.job.Sheet, result.Sheet, result.Family = info.Hash, info.Hash, info.Sheet.Family
	}
	if result.Job, err = s.OpenJob(ctx, p.ID, f.job); err != nil {
		return err
	}
	return couldNot(a.emit(result, func(w io.Writer) {
		fmt.Fprintf(w, "Job %s is open", result.Job)
		if result.Family != "" {
			fmt.Fprintf(w, " on engine family %s", result.Family)
		}
		fmt.Fprintln(w, ".")
		if result.Warning != "" {
			fmt.Fprintln(w, result.Warning)
		}
	}))
}

// findSheet finds an engine sheet: a file, one that the workshop has, or one
// that comes with the program.
func findSheet(ctx context.Context, s *shop.Shop, name string) (shop.SheetInfo, error) {
	data, err := os.ReadFile(name)
	if err == nil {
		info, err := s.AddSheet(ctx, name, data)
		return info, usage(err)
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return shop.SheetInfo{}, couldNot(err)
	}
	have, err := s.Sheets(ctx)
	if err != nil {
		return shop.SheetInfo{}, couldNot(err)
	}
	var found []shop.SheetInfo
	for _, h := range have {
		if h.Sheet.Family == name || h.Hash == name || h.Sheet.Hash == name {
			found = append(found, h)
		}
	}
	switch {
	case len(found) > 1:
		return shop.SheetInfo{}, usagef("--sheet %s: the workshop has %d editions of it; give the hash of one: %s", name, len(found), hashes(found))
	case len(found) == 1:
		return found[0], nil
	}
	own, err := sheets.Named(name)
	if err != nil {
		return shop.SheetInfo{}, usagef("--sheet %s: neither a file, nor a sheet of the workshop (%s), nor one that comes with the program (%s)",
			name, families(have), strings.Join(sheets.Names(), ", "))
	}
	info, err := s.AddSheet(ctx, name+".yaml", own.Bytes())
	return info, couldNot(err)
}

func families(all []shop.SheetInfo) string {
	var names []string
	for _, i := range all {
		names = append(names, i.Sheet.Family)
	}
	if len(names) == 0 {
		return "it has none"
	}
	return strings.Join(names, ", ")
}

func hashes(all []shop.SheetInfo) string {
	var names []string
	for _, i := range all {
		names = append(names, i.Hash)
	}
	return strings.Join(names, ", ")
}

// listedJob is one line of `job list`.
type listedJob struct {
	Job        string    `json:"job"`
	Vehicle    string    `json:"vehicle,omitempty"`
	Family     string    `json:"family,omitempty"`
	Opened     time.Time `json:"opened"`
	Last       time.Time `json:"last_entry"`
	Waits      string    `json:"waits"`
	HandedOver bool      `json:"handed_over"`
	Invented   bool      `json:"invented"`
}

func newJobListCommand(a *app) *cobra.Command {
	return example(&cobra.Command{
		Use:   "list",
		Short: "List jobs and what each waits for",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withShop(c.Context(), func(s *shop.Shop) error { return a.listJobs(c.Context(), s) })
		},
	}, "  witnessmark job list\n  witnessmark job list --json")
}

func (a *app) listJobs(ctx context.Context, s *shop.Shop) error {
	all, err := s.Jobs(ctx)
	if err != nil {
		return err
	}
	list := []listedJob{}
	for _, j := range all {
		list = append(list, listedJob{j.ID, j.Vehicle, j.Family, j.Opened, j.Last, j.Waits, j.HandedOver, j.Invented})
	}
	return couldNot(a.emit(list, func(w io.Writer) {
		tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		fmt.Fprintln(tw, "job\tvehicle\tengine\tlast entry\t")
		for _, j := range list {
			fmt.Fprintf(tw, "%s\t%s\t%s\t%s\t%s\n", j.Job, j.Vehicle, j.Family, j.Last.In(s.Zone()).Format(time.DateOnly), j.Waits)
		}
		tw.Flush()
		for _, j := range list {
			if j.Invented {
				fmt.Fprintln(w, job.InventedNotice)
				return
			}
		}
	}))
}

// shownJob is what `job show` prints.
type shownJob struct {
	Job        string         `json:"job"`
	Vehicle    string         `json:"vehicle,omitempty"`
	Purpose    string         `json:"purpose,omitempty"`
	Opened     time.Time      `json:"opened"`
	Waits      string         `json:"waits"`
	Next       string         `json:"next"`
	Assessment job.Assessment `json:"assessment"`
	Record     []recordLine   `json:"record,omitempty"`
}

// recordLine is one entry in words.
type recordLine struct {
	Entry     int64   `json:"entry"`
	Kind      string  `json:"kind"`
	Words     string  `json:"words"`
	Person    string  `json:"person"`
	Received  string  `json:"received"`
	Replaced  []int64 `json:"corrected_by,omitempty"`
	Withdrawn bool    `json:"withdrawn,omitempty"`
}

func newJobShowCommand(a *app) *cobra.Command {
	var withRecord bool
	c := example(&cobra.Command{
		Use:   "show JOB",
		Short: "Show a job: every position, what stands in the way, what comes next",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return a.withShop(c.Context(), func(s *shop.Shop) error { return a.showJob(c.Context(), s, args[0], withRecord) })
		},
		ValidArgsFunction: a.completeJob,
	}, "  witnessmark job show 0412\n  witnessmark job show 0398 --record")
	c.Flags().BoolVar(&withRecord, "record", false, "print every entry of the record too")
	return c
}

func (a *app) showJob(ctx context.Context, s *shop.Shop, id string, withRecord bool) error {
	l, err := theJob(ctx, s, id)
	if err != nil {
		return err
	}
	v := l.View()
	result := shownJob{Job: l.ID, Vehicle: v.Vehicle, Purpose: l.State.Purpose, Opened: l.State.Opened.Received, Waits: v.Waits, Next: v.Next, Assessment: l.Assessment}
	if withRecord {
		result.Record = recordLines(l)
	}
	return couldNot(a.emit(result, func(w io.Writer) {
		printJob(w, l, v)
		for _, r := range result.Record {
			fmt.Fprintf(w, "%4d  %s  %s: %s%s\n", r.Entry, r.Received, r.Person, r.Words, replacedBy(r))
		}
	}))
}

func recordLines(l *shop.Loaded) []recordLine {
	lines := []recordLine{}
	for _, r := range l.Record() {
		line := recordLine{Entry: r.Seq, Kind: r.Kind, Words: r.Words, Person: r.Person, Received: r.Received, Withdrawn: r.Withdrawn}
		for _, c := range r.Replaced {
			line.Replaced = append(line.Replaced, c.Seq)
		}
		lines = append(lines, line)
	}
	return lines
}

func replacedBy(r recordLine) string {
	switch {
	case r.Withdrawn:
		return fmt.Sprintf(" [withdrawn by entry %d]", r.Replaced[len(r.Replaced)-1])
	case len(r.Replaced) > 0:
		return fmt.Sprintf(" [corrected by entry %d]", r.Replaced[len(r.Replaced)-1])
	}
	return ""
}

// printJob prints the job page as text.
func printJob(w io.Writer, l *shop.Loaded, v job.View) {
	fmt.Fprint(w, "Job ", v.Number)
	for _, part := range []string{v.Vehicle, v.Family, v.Odometer} {
		if part != "" {
			fmt.Fprint(w, ", ", part)
		}
	}
	fmt.Fprintln(w)
	for _, n := range v.Notices {
		fmt.Fprintln(w, n)
	}
	if v.Limits != "" {
		fmt.Fprintf(w, "Clearance allowed: %s\n\n", v.Limits)
	}
	printPositions(w, v)
	if f := v.Finding; f != nil {
		fmt.Fprintf(w, "%s: %s. %s\n\n", f.Title, f.Value.Headline, f.Value.Why)
	}
	if v.AllFit != "" {
		fmt.Fprintln(w, v.AllFit)
	}
	for _, c := range v.Checks {
		printCheck(w, c)
	}
	fmt.Fprintln(w, "Next:", v.Next)
}

func printPositions(w io.Writer, v job.View) {
	if len(v.Positions) == 0 {
		return
	}
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tw, "position\tas found\tas fitted\tverdict\tupper, lower\tshells\tbolts")
	for _, p := range v.Positions {
		fmt.Fprintf(tw, "%s\t%s\t%s\t%s\t%s, %s\t%s %s\t%s\n", p.Name, valueText(p.Found), valueText(p.Fitted), p.Verdict.Word,
			p.Upper.Word, p.Lower.Word, p.ShellUpper, p.ShellLower, boltsText(p.Bolts))
	}
	tw.Flush()
	fmt.Fprintln(w)
}

func valueText(v *job.ValueView) string {
	if v == nil {
		return "—"
	}
	return strings.TrimSpace(v.WithUnit + " " + v.Spread)
}

// boltsText says what the bolts are at, once when all are alike.
func boltsText(bolts []job.BoltView) string {
	var states []string
	for _, b := range bolts {
		if len(states) == 0 || states[len(states)-1] != b.State {
			states = append(states, b.State)
		}
	}
	return strings.Join(states, ", ")
}

// completeJob offers the jobs' numbers to the shell.
func (a *app) completeJob(c *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	var out []cobra.Completion
	err := a.withShop(c.Context(), func(s *shop.Shop) error {
		all, err := s.Jobs(c.Context())
		for _, j := range all {
			out = append(out, cobra.CompletionWithDesc(j.ID, j.Vehicle))
		}
		return err
	})
	if err != nil {
		return nil, cobra.ShellCompDirectiveError
	}
	return out, cobra.ShellCompDirectiveNoFileComp
}
