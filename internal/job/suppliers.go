// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"
	"strings"
	"time"

	"witnessmark/scope"
)

// Delivery is one order that came: what was promised and what happened.
type Delivery struct {
	Job, Part, Supplier        string // the part by its title
	Ordered, Promised, Arrived string
	Took                       float64  // days from order to arrival
	Late                       *float64 // days past the first promise, below zero for early
}

// Deliveries are the orders of a job that came, for what suppliers are worth.
// A delivery counts against the first promise: a later one is already late.
func Deliveries(s State, p *scope.Plan, day func(At) string) []Delivery {
	var out []Delivery
	for _, name := range sortedKeys(s.Supply) {
		t := s.Supply[name]
		if len(t.Ordered) == 0 || len(t.Arrived) == 0 {
			continue
		}
		ordered, arrived, _ := t.many()
		if arrived < ordered {
			continue // not whole yet
		}
		last := t.Arrived[len(t.Arrived)-1]
		d := Delivery{Job: s.Number, Part: t.titleIn(p), Supplier: t.Supplier(), Ordered: t.Ordered[0].Body.On, Arrived: last.Body.On}
		if d.Arrived == "" {
			d.Arrived = day(last.At)
		}
		took, ok := daysBetween(d.Ordered, d.Arrived)
		if !ok || took < 0 || d.Supplier == "" {
			continue // questioned elsewhere
		}
		d.Took = took
		if len(t.Promised) > 0 {
			d.Promised = t.Promised[0].Body.For
			if late, ok := daysBetween(d.Promised, d.Arrived); ok && d.Promised >= d.Ordered {
				d.Late = &late
			}
		}
		out = append(out, d)
	}
	return out
}

// titleIn is what a part is called: as it was ordered, else by the plan, which
// may be nil.
func (t *PartTrack) titleIn(p *scope.Plan) string {
	if t.Title != "" {
		return t.Title
	}
	if p != nil {
		if part, ok := p.PartByID(t.Part); ok && part.Title != "" {
			return part.Title
		}
	}
	return plainWord(t.Part)
}

func daysBetween(from, to string) (float64, bool) {
	a, errA := time.Parse(time.DateOnly, from)
	b, errB := time.Parse(time.DateOnly, to)
	return b.Sub(a).Hours() / 24, errA == nil && errB == nil
}

// SupplierSeen is what is known of a supplier from what was delivered.
type SupplierSeen struct {
	Name       string
	Deliveries []Delivery
	Lead       *scope.PERT // days from order to arrival; nil below three deliveries
	Late       *scope.PERT // days past the promise; nil below three promises kept or not
}

// Suppliers learns from deliveries, by name.
func Suppliers(list []Delivery) []SupplierSeen {
	by := map[string][]Delivery{}
	for _, d := range list {
		by[d.Supplier] = append(by[d.Supplier], d)
	}
	var out []SupplierSeen
	for _, name := range sortedKeys(by) {
		x := SupplierSeen{Name: name, Deliveries: by[name]}
		slices.SortFunc(x.Deliveries, func(a, b Delivery) int { return strings.Compare(b.Arrived, a.Arrived) })
		var took, late []float64
		for _, d := range x.Deliveries {
			took = append(took, d.Took)
			if d.Late != nil {
				late = append(late, *d.Late)
			}
		}
		if p, ok := scope.LearnLead(took); ok {
			x.Lead = &p
		}
		if p, ok := scope.LearnLead(late); ok {
			x.Late = &p
		}
		out = append(out, x)
	}
	return out
}
