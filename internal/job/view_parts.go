// SPDX-License-Identifier: Apache-2.0

package job

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"witnessmark/scope"
)

// PartView is one part in words.
type PartView struct {
	Part     string
	Title    string
	Quantity string // needed
	For      string // what it is for
	State    WordView
	Lines    []string // what is on record, in the order in which it happened
	Question string   // what somebody has to settle
	Differs  bool     // the question is the number
	Follows  string   // a superseded number that stands for it
	Waits    string   // which operation waits for it
	Reach    string   // how far the work can go without it
	Missing  string   // how many are still to come, as a number for a field
	Left     string   // how many can be returned
	InHand   bool
	Ordered  bool
	Returned bool
	Expected string // number
	Seen     string // number
}

// PartsView is the parts of a job, what needs attention first.
type PartsView struct {
	Rows                        []PartView
	Late, ToOrder, Coming, Here int
}

// ShowParts puts parts into words, as of a day. The dates may be nil.
func ShowParts(parts []PartSeen, d *JobDates, plan *scope.Plan, today string) PartsView {
	var v PartsView
	reach := reachWords(d)
	order := map[string]int{}
	for _, p := range parts {
		row := partView(p, plan, today)
		if w, ok := reach[p.Part]; ok {
			row.Waits, row.Reach = w[0], w[1]
		}
		late := row.State.State == stateOut || row.Question != ""
		switch {
		case late:
			v.Late++
		case p.InHand || p.State == PartSentBack:
			v.Here++
		case p.State == PartToOrder:
			v.ToOrder++
		default:
			v.Coming++
		}
		order[p.Part] = rankOf(p, late)
		v.Rows = append(v.Rows, row)
	}
	slices.SortStableFunc(v.Rows, func(a, b PartView) int { return cmp.Compare(order[a.Part], order[b.Part]) })
	return v
}

func rankOf(p PartSeen, late bool) int {
	if late {
		return 0
	}
	return map[PartState]int{PartToOrder: 1, PartBack: 2, PartSome: 2, PartOnOrder: 2, PartPromise: 3, PartHere: 4, PartRight: 5, PartIn: 6, PartSentBack: 7}[p.State]
}

func partView(p PartSeen, plan *scope.Plan, today string) PartView {
	v := PartView{Part: p.Part, Title: p.Title, Quantity: quantity(p.Needed), State: p.word(today), InHand: p.InHand, Ordered: p.Ordered > 0,
		Returned: p.Returned > 0, Left: quantity(p.Left), Expected: cmp.Or(p.Number, p.Part), Differs: p.Differs, Seen: p.Seen,
		Missing: quantity(max(p.Needed-max(p.Arrived-p.Returned, 0), 0))}
	if v.Missing == "0" {
		v.Missing = v.Quantity
	}
	v.For = forWords(p.For, plan)
	v.Lines = p.lines()
	switch {
	case p.Differs:
		v.Question = fmt.Sprintf("The number on it is %s, expected %s. Is it the right part?", p.Seen, p.Number)
	case p.Before != "":
		v.Question = fmt.Sprintf("It is %s, before it was ordered on %s. One of the dates is wrong.", p.Before, p.On)
	}
	if p.Follows {
		v.Follows = fmt.Sprintf("%s is another number of the same part.", p.Seen)
	}
	return v
}

// word is how far a part has come, in a word.
func (p PartSeen) word(today string) WordView {
	if p.Differs {
		return WordView{"here, number questioned", stateUnproven}
	}
	switch p.State {
	case PartToOrder:
		return WordView{"to order", stateTodo}
	case PartOnOrder:
		return WordView{"ordered", stateTodo}
	case PartPromise:
		if p.Promised < today {
			return WordView{"late", stateOut}
		}
		return WordView{"promised " + p.Promised, stateTodo}
	case PartBack:
		return WordView{"back order, " + quantity(p.Short) + " short", stateOut}
	case PartSome:
		return WordView{fmt.Sprintf("%s of %s here", quantity(p.Arrived-p.Returned), quantity(p.Needed)), stateUnproven}
	case PartHere:
		return WordView{"here", stateFits}
	case PartRight:
		return WordView{"here, number right", stateFits}
	case PartIn:
		return WordView{"fitted", stateFits}
	}
	return WordView{"returned", "soft"}
}

func (p PartSeen) lines() []string {
	var out []string
	if p.On != "" {
		w := "ordered " + p.On
		if p.Supplier != "" {
			w += " from " + p.Supplier
		}
		out = append(out, w)
	}
	if p.Promised != "" && !p.InHand {
		out = append(out, "promised for "+p.Promised)
	}
	if p.Came != "" {
		out = append(out, quantity(p.Arrived)+" came, "+p.Came)
	}
	if p.Seen != "" && !p.Differs {
		out = append(out, "number "+p.Seen)
	}
	if p.Fitted > 0 {
		out = append(out, quantity(p.Fitted)+" fitted")
	}
	if p.Returned > 0 {
		out = append(out, quantity(p.Returned)+" returned")
	}
	return out
}

func forWords(ids []string, plan *scope.Plan) string {
	var out []string
	for _, id := range ids {
		switch {
		case plan == nil:
			out = append(out, id)
		default:
			if w, ok := plan.WorkByID(id); ok {
				out = append(out, w.Title)
			} else if o, ok := plan.OperationByID(id); ok {
				out = append(out, o.Title)
			}
		}
	}
	return strings.Join(out, "; ")
}

// reachWords says for each part or tool which step waits for it, and how far
// the work can go without it.
func reachWords(d *JobDates) map[string][2]string {
	out := map[string][2]string{}
	if d == nil {
		return out
	}
	steps := map[string]scope.Step{}
	for _, s := range d.Steps {
		steps[s.ID] = s
	}
	for _, r := range d.Dates.Reach {
		var waiting []string
		for _, id := range r.Waiting {
			waiting = append(waiting, StepTitle(steps[id]))
		}
		how := "Nothing can be done without it."
		if len(r.Can) > 0 {
			how = fmt.Sprintf("Without it %s of %s can be done, up to and with: %s.", hours(r.Hours), hours(d.Dates.Hours), StepTitle(steps[lastOf(d.Steps, r.Can)]))
		}
		out[r.ID] = [2]string{"Waits for it: " + strings.Join(waiting, "; ") + ".", how}
	}
	return out
}

// lastOf is the step of some that comes last.
func lastOf(steps []scope.Step, some []string) string {
	last := ""
	for _, s := range steps {
		if slices.Contains(some, s.ID) {
			last = s.ID
		}
	}
	return last
}

// StepTitle names a step: what comes off, is done or goes back.
func StepTitle(s scope.Step) string {
	switch {
	case strings.HasPrefix(s.ID, "refit:"):
		return "Refit: " + lower(s.Title)
	case strings.HasPrefix(s.ID, "strip:"):
		return "Strip: " + lower(s.Title)
	}
	return s.Title
}

// hours says "3.5 h".
func hours(h float64) string {
	if h > -0.05 && h < 0.05 {
		h = 0 // never below it by the last digit
	}
	return fmt.Sprintf("%.1f h", h)
}

// dayWords says "Mon 2026-03-02".
func dayWords(t time.Time) string { return t.Format("Mon 2006-01-02") }
