// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"slices"

	"github.com/govalues/decimal"
)

// Cost is labour and parts without tax.
type Cost struct {
	Labour      *decimal.Decimal // nil: the plan has no rate
	Parts       decimal.Decimal  // of the parts that have a price
	PriceToCome []string         // parts that have none
}

// Sum is labour and parts, or false where the rate or a price is to come.
func (c Cost) Sum() (decimal.Decimal, bool) {
	if c.Labour == nil || len(c.PriceToCome) > 0 {
		return decimal.Zero, false
	}
	sum, err := c.Labour.Add(c.Parts)
	return sum, err == nil
}

// PartLine is one line of the parts list.
type PartLine struct {
	ID       string // of the part to order
	Title    string
	Quantity decimal.Decimal
	Price    *decimal.Decimal // each; nil: still to come
	Line     *decimal.Decimal // rounded half up to the minor unit; nil: still to come
	For      []string         // work and operations that use it
	Replaces []string         // superseded numbers by which the plan names it
}

// partLines is the parts list of a job, in the order of use. Parts that an
// operation renews count once for the job.
func (p *Plan) partLines(work []int, needed set) ([]PartLine, error) {
	var lines []PartLine
	var err error
	at := map[string]int{}
	add := func(use PartUse, user string) {
		id := p.graph.current(use.Part)
		i, there := at[id]
		if !there {
			i = len(lines)
			at[id] = i
			lines = append(lines, PartLine{ID: id, Title: p.graph.parts[id].Title})
		}
		l := &lines[i]
		sum, e := l.Quantity.Add(count(use.Quantity))
		if e != nil {
			err = e
			return
		}
		l.Quantity = sum
		if !slices.Contains(l.For, user) {
			l.For = append(l.For, user)
		}
		if use.Part != id && !slices.Contains(l.Replaces, use.Part) {
			l.Replaces = append(l.Replaces, use.Part)
		}
	}
	for _, i := range p.graph.order {
		if needed[i] {
			for _, x := range p.Operations[i].Disturbs {
				if x.Part != "" {
					add(PartUse{x.Part, x.Quantity}, p.Operations[i].ID)
				}
			}
		}
	}
	for _, w := range work {
		for _, u := range p.Work[w].Parts {
			add(u, p.Work[w].ID)
		}
	}
	for i := range lines {
		price := p.graph.parts[lines[i].ID].Price
		if price == nil {
			continue
		}
		line, e := lineCost(price.Amount, lines[i].Quantity, p.Currency)
		if e != nil {
			return nil, e
		}
		lines[i].Price, lines[i].Line = &price.Amount, &line
	}
	return lines, err
}

// addUp fills the money of an estimate from its hours and lines.
func (p *Plan) addUp(e *Estimate) error {
	c, err := p.priced(e.LabourHours, e.Parts)
	if err != nil {
		return err
	}
	e.Labour, e.PartsTotal, e.PriceToCome = c.Labour, c.Parts, c.PriceToCome
	if c.Labour == nil {
		return nil
	}
	e.Tax, e.Total, err = p.taxed(*c.Labour, c.Parts)
	return err
}

// taxed is the tax on labour and parts, and the total with it.
func (p *Plan) taxed(labour, parts decimal.Decimal) (tax, total *decimal.Decimal, err error) {
	sum, err := labour.Add(parts)
	if err != nil {
		return nil, nil, err
	}
	t, err := taxOn(sum, p.TaxPercent, p.Currency)
	if err != nil {
		return nil, nil, err
	}
	sum, err = sum.Add(t)
	return &t, &sum, err
}

// priced is what hours and lines of parts cost.
func (p *Plan) priced(h Hours, lines []PartLine) (Cost, error) {
	c := Cost{Parts: decimal.MustNew(0, p.Currency.MinorDigits())}
	for _, l := range lines {
		if l.Line == nil {
			c.PriceToCome = append(c.PriceToCome, l.ID)
			continue
		}
		sum, err := c.Parts.Add(*l.Line)
		if err != nil {
			return c, err
		}
		c.Parts = sum
	}
	if p.LabourRate == nil {
		return c, nil
	}
	labour, err := labourCost(h, p.LabourRate.Amount, p.Currency)
	c.Labour = &labour
	return c, err
}
