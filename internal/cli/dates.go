// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"witnessmark/internal/job"
	"witnessmark/scope"
)

// datesFlags are what `dates` is asked with.
type datesFlags struct {
	want, inHand, today, earliest string
	orders, tools                 []string
	late                          string
	limit                         float64
	draws                         int
	seed                          uint64
	when                          calendarFlags
}

func newDatesCommand(a *app) *cobra.Command {
	var f datesFlags
	c := example(&cobra.Command{
		Use:   "dates PLAN.yaml --want WORK,…",
		Short: "When to start so that the vehicle does not wait for a part",
		Long: `The earliest working day whose chance of the vehicle waiting on the lift for a
part or a tool stays under the limit, what paces it, how far the work can go
without each, the finish with its spread, and the critical path with slack.

Parts that are neither in hand nor on order count as ordered today. An order is
PART=ORDERED or PART=ORDERED/PROMISED. Durations are 0.8 to 1.6 times the
plan's (assumed); they and lead times are beta-PERT. The same seed gives the
same answer.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.dates(args[0], f) },
	}, "  witnessmark dates plans/invented-v8-34.yaml --want rod_bearings --today 2026-03-02\n  witnessmark dates plan.yaml --want rod_bearings --in-hand rod_bolt,oil_5w40 --order shell_pair=2026-02-20/2026-03-09 --json")
	fl := c.Flags()
	fl.StringVar(&f.want, "want", "", "work that is agreed, ids parted by commas")
	fl.StringVar(&f.inHand, "in-hand", "", "parts that are here, ids parted by commas, or all")
	fl.StringArrayVar(&f.orders, "order", nil, "a part on order: PART=2026-02-20 or PART=2026-02-20/2026-03-09 (once for each)")
	fl.StringVar(&f.late, "late", "", "days past the promise, least,likely,most, such as 0,2,10 (none: promises hold)")
	fl.StringArrayVar(&f.tools, "tool", nil, "a tool that is not in hand before a day: 'NAME=2026-03-09' (once for each)")
	fl.StringVar(&f.today, "today", "", "the day that is asked from; empty: today")
	fl.StringVar(&f.earliest, "earliest", "", "first day on which lift and person are free")
	fl.Float64Var(&f.limit, "limit", 5, "greatest chance of waiting, percent")
	fl.IntVar(&f.draws, "draws", 10_000, "how often the job is drawn")
	fl.Uint64Var(&f.seed, "seed", 1, "seed of the draws")
	f.when.add(fl)
	c.AddCommand(newScheduleCommand(a))
	return c
}

func (a *app) dates(file string, f datesFlags) error {
	plan, err := a.plan(file)
	if err != nil {
		return err
	}
	e, err := plan.Estimate(scope.Request{Want: scope.ParseIDs(f.want)})
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	p, err := f.planning()
	if err != nil {
		return usage(err)
	}
	s, err := f.state(plan, e.Parts)
	if err != nil {
		return usage(err)
	}
	parts := job.Parts(s, plan, e.Parts, func(job.At) string { return f.today })
	d, err := job.DatesOf(s, plan, scope.ParseIDs(f.want), parts, p)
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	r := d.Result(p)
	if err := couldNot(a.emit(r, func(w io.Writer) { printDates(w, r) })); err != nil {
		return err
	}
	if r.Start == nil {
		return errNo
	}
	return nil
}

// plan reads an access plan and says its warnings.
func (a *app) plan(file string) (*scope.Plan, error) {
	text, err := a.readFile(file, 1<<20)
	if err != nil {
		return nil, err
	}
	plan, err := scope.Load(file, text)
	if err != nil {
		return nil, usage(err)
	}
	for _, w := range plan.Warnings() {
		a.say("%s (warning)", w)
	}
	return plan, nil
}

func (f *datesFlags) planning() (job.Planning, error) {
	p := job.Planning{Limit: f.limit / 100, Draws: f.draws, Seed: f.seed, Late: map[string]scope.PERT{}}
	if len(scope.ParseIDs(f.want)) == 0 {
		return p, errors.New("dates: nothing is wanted; name work of the plan with --want a,b")
	}
	if p.Limit <= 0 || p.Limit >= 1 {
		return p, fmt.Errorf("--limit %g: write percent above 0 and below 100, such as 5", f.limit)
	}
	if f.draws < 1 {
		return p, fmt.Errorf("--draws %d: write 1 or more, such as 10000", f.draws)
	}
	if f.today == "" {
		f.today = time.Now().Format(time.DateOnly)
	}
	var err error
	if p.Today, err = dayFlag("today", f.today); err != nil {
		return p, err
	}
	if f.earliest != "" {
		if p.Earliest, err = dayFlag("earliest", f.earliest); err != nil {
			return p, err
		}
	}
	if p.Calendar, err = f.when.calendar(); err != nil {
		return p, err
	}
	if f.late != "" {
		var late scope.PERT
		if n, err := fmt.Sscanf(f.late, "%g,%g,%g", &late.Least, &late.Likely, &late.Most); n != 3 || err != nil || late.Check() != nil {
			return p, fmt.Errorf("--late %q: write days past the promise that rise, such as 0,2,10", f.late)
		}
		p.Late[""] = late
	}
	return p, nil
}

// state is a job's state with only what the flags say.
func (f *datesFlags) state(plan *scope.Plan, lines []scope.PartLine) (job.State, error) {
	s := job.State{Supply: map[string]*job.PartTrack{}, Special: map[string]*job.SpecialTool{}}
	need := map[string]float64{}
	for _, l := range lines {
		need[l.ID], _ = l.Quantity.Float64()
	}
	here := scope.ParseIDs(f.inHand)
	if f.inHand == "all" {
		here = nil
		for _, l := range lines {
			here = append(here, l.ID)
		}
	}
	for _, id := range here {
		p, err := needed(plan, need, id)
		if err != nil {
			return s, fmt.Errorf("--in-hand %s: %w", id, err)
		}
		s.Supply[p] = &job.PartTrack{Part: p, Arrived: []job.Noted[job.PartArrived]{{Body: job.PartArrived{Part: p, Quantity: need[p], On: f.today}}}}
	}
	for _, text := range f.orders {
		id, dates, ok := strings.Cut(text, "=")
		on, promised, _ := strings.Cut(dates, "/")
		p, err := needed(plan, need, id)
		if err == nil {
			err = orderDates(on, promised)
		}
		if err != nil || !ok {
			return s, fmt.Errorf("--order %s: %w", text, errors.Join(err, boolError(!ok, "write PART=2026-02-20/2026-03-09")))
		}
		t := &job.PartTrack{Part: p, Ordered: []job.Noted[job.PartOrdered]{{Body: job.PartOrdered{Part: p, Quantity: need[p], On: on}}}}
		if promised != "" {
			t.Promised = []job.Noted[job.PartPromised]{{Body: job.PartPromised{Part: p, For: promised}}}
		}
		s.Supply[p] = t
	}
	for _, text := range f.tools {
		i := strings.LastIndex(text, "=")
		if i < 0 {
			return s, fmt.Errorf("--tool %q: write it as 'NAME=2026-03-09'", text)
		}
		if _, err := dayFlag("tool", text[i+1:]); err != nil {
			return s, err
		}
		s.Special[text[:i]] = &job.SpecialTool{Tool: text[:i], Reserved: &job.Noted[job.ToolReserved]{Body: job.ToolReserved{Tool: text[:i], From: text[i+1:], To: text[i+1:]}}}
	}
	return s, nil
}

func boolError(bad bool, text string) error {
	if bad {
		return errors.New(text)
	}
	return nil
}

func needed(plan *scope.Plan, need map[string]float64, id string) (string, error) {
	p, ok := plan.PartByID(strings.TrimSpace(id))
	if !ok {
		return "", fmt.Errorf("the plan has no such part; write an id of its parts")
	}
	if need[p.ID] == 0 {
		return "", fmt.Errorf("the work that is wanted takes no %s; leave it out", p.ID)
	}
	return p.ID, nil
}

func orderDates(on, promised string) error {
	o, err := dayFlag("order", on)
	if err != nil || promised == "" {
		return err
	}
	p, err := dayFlag("order", promised)
	if err == nil && p.Before(o.Time) {
		return fmt.Errorf("promised for %s, before it was ordered on %s; correct one of the dates", p, o)
	}
	return err
}

func dayFlag(name, text string) (d scope.Date, err error) {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return d, fmt.Errorf("--%s %q is no date; write it as 2026-03-09", name, text)
	}
	return scope.DateOf(t), nil
}

const dayClock = "2006-01-02 Mon 15:04"

func printDates(w io.Writer, r job.DatesResult) {
	if r.Start != nil {
		fmt.Fprintf(w, "start %s: chance of the vehicle waiting %.1f %%, limit %g %%\n", r.Start.Format("2006-01-02 Mon"), 100*r.Risk, 100*r.Limit)
	} else {
		fmt.Fprintf(w, "no day keeps the chance of waiting within %g %%\n", 100*r.Limit)
	}
	fmt.Fprintf(w, "finish %s; 1 in 10 before %s, 1 in 10 after %s\n", r.Finish50.Format(dayClock), r.Finish10.Format(dayClock), r.Finish90.Format(dayClock))
	fmt.Fprintf(w, "work %.1f h, spread ±%.1f h; critical path %.1f h\n", r.Hours, r.HoursSD, r.CriticalHours)
	if len(r.Pacing) > 0 {
		fmt.Fprintf(w, "pacing: %s, in %.0f %% of the draws that anything holds\n", r.Pacing[0].ID, 100*r.Pacing[0].Share)
	}
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	if len(r.Waits) > 0 {
		fmt.Fprintln(tw, "\nnot in hand\tcomes in\twithout it\tthen waits")
	}
	for _, x := range r.Waits {
		fmt.Fprintf(tw, "%s\t%g to %g d, likely %g\t%.1f h can be done\t%s\n", x.ID, x.Least, x.Most, x.Likely, x.Hours, strings.Join(x.Waiting, ", "))
	}
	fmt.Fprintln(tw, "\nstep\tlikely\tearliest\tlatest\tslack")
	for _, s := range r.Steps {
		critical := ""
		if s.Critical {
			critical = "\tcritical"
		}
		fmt.Fprintf(tw, "%s\t%.1f h\t%.1f\t%.1f\t%.1f%s\n", s.ID, s.Hours, s.EarlyStart, s.LateStart, s.Slack, critical)
	}
	tw.Flush()
	if len(r.NoDate) > 0 {
		fmt.Fprintf(w, "\nNot counted, no lead time and no promise: %s. Ask the supplier.\n", strings.Join(r.NoDate, ", "))
	}
	for _, o := range r.Overdue {
		fmt.Fprintf(w, "\nNot counted: %s should have come by %s. Ask for a new date.\n", o.ID, o.Last)
	}
}
