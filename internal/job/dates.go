// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"witnessmark/scope"
)

// Planning is what dates need beside the job.
type Planning struct {
	Today    scope.Date
	Earliest scope.Date // first day on which lift and person are free
	Calendar scope.Calendar
	Limit    float64 // of the chance that the vehicle waits
	Draws    int
	Seed     uint64
	Late     map[string]scope.PERT // days past the promise, by supplier
	Clashes  []scope.Clash         // of special tools, of all jobs
	Job      string                // whose dates they are
}

// free is the day from which a tool is not another job's any more; the job
// whose days begin first has it.
func (p Planning) free(tool string) (on scope.Date, other string, clash bool) {
	for _, c := range p.Clashes {
		if c.Tool == tool && c.Jobs[1] == p.Job && p.Job != "" && (!clash || on.Before(c.Free.Time)) {
			on, other, clash = c.Free, c.Jobs[0], true
		}
	}
	return on, other, clash && p.Today.Before(on.Time)
}

// SharedTool is a tool that another job has first.
type SharedTool struct {
	Tool string     `json:"tool"`
	Job  string     `json:"job"`
	Free scope.Date `json:"free"`
}

// JobDates is when a job can start and how far it can go.
type JobDates struct {
	Steps []scope.Step // what is left, in an order that works
	Begun bool
	Dates scope.Dates // zero when nothing is left
	// Supplies are what is not in hand, in the order of Dates.Reach.
	Supplies []scope.Supply
	// What the dates do not count, because nobody knows when it comes: a part
	// without lead time and promise, one that should have come, one whose number
	// is questioned, a tool that should be here.
	NoDate  []string
	Overdue []*scope.OverdueError
	Unsure  []string
	// Shared are tools promised to another job as well; the dates count them
	// from the day on which that one gives them back.
	Shared []SharedTool
}

// Left lists the steps of a plan that are not done by the record. A strip is
// done when the operation is off or back on, its refit when it is back on; work
// when it is recorded, or all that was reached for it is back on.
func Left(s State, plan *scope.Plan, want []string) (left []scope.Step, begun bool, err error) {
	steps, err := plan.Steps(want, scope.UsualSpread)
	if err != nil {
		return nil, false, err
	}
	done := map[string]bool{}
	for _, o := range s.Operations {
		id := o.Body.Operation
		switch o.Body.Direction {
		case "strip":
			done["strip:"+id] = true
			delete(done, "refit:"+id)
		case "refit":
			done["strip:"+id], done["refit:"+id] = true, true
		case "work":
			done["work:"+id] = true
		}
	}
	for _, x := range steps {
		id, isWork := strings.CutPrefix(x.ID, "work:")
		w, ok := plan.WorkByID(id)
		if isWork && ok && len(w.Needs) > 0 && !slices.ContainsFunc(w.Needs, func(n string) bool { return !done["refit:"+n] }) {
			done[x.ID] = true
		}
		begun = begun || done[x.ID]
	}
	for _, x := range steps {
		if done[x.ID] {
			continue
		}
		x.Needs = slices.DeleteFunc(slices.Clone(x.Needs), func(n string) bool { return done[n] })
		left = append(left, x)
	}
	return left, begun, nil
}

// DatesOf draws what is left of a job.
func DatesOf(s State, plan *scope.Plan, want []string, parts []PartSeen, p Planning) (JobDates, error) {
	var out JobDates
	var err error
	if out.Steps, out.Begun, err = Left(s, plan, want); err != nil || len(out.Steps) == 0 {
		return out, err
	}
	if out.Supplies, err = out.supplies(s, plan, parts, p); err != nil {
		return out, err
	}
	if out.Begun {
		p.Earliest = p.Today
	}
	out.Dates, err = scope.Job{Steps: out.Steps, Supplies: out.Supplies}.Dates(scope.Question{Today: p.Today, Earliest: p.Earliest,
		Calendar: p.Calendar, Limit: p.Limit, Draws: p.Draws, Seed: p.Seed})
	return out, err
}

// supplies are the parts and tools that are not in hand.
func (out *JobDates) supplies(s State, plan *scope.Plan, parts []PartSeen, p Planning) ([]scope.Supply, error) {
	taken := map[string]bool{}
	for _, x := range out.Steps {
		for _, id := range x.Supplies {
			taken[id] = true
		}
	}
	var list []scope.Supply
	for _, part := range parts {
		if !taken[part.Part] {
			continue
		}
		if part.InHand {
			if part.Differs {
				out.Unsure = append(out.Unsure, part.Part)
			}
			continue
		}
		orders := map[string]scope.Order{}
		if o, ok := part.Order(); ok {
			orders[part.Part] = o
		}
		look, err := plan.Outlook([]scope.PartLine{{ID: part.Part, Title: part.Title}}, p.Today, nil, orders, p.Late[part.Supplier])
		if err != nil {
			return nil, err
		}
		list = append(list, look.Supplies...)
		out.NoDate = append(out.NoDate, look.NoLead...)
		out.Overdue = append(out.Overdue, look.Overdue...)
	}
	for _, name := range sortedKeys(s.Special) {
		if !taken[name] {
			continue
		}
		supply, missing, err := s.Special[name].supply(p.Today)
		if err != nil {
			return nil, err
		}
		if on, other, clash := p.free(name); clash && (supply != nil || missing) {
			out.Shared = append(out.Shared, SharedTool{name, other, on})
			days := math.Round(on.Sub(p.Today.Time).Hours() / 24)
			supply = &scope.Supply{ID: name, Title: name, Arrival: scope.Sure(days)}
		}
		switch {
		case supply != nil:
			list = append(list, *supply)
		case missing:
			out.NoDate = append(out.NoDate, name)
		}
	}
	return list, nil
}

// supply is when a tool comes; nil when it is in hand, or when it should be and
// is missing.
func (t *SpecialTool) supply(today scope.Date) (s *scope.Supply, missing bool, err error) {
	if t.Borrowed != nil && t.Returned == nil {
		return nil, false, nil
	}
	if t.Reserved == nil || t.Returned != nil {
		return nil, t.Returned != nil, nil
	}
	from, err := scopeDate(t.Reserved.Body.From)
	if err != nil {
		return nil, false, fmt.Errorf("job: tool %s: %w", t.Tool, err)
	}
	days := math.Round(from.Sub(today.Time).Hours() / 24)
	if days < 0 {
		return nil, true, nil
	}
	return &scope.Supply{ID: t.Tool, Title: t.Tool, Arrival: scope.Sure(days)}, false, nil
}

// ErrNoPlan says that a job has no plan to reckon with.
var ErrNoPlan = errors.New("the job has no plan and no agreed scope yet")
