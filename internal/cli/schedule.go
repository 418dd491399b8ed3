// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/goccy/go-yaml"
	"github.com/spf13/cobra"

	"witnessmark/scope"
)

// scheduleYAML is the file of `dates schedule`.
type scheduleYAML struct {
	From   string        `yaml:"from"`
	Lifts  int           `yaml:"lifts"`
	People int           `yaml:"people"`
	Jobs   []scheduleJob `yaml:"jobs"`
}

type scheduleJob struct {
	ID        string   `yaml:"id"`
	Hours     float64  `yaml:"hours"`
	Plan      string   `yaml:"plan"`
	Want      []string `yaml:"want"`
	People    int      `yaml:"people"`
	NotBefore string   `yaml:"not_before"`
	Start     string   `yaml:"start"`
	Begun     bool     `yaml:"begun"`
}

// scheduleResult is what `dates schedule` prints. Hours are working hours from
// the opening of the first day.
type scheduleResult struct {
	Jobs       []scheduledJob `json:"jobs"`
	Hours      float64        `json:"makespan_h"`
	LowerBound float64        `json:"lower_bound_h"`
	Proven     bool           `json:"proven"`
	Clash      string         `json:"clash,omitempty"`
	Longer     *float64       `json:"longer_h,omitempty"` // by the move
	Moved      []movedJob     `json:"moved,omitempty"`
}

type scheduledJob struct {
	ID    string    `json:"id"`
	Start time.Time `json:"start"`
	End   time.Time `json:"end"`
}

type movedJob struct {
	ID    string  `json:"id"`
	Hours float64 `json:"later_h"`
}

func newScheduleCommand(a *app) *cobra.Command {
	var move string
	var seed uint64
	var tries int
	var when calendarFlags
	c := example(&cobra.Command{
		Use:   "schedule JOBS.yaml",
		Short: "Several jobs on few lifts and people: a schedule, and how good it can be",
		Long: `A proposed start for every job, the end of the last one beside a lower bound
that no schedule beats, and what moving a job to another day costs.

JOBS.yaml (- for standard input):

  from: 2026-03-02
  lifts: 2
  people: 2
  jobs:
    - {id: "0412", hours: 14.5, begun: true}
    - {id: "0415", plan: plan.yaml, want: [rod_bearings], not_before: 2026-03-09}
    - {id: "0416", hours: 6, start: 2026-03-05}`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			cal, err := when.calendar()
			if err != nil {
				return usage(err)
			}
			return a.schedule(args[0], move, cal, scope.Effort{Schedules: tries, Seed: seed})
		},
	}, "  witnessmark dates schedule jobs.yaml\n  witnessmark dates schedule jobs.yaml --move 0415=2026-03-11 --json")
	c.Flags().StringVar(&move, "move", "", "start a job on another day: JOB=2026-03-11")
	c.Flags().Uint64Var(&seed, "seed", 1, "seed of the search")
	c.Flags().IntVar(&tries, "tries", 20_000, "schedules to build")
	when.add(c.Flags())
	return c
}

func (a *app) schedule(file, move string, cal scope.Calendar, e scope.Effort) error {
	text, err := a.readFile(file, 1<<20)
	if err != nil {
		return err
	}
	var y scheduleYAML
	if err := yaml.NewDecoder(bytes.NewReader(text), yaml.Strict()).Decode(&y); err != nil {
		return usagef("%s: %w", file, err)
	}
	if len(y.Jobs) == 0 {
		return usagef("%s: no jobs; list them under jobs, each with an id and hours", file)
	}
	f := scope.Floor{Calendar: cal, Lifts: y.Lifts, People: y.People}
	if f.First, err = dayFlag("from", y.From); err != nil {
		return usagef("%s: from %q is no date; write it as 2026-03-02", file, y.From)
	}
	var jobs []scope.FloorJob
	for _, j := range y.Jobs {
		x, err := a.floorJob(file, j)
		if err != nil {
			return usagef("%s: job %s: %w", file, j.ID, err)
		}
		jobs = append(jobs, x)
	}
	r, err := scheduled(f, jobs, move, e)
	if err != nil {
		return usagef("%s: %w", file, err)
	}
	return couldNot(a.emit(r, r.print))
}

func (a *app) floorJob(file string, j scheduleJob) (scope.FloorJob, error) {
	x := scope.FloorJob{ID: j.ID, Hours: j.Hours, People: j.People, Begun: j.Begun}
	if j.Plan != "" {
		path := j.Plan
		if !filepath.IsAbs(path) && file != "-" {
			path = filepath.Join(filepath.Dir(file), path)
		}
		plan, err := a.plan(path)
		if err != nil {
			return x, err
		}
		est, err := plan.Estimate(scope.Request{Want: j.Want})
		if err != nil {
			return x, err
		}
		x.Hours = est.LabourHours.Hours()
	}
	for _, d := range []struct {
		text string
		into **scope.Date
	}{{j.NotBefore, &x.NotBefore}, {j.Start, &x.Start}} {
		if d.text == "" {
			continue
		}
		t, err := time.Parse(time.DateOnly, d.text)
		if err != nil {
			return x, fmt.Errorf("%q is no date; write it as 2026-03-09", d.text)
		}
		on := scope.DateOf(t)
		*d.into = &on
	}
	return x, nil
}

func scheduled(f scope.Floor, jobs []scope.FloorJob, move string, e scope.Effort) (scheduleResult, error) {
	if move == "" {
		p, err := f.Propose(jobs, e)
		return scheduleResultOf(p), err
	}
	id, day, _ := strings.Cut(move, "=")
	to, err := dayFlag("move", day)
	if err != nil {
		return scheduleResult{}, err
	}
	_, p, longer, moved, err := f.Move(jobs, id, to, e)
	r := scheduleResultOf(p)
	r.Longer = &longer
	for _, m := range moved {
		r.Moved = append(r.Moved, movedJob{m.ID, m.Hours})
	}
	return r, err
}

func scheduleResultOf(p scope.FloorPlan) scheduleResult {
	r := scheduleResult{Jobs: []scheduledJob{}, Hours: p.Hours, LowerBound: p.LowerBound, Proven: p.Proven, Clash: p.Clash}
	for _, s := range p.Slots {
		r.Jobs = append(r.Jobs, scheduledJob{s.ID, s.Start, s.End})
	}
	return r
}

func (r scheduleResult) print(w io.Writer) {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tw, "job\tstart\tend")
	for _, j := range r.Jobs {
		fmt.Fprintf(tw, "%s\t%s\t%s\n", j.ID, j.Start.Format(dayClock), j.End.Format(dayClock))
	}
	tw.Flush()
	proven := "may be longer than need be"
	if r.Proven {
		proven = "none ends sooner"
	}
	fmt.Fprintf(w, "\nall done after %g working hours; no schedule takes fewer than %g: %s\n", r.Hours, r.LowerBound, proven)
	if r.Clash != "" {
		fmt.Fprintf(w, "planned starts do not fit together, and count as earliest starts: %s\n", r.Clash)
	}
	if r.Longer != nil {
		fmt.Fprintf(w, "the move makes all %+g h longer\n", *r.Longer)
	}
	for _, m := range r.Moved {
		fmt.Fprintf(w, "%s ends %+g h\n", m.ID, m.Hours)
	}
}
