// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"slices"
	"strings"

	"github.com/govalues/decimal"
)

// Request is what the owner wants, and what is offered beside it.
type Request struct {
	Want  []string // work
	Offer []string // work
}

// Estimate is what a job takes. It covers what is wanted with its companions,
// not the offers. Prices are without tax.
type Estimate struct {
	Currency   Currency
	Operations []string // in an order that works
	Wanted     []Item
	Companions []Item
	Offers     []Offer
	Parts      []PartLine
	Tools      []string

	LabourHours Hours
	Labour      *decimal.Decimal // nil: the plan has no rate
	PartsTotal  decimal.Decimal  // of the parts that have a price
	Tax         *decimal.Decimal // nil like Labour
	Total       *decimal.Decimal // nil like Labour
	PriceToCome []string         // parts without a price: not in the totals
}

// Item is one piece of work of a job.
type Item struct {
	ID        string
	BecauseOf string  // of a companion: the work that brings it
	Alone     Hours   // as a job of its own with its companions
	Share     float64 // of the job's labour, in hours; see [Shares]
}

// Offer is one piece of work that could be done as well.
type Offer struct {
	ID         string
	Companions []string // that it would bring beside what is in the job
	Added      Hours    // labour with it less labour without
	Alone      Hours    // as a job of its own with its companions
	AddedCost  Cost
	AloneCost  Cost
}

// UnknownWorkError says that a request names work that the plan does not have.
type UnknownWorkError struct {
	ID   string
	Near string // an id that looks like it; may be empty
}

func (e *UnknownWorkError) Error() string {
	s := fmt.Sprintf("scope: the plan has no work %q", e.ID)
	if e.Near != "" {
		s += "; did you mean " + e.Near + "?"
	}
	return s
}

// Estimate returns what a request takes: labour, parts, tools, money, and what
// each offer would add. Labour is every needed operation once, strip and refit,
// and the hours of the work; each offer is valued alone against what is wanted
// with its companions. Lines of money are rounded half up to the minor unit,
// tax once on the sum. An id that is named twice counts once.
//
// It returns an *[UnknownWorkError] for work that the plan does not have.
func (p *Plan) Estimate(r Request) (Estimate, error) {
	asked, err := p.lookUp(r.Want)
	if err != nil {
		return Estimate{}, err
	}
	offered, err := p.lookUp(r.Offer)
	if err != nil {
		return Estimate{}, err
	}
	work, because := p.graph.together(asked)
	e := Estimate{Currency: p.Currency, LabourHours: p.labour(work)}
	needed := p.needed(work)
	for _, i := range p.graph.order {
		if needed[i] {
			e.Operations = append(e.Operations, p.Operations[i].ID)
		}
	}
	e.Tools = p.tools(work, needed)
	e.Wanted, e.Companions = p.items(work, because)
	if e.Parts, err = p.partLines(work, needed); err != nil {
		return Estimate{}, err
	}
	if err := p.addUp(&e); err != nil {
		return Estimate{}, err
	}
	job, err := p.ledgerOf(work)
	if err != nil {
		return Estimate{}, err
	}
	nothing, err := p.ledgerOf(nil)
	if err != nil {
		return Estimate{}, err
	}
	for _, o := range offered {
		offer, err := p.offer(o, work, job, nothing)
		if err != nil {
			return Estimate{}, err
		}
		e.Offers = append(e.Offers, offer)
	}
	return e, nil
}

func (p *Plan) lookUp(ids []string) ([]int, error) {
	var out []int
	for _, id := range ids {
		i, ok := p.graph.work[id]
		if !ok {
			var known []string
			for _, w := range p.Work {
				known = append(known, w.ID)
			}
			return nil, &UnknownWorkError{id, nearest(id, known)}
		}
		if !slices.Contains(out, i) {
			out = append(out, i)
		}
	}
	return out, nil
}

// needed marks the operations that any of the work needs.
func (p *Plan) needed(work []int) set {
	s := make(set, len(p.Operations))
	for _, w := range work {
		p.graph.reach(w, s, nil)
	}
	return s
}

// items values each piece of work of the job.
func (p *Plan) items(work []int, because map[int]int) (wanted, companions []Item) {
	costs := make([]float64, len(p.Operations))
	for i, o := range p.Operations {
		costs[i] = o.Hours().Hours()
	}
	needs := make([][]int, len(work))
	for k, w := range work {
		p.graph.reach(w, make(set, len(p.Operations)), func(i int) { needs[k] = append(needs[k], i) })
	}
	for k, share := range Shares(costs, needs) {
		w := work[k]
		with, _ := p.graph.together([]int{w})
		item := Item{ID: p.Work[w].ID, Alone: p.labour(with), Share: share + p.Work[w].Hours.Hours()}
		if by, ok := because[w]; ok {
			item.BecauseOf = p.Work[by].ID
			companions = append(companions, item)
			continue
		}
		wanted = append(wanted, item)
	}
	return wanted, companions
}

// offer values one offer against the job, and against nothing.
func (p *Plan) offer(o int, work []int, job, nothing *ledger) (Offer, error) {
	with, _ := p.graph.together(append(slices.Clone(work), o))
	alone, _ := p.graph.together([]int{o})
	offer := Offer{ID: p.Work[o].ID}
	for _, w := range with[len(work):] {
		if w != o {
			offer.Companions = append(offer.Companions, p.Work[w].ID)
		}
	}
	var err error
	if offer.Added, offer.AddedCost, err = job.more(with[len(work):]); err != nil {
		return offer, err
	}
	offer.Alone, offer.AloneCost, err = nothing.more(alone)
	return offer, err
}

// tools lists what the operations and the work ask for, each once.
func (p *Plan) tools(work []int, needed set) []string {
	var out []string
	add := func(list []string) {
		for _, t := range list {
			if !slices.Contains(out, t) {
				out = append(out, t)
			}
		}
	}
	for _, i := range p.graph.order {
		if needed[i] {
			add(p.Operations[i].Tools)
		}
	}
	for _, w := range work {
		add(p.Work[w].Tools)
	}
	return out
}

// ParseIDs splits "a,b,c" into ids; empty places are left out.
func ParseIDs(text string) []string {
	var out []string
	for id := range strings.SplitSeq(text, ",") {
		if id = strings.TrimSpace(id); id != "" {
			out = append(out, id)
		}
	}
	return out
}
