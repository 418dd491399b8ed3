// SPDX-License-Identifier: Apache-2.0

package job

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"unicode"

	"witnessmark/scope"
)

// PartState says how far a part has come.
type PartState string

const (
	PartToOrder  PartState = "to_order"
	PartOnOrder  PartState = "ordered"
	PartPromise  PartState = "promised"
	PartBack     PartState = "back_ordered"
	PartSome     PartState = "partly_arrived"
	PartHere     PartState = "arrived"
	PartRight    PartState = "checked"
	PartIn       PartState = "fitted"
	PartSentBack PartState = "returned"
)

// PartSeen is one part of a job: what is needed of it and what is on record.
type PartSeen struct {
	Part     string    `json:"part"` // to order
	Title    string    `json:"title"`
	For      []string  `json:"for,omitempty"` // work and operations of the plan
	Replaces []string  `json:"replaces,omitempty"`
	State    PartState `json:"state"`
	Needed   float64   `json:"needed"`
	Ordered  float64   `json:"ordered"`
	Arrived  float64   `json:"arrived"`
	Fitted   float64   `json:"fitted"`
	Returned float64   `json:"returned"`
	Short    float64   `json:"short"` // of the back order
	Supplier string    `json:"supplier,omitempty"`
	On       string    `json:"ordered_on,omitempty"`
	Promised string    `json:"promised,omitempty"`
	Came     string    `json:"arrived_on,omitempty"` // the last of it
	Number   string    `json:"number,omitempty"`     // expected on it
	Seen     string    `json:"number_seen,omitempty"`
	Follows  bool      `json:"superseded,omitempty"` // the number seen is another of the same part
	// Differs: the number seen is not the one expected, and nobody said why it
	// is right. Before: a date promised or of arrival is before the order.
	Differs bool    `json:"number_differs,omitempty"`
	Before  string  `json:"before_order,omitempty"`
	InHand  bool    `json:"in_hand"`
	Left    float64 `json:"left"` // arrived, neither fitted nor returned
	Tracked bool    `json:"-"`
	seqs    []int64
	checked []int64
	// unneeded is what went back because it was not needed.
	unneeded float64
	// instead counts what came or was fitted in its place, by the plan's id of
	// the alternative.
	instead map[string]*tally
}

// tally counts one kind of a part.
type tally struct{ arrived, returned, fitted float64 }

// used is how many are paid for: what came and stayed, else what was fitted.
func (t tally) used() float64 { return max(wholeSum(t.arrived-t.returned), wholeSum(t.fitted)) }

// other is the tally of an alternative that a name or number is the plan's id
// of; nil for the part itself.
func (p *PartSeen) other(plan *scope.Plan, names ...string) *tally {
	if plan == nil {
		return nil
	}
	for _, name := range names {
		i := slices.IndexFunc(plan.Parts, func(x scope.Part) bool { return name != "" && plainNumber(x.ID) == plainNumber(name) })
		if i < 0 {
			continue
		}
		id := plan.Parts[i].ID
		if id == p.Part {
			return nil
		}
		if p.instead == nil {
			p.instead = map[string]*tally{}
		}
		if p.instead[id] == nil {
			p.instead[id] = &tally{}
		}
		return p.instead[id]
	}
	return nil
}

// Parts lists the parts of a job: those of the plan's list first, then others
// that are on record. Superseded numbers and alternatives count for the part of
// the list that they stand for. The plan may be nil.
func Parts(s State, plan *scope.Plan, lines []scope.PartLine, day func(At) string) []PartSeen {
	b := bookOf(s, plan, lines, day)
	out := make([]PartSeen, 0, len(b.list))
	for _, p := range b.list {
		out = append(out, *p)
	}
	return out
}

// FindPart is the part of a job that a number stands for.
func FindPart(s State, plan *scope.Plan, lines []scope.PartLine, number string, day func(At) string) (PartSeen, bool) {
	p := bookOf(s, plan, lines, day).find(number)
	if p == nil {
		return PartSeen{}, false
	}
	return *p, true
}

func bookOf(s State, plan *scope.Plan, lines []scope.PartLine, day func(At) string) *partBook {
	b := newPartBook(plan, lines)
	for _, name := range sortedKeys(s.Supply) {
		b.track(s.Supply[name], day)
	}
	for _, f := range s.Parts {
		if p := b.find(f.Body.Part); p != nil {
			p.Fitted += f.Body.Quantity
			if t := p.other(plan, f.Body.Part); t != nil {
				t.fitted += f.Body.Quantity
			}
			p.seqs = append(p.seqs, f.At.Seq)
		}
	}
	for _, pos := range s.Positions {
		if pos.Shells == nil {
			continue
		}
		for _, number := range []string{pos.Shells.Body.Upper.Part, pos.Shells.Body.Lower.Part} {
			if p := b.find(number); p != nil {
				p.Fitted++
				if t := p.other(plan, number); t != nil {
					t.fitted++
				}
				p.seqs = append(p.seqs, pos.Shells.At.Seq)
				break
			}
		}
	}
	for _, p := range b.list {
		p.settle()
	}
	return b
}

// partBook finds the part that a name or number stands for.
type partBook struct {
	plan *scope.Plan
	list []*PartSeen
	by   map[string]*PartSeen // by name made plain
}

func newPartBook(plan *scope.Plan, lines []scope.PartLine) *partBook {
	b := &partBook{plan: plan, by: map[string]*PartSeen{}}
	for _, l := range lines {
		n, _ := l.Quantity.Float64()
		p := &PartSeen{Part: l.ID, Title: l.Title, For: l.For, Replaces: l.Replaces, Needed: n}
		b.list = append(b.list, p)
		b.by[plainNumber(l.ID)] = p
		for _, old := range l.Replaces {
			b.by[plainNumber(old)] = p
		}
	}
	if plan == nil {
		return b
	}
	for _, p := range slices.Clone(b.list) { // an alternative that the list does not have itself
		known, _ := plan.PartByID(p.Part)
		for _, id := range known.Alternatives {
			if b.by[plainNumber(id)] == nil {
				b.by[plainNumber(id)] = p
			}
		}
	}
	return b
}

// find is the part of a name, nil if there is none of it.
func (b *partBook) find(name string) *PartSeen {
	if name == "" {
		return nil
	}
	if p := b.by[plainNumber(name)]; p != nil {
		return p
	}
	if b.plan != nil {
		if known, ok := b.plan.PartByID(name); ok {
			return b.by[plainNumber(known.ID)]
		}
	}
	return nil
}

func (b *partBook) track(t *PartTrack, day func(At) string) {
	p := b.find(t.Part)
	if p == nil {
		p = &PartSeen{Part: t.Part, Title: cmp.Or(t.Title, t.Part)}
		b.list = append(b.list, p)
		b.by[plainNumber(t.Part)] = p
	}
	p.Tracked = true
	p.seqs = append(p.seqs, t.Seqs()...)
	ordered, arrived, returned := t.many()
	p.Ordered, p.Arrived, p.Returned = p.Ordered+ordered, p.Arrived+arrived, p.Returned+returned
	number := ""
	if n := len(t.Ordered); n > 0 {
		number = t.Ordered[n-1].Body.Number
	}
	for _, x := range t.Arrived {
		if c := p.other(b.plan, x.Body.Number, number, t.Part); c != nil {
			c.arrived += x.Body.Quantity
		}
	}
	for _, x := range t.Returned {
		if x.Body.Why == "not_needed" {
			p.unneeded += x.Body.Quantity
		}
		if c := p.other(b.plan, number, t.Part); c != nil {
			c.returned += x.Body.Quantity
		}
	}
	p.Supplier = cmp.Or(t.Supplier(), p.Supplier)
	if n := len(t.Ordered); n > 0 {
		last := t.Ordered[n-1].Body
		p.On, p.Number = last.On, cmp.Or(last.Number, p.Number)
	}
	if n := len(t.Promised); n > 0 {
		p.Promised = t.Promised[n-1].Body.For
	}
	if n := len(t.Arrived); n > 0 {
		last := t.Arrived[n-1]
		p.Came = cmp.Or(last.Body.On, day(last.At))
	}
	if t.Back != nil {
		p.Short = t.Back.Body.Short
	}
	if p.Number != "" {
		b.by[plainNumber(p.Number)] = p
	}
	b.dates(p, t, day)
	b.numbers(p, t)
}

// dates looks for a day that is before the order.
func (b *partBook) dates(p *PartSeen, t *PartTrack, day func(At) string) {
	if len(t.Ordered) == 0 {
		return
	}
	first := t.Ordered[0].Body.On
	for _, x := range t.Promised {
		if x.Body.For < first {
			p.Before = "promised for " + x.Body.For
		} else if p.Before != "" && strings.HasPrefix(p.Before, "promised") {
			p.Before = "" // a later promise took its place
		}
	}
	for _, x := range t.Arrived {
		if on := cmp.Or(x.Body.On, day(x.At)); on < first {
			p.Before = "arrived on " + on
		}
	}
}

// numbers holds the number seen last against the one expected. Superseded
// numbers are followed.
func (b *partBook) numbers(p *PartSeen, t *PartTrack) {
	if len(t.Checked) == 0 {
		return
	}
	last := t.Checked[len(t.Checked)-1]
	p.Seen = last.Body.Seen
	p.checked = append(p.checked, last.At.Seq)
	expected := cmp.Or(last.Body.Expected, p.Number, p.Part)
	seen := plainNumber(last.Body.Seen)
	switch {
	case seen == plainNumber(expected):
	case b.find(last.Body.Seen) == p:
		p.Follows = true
	default:
		p.Differs = last.Body.Right == ""
	}
	if p.Number == "" {
		p.Number = expected
	}
}

// settle decides how far a part has come.
func (p *PartSeen) settle() {
	for _, n := range []*float64{&p.Ordered, &p.Arrived, &p.Fitted, &p.Returned} {
		*n = wholeSum(*n)
	}
	if p.Needed == 0 {
		p.Needed = p.Ordered
	}
	here := wholeSum(p.Arrived - p.Returned)
	p.Short = min(p.Short, max(p.Needed-here, 0)) // what came is not short any more
	p.Left = max(wholeSum(here-p.Fitted), 0)
	need := p.Needed
	if p.Arrived >= need { // all of it was here, and some was not needed
		need = min(need, wholeSum(p.Arrived-p.unneeded))
	}
	p.InHand = here >= need && here > 0 || p.Fitted >= need && p.Fitted > 0
	switch {
	case p.Fitted >= need && p.Fitted > 0:
		p.State = PartIn
	case p.Returned > 0 && here <= 0:
		p.State = PartSentBack
	case p.InHand && p.Seen != "" && !p.Differs:
		p.State = PartRight
	case p.InHand:
		p.State = PartHere
	case p.Short > 0:
		p.State = PartBack
	case here > 0:
		p.State = PartSome
	case p.Promised != "":
		p.State = PartPromise
	case p.Ordered > 0:
		p.State = PartOnOrder
	default:
		p.State = PartToOrder
	}
	slices.Sort(p.seqs)
	p.seqs = slices.Compact(p.seqs)
}

// wholeSum takes the crumbs off sums of quantities such as 8.4 and 0.6.
func wholeSum(x float64) float64 { return math.Round(x*1e6) / 1e6 }

// plainNumber is a number without case, blanks and marks between its digits,
// which a label, a scanner and a person write differently.
func plainNumber(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, s)
}

// Order is what the dates need of it; ok is false for what was not ordered, or
// has dates that cannot be.
func (p PartSeen) Order() (o scope.Order, ok bool) {
	on, err := scopeDate(p.On)
	if err != nil {
		return o, false
	}
	o = scope.Order{ID: p.Part, Ordered: on}
	if promised, err := scopeDate(p.Promised); err == nil && !promised.Before(on.Time) {
		o.Promised = &promised
	}
	return o, true
}

func scopeDate(text string) (d scope.Date, err error) {
	return d, d.UnmarshalText([]byte(text))
}
