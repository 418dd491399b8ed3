// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Supply is a part or a tool that is not in hand yet.
type Supply struct {
	ID    string
	Title string
	// Arrival is in calendar days after the day of the question. What lies
	// before that day did not happen: the rest is taken as the whole.
	Arrival PERT
}

// Order is what is known of something ordered.
type Order struct {
	ID       string
	Ordered  Date
	Promised *Date // by the supplier
	Arrived  *Date
}

// Check refuses dates that cannot be: promised or arrived before the order.
func (o Order) Check() error {
	for _, x := range []struct {
		what string
		on   *Date
	}{{"promised", o.Promised}, {"arrived", o.Arrived}} {
		if x.on != nil && x.on.Before(o.Ordered.Time) {
			return fmt.Errorf("scope: %s: %s for %s, before it was ordered on %s; correct one of the dates", o.ID, x.what, x.on, o.Ordered)
		}
	}
	return nil
}

// OverdueError says that something should be here by all that is known of it.
type OverdueError struct {
	ID   string
	Last Date // by which it should have come
}

func (e *OverdueError) Error() string {
	return fmt.Sprintf("scope: %s should have come by %s; ask for a new date", e.ID, e.Last)
}

// Supply returns when an order comes, seen from today. Without a promised date
// it is the day of the order and the lead time; with one, it is that day and
// how late the supplier is (below zero for early).
//
// It returns an *[OverdueError] if even the latest of these days is past, and
// an error for dates that cannot be.
func (o Order) Supply(today Date, lead, late PERT) (Supply, error) {
	if err := o.Check(); err != nil {
		return Supply{}, err
	}
	from, spread := o.Ordered, lead
	if o.Promised != nil {
		from, spread = *o.Promised, late
	}
	if err := spread.Check(); err != nil {
		return Supply{}, fmt.Errorf("%s: %w", o.ID, err)
	}
	days := math.Round(from.Sub(today.Time).Hours() / 24)
	s := Supply{ID: o.ID, Arrival: PERT{days + spread.Least, days + spread.Likely, days + spread.Most}}
	if s.Arrival.Most <= 0 {
		return s, &OverdueError{o.ID, today.Add(int(math.Ceil(s.Arrival.Most)))}
	}
	return s, nil
}

// LearnLead turns how many days past deliveries took (or were late) into three
// figures: the least and the most seen, and the likely one that gives their
// mean, held between the two.
//
//	m = (6·x̄ − a − b)/4
//
// It needs three deliveries; ok is false below. The method is this project's
// own: moments of the PERT.
func LearnLead(days []float64) (p PERT, ok bool) {
	if len(days) < 3 {
		return p, false
	}
	a, b, sum := slices.Min(days), slices.Max(days), 0.0
	for _, d := range days {
		sum += d
	}
	m := (6*sum/float64(len(days)) - a - b) / 4
	return PERT{a, min(max(m, a), b), b}, true
}

// Reservation is a tool promised to a job over some days, both included.
type Reservation struct {
	Tool, Job string
	From, To  Date
}

// Clash is a tool promised to two jobs on the same days.
type Clash struct {
	Tool     string
	Jobs     [2]string // the one whose days begin first has it
	From, To Date
	Free     Date // the day after the first gives it back
}

// Clashes lists every pair of reservations of a tool of which there are so many
// (one where owned does not say) that stand against each other.
func Clashes(list []Reservation, owned map[string]int) []Clash {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Reservation) int { return cmp.Or(cmp.Compare(a.Tool, b.Tool), a.From.Compare(b.From.Time)) })
	var out []Clash
	for i, r := range list {
		var open []Reservation // that still run when r starts
		for _, q := range list[:i] {
			if q.Tool == r.Tool && !q.To.Before(r.From.Time) {
				open = append(open, q)
			}
		}
		if len(open) < max(owned[r.Tool], 1) {
			continue
		}
		for _, q := range open {
			to := r.To
			if q.To.Before(to.Time) {
				to = q.To
			}
			out = append(out, Clash{r.Tool, [2]string{q.Job, r.Job}, r.From, to, q.To.Add(1)})
		}
	}
	return out
}
