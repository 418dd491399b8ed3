// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"math"

	"witnessmark/scope"
)

// SpecialView is a special tool in words.
type SpecialView struct {
	Tool     string
	State    WordView
	Said     string
	Waits    string
	InHand   bool
	Borrowed bool
}

// ShowSpecial lists the tools of the agreed work, and others on record. A tool
// that nobody reserved counts as the workshop's own.
func ShowSpecial(s State, d *JobDates, tools []string, today string) []SpecialView {
	reach := reachWords(d)
	names := map[string]bool{}
	var order []string
	for _, t := range append(sortedKeys(s.Special), tools...) {
		if !names[t] {
			names[t] = true
			order = append(order, t)
		}
	}
	var out []SpecialView
	for _, name := range order {
		v := SpecialView{Tool: name, State: WordView{"the workshop’s own, or not settled", "soft"}}
		if t := s.Special[name]; t != nil {
			v.tell(t, today)
		}
		if w, ok := reach[name]; ok && !v.InHand {
			v.Waits = w[0] + " " + w[1]
		}
		out = append(out, v)
	}
	return out
}

func (v *SpecialView) tell(t *SpecialTool, today string) {
	switch {
	case t.Returned != nil:
		v.State = WordView{"given back", "soft"}
	case t.Borrowed != nil:
		v.State, v.InHand, v.Borrowed = WordView{"in hand, borrowed", stateFits}, true, true
		if due := t.Borrowed.Body.Due; due != "" && due < today {
			v.State = WordView{"due back " + due, stateOut}
		}
	case t.Reserved != nil:
		r := t.Reserved.Body
		v.State = WordView{"reserved from " + r.From, stateTodo}
		if r.From < today {
			v.State = WordView{"reserved from " + r.From + ", not in hand", stateOut}
		}
	}
	if t.Reserved != nil {
		v.Said = t.Reserved.Body.words(nil)
	}
}

// SupplierView is how a supplier delivers.
type SupplierView struct {
	Name, Count, Lead, Late string
	Lines                   []string
}

// ShowSuppliers puts deliveries into words.
func ShowSuppliers(list []SupplierSeen) []SupplierView {
	var out []SupplierView
	for _, x := range list {
		v := SupplierView{Name: x.Name, Count: count(len(x.Deliveries), "delivery", "deliveries"), Lead: threeDays(x.Lead), Late: threeDays(x.Late)}
		for _, d := range x.Deliveries {
			w := fmt.Sprintf("Job %s: %s ordered %s, came %s", d.Job, d.Part, d.Ordered, d.Arrived)
			if d.Promised != "" {
				w += ", promised for " + d.Promised
			}
			v.Lines = append(v.Lines, w+".")
		}
		out = append(out, v)
	}
	return out
}

func threeDays(p *scope.PERT) string {
	if p == nil {
		return "not known yet"
	}
	return fmt.Sprintf("%s to %s days, likely %s", wholeDays(p.Least), wholeDays(p.Most), wholeDays(p.Likely))
}

func wholeDays(x float64) string { return fmt.Sprintf("%.0f", math.Round(x)) }
