// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"maps"
	"slices"

	"github.com/govalues/decimal"
)

// Used is what a job really took.
type Used struct {
	Hours map[string]Hours           // by operation or work, or by any other words
	Parts map[string]decimal.Decimal // by part; a superseded number counts as the current one
}

// Account is an estimate beside what the job took, line by line.
type Account struct {
	Currency  Currency
	Labour    []AccountHours
	Parts     []AccountPart
	Estimated Bill
	Actual    Bill
}

// AccountHours is one line of labour.
type AccountHours struct {
	ID, Title         string // the plan's, or the words under which time was written down
	Estimated, Actual Hours
	Beyond            bool // the estimate does not have it
}

// Over is the actual hours less the estimated ones.
func (l AccountHours) Over() Hours { return l.Actual - l.Estimated }

// AccountPart is one line of parts.
type AccountPart struct {
	ID, Title         string
	Estimated, Actual decimal.Decimal
	Price             *decimal.Decimal // each; nil: still to come
	Line              *decimal.Decimal // of the actual quantity, rounded half up
	Beyond            bool             // the estimate does not have it
	InPlaceOf         string           // of an alternative: title of the part that the estimate has
}

// Bill is hours and money of one side. Money is nil where the rate is not said.
type Bill struct {
	Hours       Hours
	Labour      *decimal.Decimal
	Parts       decimal.Decimal
	Tax, Total  *decimal.Decimal
	PriceToCome []string // parts without a price: not in the sums
}

// Account sets what a job took beside its estimate: hours by operation and
// work, strip and refit together, and parts. Labour is the plan's rate times
// hours; lines are rounded half up to the minor unit, tax once on the sum, as
// in [Plan.Estimate]. What the estimate does not have stands at the end, marked.
// An alternative that was used in place of a part has its own line and price;
// without a price it counts as the part.
//
// It returns an error where an amount of money is too large.
func (p *Plan) Account(e Estimate, u Used) (Account, error) {
	a := Account{Currency: e.Currency, Labour: p.accountHours(e, u.Hours),
		Estimated: Bill{Hours: e.LabourHours, Labour: e.Labour, Parts: e.PartsTotal, Tax: e.Tax, Total: e.Total, PriceToCome: e.PriceToCome}}
	var err error
	if a.Parts, err = p.accountParts(e, u.Parts); err != nil {
		return a, err
	}
	a.Actual, err = p.billed(a)
	return a, err
}

func (p *Plan) accountHours(e Estimate, spent map[string]Hours) []AccountHours {
	var out []AccountHours
	known := map[string]bool{}
	add := func(id, title string, estimated Hours) {
		known[id] = true
		out = append(out, AccountHours{ID: id, Title: title, Estimated: estimated, Actual: spent[id]})
	}
	for _, id := range e.Operations {
		if o, ok := p.OperationByID(id); ok {
			add(id, o.Title, o.Hours())
		}
	}
	for _, item := range slices.Concat(e.Wanted, e.Companions) {
		if w, ok := p.WorkByID(item.ID); ok {
			add(item.ID, w.Title, w.Hours)
		}
	}
	for _, id := range slices.Sorted(maps.Keys(spent)) {
		if !known[id] {
			out = append(out, AccountHours{ID: id, Title: p.titleOf(id), Actual: spent[id], Beyond: true})
		}
	}
	return out
}

// titleOf is the plan's title of an operation or of work, else the id itself.
func (p *Plan) titleOf(id string) string {
	if o, ok := p.OperationByID(id); ok {
		return o.Title
	}
	if w, ok := p.WorkByID(id); ok {
		return w.Title
	}
	return id
}

func (p *Plan) accountParts(e Estimate, used map[string]decimal.Decimal) ([]AccountPart, error) {
	actual := map[string]decimal.Decimal{}
	stand := p.standIns(e)
	for _, id := range slices.Sorted(maps.Keys(used)) {
		current := p.graph.current(id)
		if part, ok := stand[current]; ok && p.graph.parts[current].Price == nil {
			current = part // at the price of what it stands for
		}
		sum, err := actual[current].Add(used[id])
		if err != nil {
			return nil, err
		}
		actual[current] = sum
	}
	var out []AccountPart
	for _, l := range e.Parts {
		out = append(out, AccountPart{ID: l.ID, Title: l.Title, Estimated: l.Quantity, Actual: actual[l.ID], Price: l.Price})
		delete(actual, l.ID)
	}
	for _, id := range slices.Sorted(maps.Keys(actual)) {
		part := AccountPart{ID: id, Title: id, Actual: actual[id], Beyond: true}
		if known, ok := p.graph.parts[id]; ok {
			part.Title = known.Title
			part.InPlaceOf = p.graph.parts[stand[id]].Title
			if known.Price != nil {
				part.Price = &known.Price.Amount
			}
		}
		out = append(out, part)
	}
	for i, l := range out {
		if l.Price == nil {
			continue
		}
		line, err := lineCost(*l.Price, l.Actual, p.Currency)
		if err != nil {
			return nil, err
		}
		out[i].Line = &line
	}
	return out, nil
}

// standIns maps the alternatives of an estimate's parts to these, first come.
// Parts that the estimate has themselves stand for nothing.
func (p *Plan) standIns(e Estimate) map[string]string {
	out := map[string]string{}
	for _, l := range slices.Backward(e.Parts) {
		for _, id := range p.graph.parts[l.ID].Alternatives {
			out[p.graph.current(id)] = l.ID
		}
	}
	for _, l := range e.Parts {
		delete(out, l.ID)
	}
	return out
}

// billed adds up the actual side.
func (p *Plan) billed(a Account) (Bill, error) {
	var b Bill
	for _, l := range a.Labour {
		b.Hours += l.Actual
	}
	var lines []PartLine
	for _, l := range a.Parts {
		if l.Line != nil || !l.Actual.IsZero() {
			lines = append(lines, PartLine{ID: l.ID, Line: l.Line})
		}
	}
	c, err := p.priced(b.Hours, lines)
	if err != nil {
		return b, err
	}
	b.Labour, b.Parts, b.PriceToCome = c.Labour, c.Parts, c.PriceToCome
	if c.Labour == nil {
		return b, nil
	}
	b.Tax, b.Total, err = p.taxed(*c.Labour, c.Parts)
	return b, err
}
