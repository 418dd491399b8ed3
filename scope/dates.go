// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"
)

// Job is the steps of a job and what is not in hand for them. One person works
// on the vehicle, always on something that is not held up if there is any.
type Job struct {
	Steps    []Step
	Supplies []Supply // what a step takes and is not listed here is in hand
}

// Question is when to start.
type Question struct {
	Today    Date
	Earliest Date     // first day on which lift and person are free; not before Today
	Calendar Calendar // of the workshop
	Limit    float64  // greatest chance of the vehicle waiting; 0 is taken as 0.05
	Draws    int      // 0 is taken as 10 000
	Seed     uint64
}

// Dates is the answer.
type Dates struct {
	Start  time.Time // opening of the earliest day that keeps Risk within the limit
	Risk   float64   // chance that the vehicle waits, if it starts then
	Starts []StartRisk

	Pacing []Pacing // supplies that hold the start, the most often first
	Reach  []Reach  // how far the work can go without each supply

	Hours                        float64 // mean work, without waiting
	HoursSD                      float64
	FinishMean                   time.Time // mean of work and waiting
	Finish10, Finish50, Finish90 time.Time // not later with a chance of 10, 50, 90 %

	Length float64 // critical path of the likely durations, people without limit
	Slots  []Slot  // of every step, in working hours from the start
}

// StartRisk is what comes of starting on a day.
type StartRisk struct {
	Day      Date
	Risk     float64 // chance that the vehicle waits
	MeanWait float64 // working hours, over all draws
}

// Pacing is how often a supply holds the start.
type Pacing struct {
	ID    string
	Share float64 // of the draws in which anything is held
}

// Reach is how far the work can go without one supply.
type Reach struct {
	ID      string
	Waiting []string // steps that take it
	Blocked []string // these and all that come after them
	Can     []string // the rest, in an order that works
	Hours   float64  // mean work of the rest
}

// Dates draws the job many times and returns the earliest start that keeps the
// chance of waiting within the limit, which supply paces it, how far the work
// can go without each, and when it ends. The same seed gives the same answer.
//
// Durations and arrivals are beta-PERT and independent; a supply is at hand
// from the opening of the first working day on or after its arrival. Work goes
// on without what is missing as long as there is any; the vehicle waits when
// there is none. In one draw, with the arrivals a_k and the total work P, that
// is never the case exactly if the start S has
//
//	S ≥ a_k − (P − T_k) for all k
//
// where T_k is the work of all steps that rest, directly or through others, on
// a supply that comes at a_k or later: what is released first goes first, which
// ends one person's work with precedence soonest (1|prec, r_j|C_max).
//
// Source: E. L. Lawler, Management Science 19 (1973) 544-546, for one machine
// with precedence, from memory.
func (j Job) Dates(q Question) (Dates, error) {
	q, err := q.filled()
	if err != nil {
		return Dates{}, err
	}
	sim, err := newSimulation(j, q)
	if err != nil {
		return Dates{}, err
	}
	var out Dates
	if out.Length, out.Slots, err = CriticalPath(j.activities()); err != nil {
		return Dates{}, err
	}
	draws := sim.run(q.Draws, q.Seed)
	start := sim.starts(&out, draws, q.Limit)
	out.Pacing = sim.pacing(draws)
	out.Reach = sim.reach(j)
	err = sim.finish(&out, draws, start)
	return out, err
}

func (q Question) filled() (Question, error) {
	if q.Limit == 0 {
		q.Limit = 0.05
	}
	if q.Draws == 0 {
		q.Draws = 10_000
	}
	if q.Earliest.IsZero() || q.Earliest.Before(q.Today.Time) {
		q.Earliest = q.Today
	}
	switch {
	case q.Today.IsZero():
		return q, errors.New("scope: no day of the question")
	case !(q.Limit > 0 && q.Limit < 1):
		return q, fmt.Errorf("scope: limit %g is not between 0 and 1", q.Limit)
	case q.Draws < 0 || q.Draws > 10_000_000:
		return q, fmt.Errorf("scope: %d draws", q.Draws)
	}
	return q, nil
}

func (j Job) activities() []Activity {
	var list []Activity
	for _, s := range j.Steps {
		list = append(list, Activity{s.ID, s.Duration.Likely, s.Needs})
	}
	return list
}

// starts fills what comes of starting on each working day until the risk is
// gone, and picks the first within the limit. It returns its working hour.
func (s *simulation) starts(out *Dates, d *drawn, limit float64) (start float64) {
	need := slices.Clone(d.need)
	slices.Sort(need)
	rest := 0.0 // sum of need[i:]
	for _, x := range need {
		rest += x
	}
	i, n := 0, float64(len(need))
	for day := 0; ; day++ {
		at := s.line.Opening(day)
		if s.line.Opening(day+1) == at && day < maxDays {
			continue // a day off
		}
		for ; i < len(need) && need[i] <= at+1e-9; i++ {
			rest -= need[i]
		}
		left := float64(len(need) - i)
		r := StartRisk{Day: s.line.first.Add(day), Risk: left / n, MeanWait: math.Max(rest-left*at, 0) / n}
		out.Starts = append(out.Starts, r)
		if out.Start.IsZero() && r.Risk <= limit {
			out.Risk, start = r.Risk, at
			out.Start = s.line.cal.at(r.Day, 0)
		}
		if left == 0 || day >= maxDays {
			return start
		}
	}
}

func (s *simulation) pacing(d *drawn) []Pacing {
	var out []Pacing
	total := 0
	for _, n := range d.paced {
		total += n
	}
	for k, n := range d.paced {
		if n > 0 {
			out = append(out, Pacing{s.supplies[k].ID, float64(n) / float64(total)})
		}
	}
	slices.SortStableFunc(out, func(a, b Pacing) int { return cmp.Compare(b.Share, a.Share) })
	return out
}

// reach looks at each supply as if it alone were missing.
func (s *simulation) reach(j Job) []Reach {
	var out []Reach
	for k := range s.supplies {
		r := Reach{ID: s.supplies[k].ID}
		blocked := make([]bool, len(j.Steps))
		for _, i := range s.order {
			if slices.Contains(s.takes[i], k) {
				blocked[i] = true
				r.Waiting = append(r.Waiting, j.Steps[i].ID)
			}
			for _, b := range s.before[i] {
				blocked[i] = blocked[i] || blocked[b]
			}
			if blocked[i] {
				r.Blocked = append(r.Blocked, j.Steps[i].ID)
				continue
			}
			r.Can = append(r.Can, j.Steps[i].ID)
			r.Hours += j.Steps[i].Duration.Mean()
		}
		out = append(out, r)
	}
	return out
}

// finish fills the end for a start at a working hour.
func (s *simulation) finish(out *Dates, d *drawn, start float64) error {
	n := float64(len(d.total))
	ends := make([]float64, len(d.total))
	sum, work, square := 0.0, 0.0, 0.0
	for i, p := range d.total {
		ends[i] = start + p + math.Max(d.need[i]-start, 0)
		sum += ends[i]
		work += p
	}
	out.Hours = work / n
	for _, p := range d.total {
		square += (p - out.Hours) * (p - out.Hours)
	}
	out.HoursSD = math.Sqrt(square / n)
	slices.Sort(ends)
	at := func(h float64, err *error) time.Time {
		t, e := s.line.End(h)
		*err = cmp.Or(*err, e)
		return t
	}
	quantile := func(q float64) float64 { return ends[max(int(math.Ceil(q*n))-1, 0)] }
	var err error
	out.FinishMean = at(sum/n, &err)
	out.Finish10, out.Finish50, out.Finish90 = at(quantile(0.1), &err), at(quantile(0.5), &err), at(quantile(0.9), &err)
	return err
}
