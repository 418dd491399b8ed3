// SPDX-License-Identifier: Apache-2.0

package job

import (
	"github.com/govalues/decimal"

	"witnessmark/scope"
)

// AccountOf sets what a job took beside its estimate; ok is false for a job
// without a plan or without agreed work.
func AccountOf(s State, b Basis) (a scope.Account, ok bool, err error) {
	_, e, ok := Agreed(s, b.Plan)
	if !ok {
		return a, false, nil
	}
	u := scope.Used{Hours: map[string]scope.Hours{}, Parts: map[string]decimal.Decimal{}}
	for _, t := range s.Time {
		u.Hours[t.Body.On] += scope.HoursOf(t.Body.Hours.Value)
	}
	// A part that came and stayed is paid for; one that nobody tracked is
	// counted as it was fitted.
	for _, p := range Parts(s, b.Plan, e.Parts, func(at At) string { return Day(at.Received, b.zone()) }) {
		n := max(wholeSum(p.Arrived-p.Returned), p.Fitted)
		for _, id := range sortedKeys(p.instead) { // at its own price
			m := min(p.instead[id].used(), max(n, 0))
			if err := addUsed(u.Parts, id, m); err != nil {
				return a, true, err
			}
			n = wholeSum(n - m)
		}
		if err := addUsed(u.Parts, p.Part, n); err != nil {
			return a, true, err
		}
	}
	a, err = b.Plan.Account(e, u)
	return a, true, err
}

func addUsed(parts map[string]decimal.Decimal, id string, n float64) error {
	if n <= 0 {
		return nil
	}
	count, err := decimal.NewFromFloat64(n)
	if err != nil {
		return err
	}
	parts[id], err = parts[id].Add(count)
	return err
}

// workBeyond looks at work that was done and not agreed.
func (a *assessor) workBeyond() {
	want, e, ok := Agreed(a.s, a.b.Plan)
	if !ok {
		return
	}
	agreed := map[string]bool{}
	for _, id := range want {
		agreed[id] = true
	}
	for _, c := range e.Companions {
		agreed[c.ID] = true
	}
	beyond := map[string][]int64{}
	note := func(id string, at At) {
		if _, known := a.b.Plan.WorkByID(id); known && !agreed[id] {
			beyond[id] = append(beyond[id], at.Seq)
		}
	}
	for _, o := range a.s.Operations {
		if o.Body.Direction == "work" {
			note(o.Body.Operation, o.At)
		}
	}
	for _, t := range a.s.Time {
		note(t.Body.On, t.At)
	}
	for _, id := range sortedKeys(beyond) {
		w, _ := a.b.Plan.WorkByID(id)
		a.add(Obstacle{Code: WorkBeyond, Check: Handover, Of: id, Title: w.Title, RestsOn: beyond[id]})
	}
}

// Offered is the agreed work with what else the plan advises, each valued on
// top of it.
func Offered(s State, b Basis) (scope.Estimate, error) {
	want, e, ok := Agreed(s, b.Plan)
	if !ok {
		return e, nil
	}
	r := scope.Request{Want: want}
	in := map[string]bool{}
	for _, x := range append(append([]scope.Item{}, e.Wanted...), e.Companions...) {
		in[x.ID] = true
	}
	for _, a := range b.Plan.Advice {
		if !in[a.Work] {
			r.Offer = append(r.Offer, a.Work)
		}
	}
	return b.Plan.Estimate(r)
}
