// SPDX-License-Identifier: Apache-2.0

package scope

import "github.com/govalues/decimal"

// ledger is what a job takes in sums alone, without who uses what. An estimate
// with a hundred offers asks two hundred times what more work adds; only what
// that work touches is added up again.
type ledger struct {
	plan     *Plan
	done     set               // operations
	hours    Hours             // of operations and work
	quantity []decimal.Decimal // of parts, by place

	operations []int     // that were added last
	parts      []partWas // that were touched last
}

// partWas is how many of a part there were before it was touched.
type partWas struct {
	part     int
	quantity decimal.Decimal
}

// ledgerOf enters work that goes together.
func (p *Plan) ledgerOf(work []int) (*ledger, error) {
	l := &ledger{plan: p, done: make(set, len(p.Operations)), quantity: make([]decimal.Decimal, len(p.Parts))}
	err := l.enter(work)
	l.operations, l.parts = l.operations[:0], l.parts[:0]
	return l, err
}

// enter adds work, its operations that are not in yet, and their parts.
func (l *ledger) enter(work []int) error {
	g := l.plan.graph
	var err error
	for _, w := range work {
		l.hours += l.plan.Work[w].Hours
		err = first(err, l.use(g.takes[w]))
		g.reach(w, l.done, func(i int) {
			l.hours += l.plan.Operations[i].Hours()
			l.operations = append(l.operations, i)
			err = first(err, l.use(g.renews[i]))
		})
	}
	return err
}

func (l *ledger) use(uses []use) error {
	for _, u := range uses {
		l.parts = append(l.parts, partWas{u.part, l.quantity[u.part]})
		sum, err := l.quantity[u.part].Add(u.quantity)
		if err != nil {
			return err
		}
		l.quantity[u.part] = sum
	}
	return nil
}

// more is what more work adds: hours, and cost as the difference of the rounded
// amounts with and without it. The ledger is afterwards as it was.
func (l *ledger) more(work []int) (Hours, Cost, error) {
	before := l.hours
	err := l.enter(work)
	added := l.hours - before
	cost := Cost{Parts: decimal.MustNew(0, l.plan.Currency.MinorDigits())}
	if err == nil {
		cost.Labour, err = l.plan.labourDifference(l.hours, before)
	}
	for i := len(l.parts) - 1; i >= 0; i-- { // back through the touches, the first of a part last
		was := l.parts[i]
		if err == nil {
			err = l.plan.addLine(&cost, was.part, l.quantity[was.part], was.quantity)
		}
		l.quantity[was.part] = was.quantity
	}
	for _, i := range l.operations {
		l.done[i] = false
	}
	l.hours, l.operations, l.parts = before, l.operations[:0], l.parts[:0]
	return added, cost, err
}

// labourDifference is what hours cost more than fewer; nil without a rate.
func (p *Plan) labourDifference(hours, fewer Hours) (*decimal.Decimal, error) {
	if p.LabourRate == nil {
		return nil, nil
	}
	with, err := labourCost(hours, p.LabourRate.Amount, p.Currency)
	if err != nil {
		return nil, err
	}
	without, err := labourCost(fewer, p.LabourRate.Amount, p.Currency)
	if err != nil {
		return nil, err
	}
	d, err := with.Sub(without)
	return &d, err
}

// addLine adds what a line of a part costs more than it did; a part without a
// price that was not there is to come.
func (p *Plan) addLine(c *Cost, part int, now, was decimal.Decimal) error {
	price := p.Parts[part].Price
	if price == nil {
		if was.IsZero() {
			c.PriceToCome = append(c.PriceToCome, p.Parts[part].ID)
		}
		return nil
	}
	line, err := lineCost(price.Amount, now, p.Currency)
	if err != nil {
		return err
	}
	before, err := lineCost(price.Amount, was, p.Currency)
	if err != nil {
		return err
	}
	if line, err = line.Sub(before); err != nil {
		return err
	}
	c.Parts, err = c.Parts.Add(line)
	return err
}

func first(a, b error) error {
	if a != nil {
		return a
	}
	return b
}
