// SPDX-License-Identifier: Apache-2.0

package scope

import "errors"

// Outlook is what is missing for a job, and what cannot be dated.
type Outlook struct {
	Supplies []Supply
	NoLead   []string        // neither promised nor with a lead time: ask the supplier
	Overdue  []*OverdueError // should have come: ask for a new date
}

// Outlook looks at a parts list from a day. Parts in hand are left out; parts
// on order come by their order; the others as if ordered that day with the
// plan's lead time, an alternative not considered. Late is how many days the
// supplier is past what was promised.
//
// It returns an error for an order whose dates cannot be.
func (p *Plan) Outlook(list []PartLine, today Date, inHand map[string]bool, orders map[string]Order, late PERT) (Outlook, error) {
	var out Outlook
	for _, l := range list {
		if inHand[l.ID] {
			continue
		}
		order, ordered := orders[l.ID]
		if !ordered {
			order = Order{ID: l.ID, Ordered: today}
		}
		lead := p.graph.parts[l.ID].Lead
		if order.Promised == nil && lead == nil {
			out.NoLead = append(out.NoLead, l.ID)
			continue
		}
		var usual PERT
		if lead != nil {
			usual = lead.PERT()
		}
		s, err := order.Supply(today, usual, late)
		var overdue *OverdueError
		switch {
		case errors.As(err, &overdue) && ordered:
			out.Overdue = append(out.Overdue, overdue)
		case errors.As(err, &overdue): // a lead time of nothing: here the same day
		case err != nil:
			return out, err
		default:
			s.Title = l.Title
			out.Supplies = append(out.Supplies, s)
		}
	}
	return out, nil
}
