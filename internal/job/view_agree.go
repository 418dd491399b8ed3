// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/govalues/decimal"

	"witnessmark/scope"
)

// AgreeView is an estimate to talk through: what is in, what could be, and
// what it comes to, in words and rounded.
type AgreeView struct {
	Draft      []string // ids of the work that is in
	Base       []AgreeRow
	Offers     []AgreeRow
	Others     []AgreeRow // further work of the plan, titles only
	Companions []AgreeRow // that go along
	Operations []string
	PartLines  []AgreePart
	Parts      string // how many different ones
	LabourH    string
	Labour     string
	PartsTotal string
	TaxPercent string
	Tax        string
	Total      string // with the currency; empty while the rate is to come
	Amount     string // the total as a number for a field; empty while a price is to come
	Currency   string
	ToCome     string // parts whose price is to come
	Agreed     bool   // the draft is what is agreed
}

// AgreeRow is one piece of work in an estimate.
type AgreeRow struct {
	ID, Title, Why      string
	In                  bool
	Bound               string // what brings it along: it can't be taken out alone
	Added, Alone, Share string // hours
	AddedCost           string // without tax
	AloneCost           string
	Brings              string // what it would bring along
	Refused             string
	Weighed             *WeighedView
}

// AgreePart is one line of the parts list.
type AgreePart struct{ Title, Quantity, Line string }

// WeighedView is now or later, to read.
type WeighedView struct {
	Trouble              string // why they can't be compared; then there is nothing else
	Now, Later, Expected string
	BreakEven, Chance    string // in percent; Chance is empty where none is known
	BreakAt, ChanceAt    float64
	Words                string
	Source               string
	Assumed              bool
}

// DraftOf is the work that an estimate starts from: what is agreed, else what
// was laid before the owner.
func DraftOf(s State) []string {
	switch {
	case s.Scope != nil:
		return s.Scope.Body.Want
	case s.Estimate != nil:
		return s.Estimate.Body.Want
	}
	return nil
}

// OffersOf is the work worth offering: as it was laid before the owner, else
// the plan's advice that fits the vehicle.
func OffersOf(s State, plan *scope.Plan) []string {
	if s.Estimate != nil && len(s.Estimate.Body.Offers) > 0 {
		return s.Estimate.Body.Offers
	}
	km := odometer(s)
	var out []string
	for _, a := range plan.Advice {
		if a.Fits(nil, km) {
			out = append(out, a.Work)
		}
	}
	return out
}

// ShowAgree is an estimate with a draft in it. The error is a
// *[scope.UnknownWorkError].
func ShowAgree(s State, plan *scope.Plan, draft []string, needs Needs) (AgreeView, error) {
	offers := OffersOf(s, plan)
	e, err := plan.Estimate(scope.Request{Want: draft})
	if err != nil {
		return AgreeView{}, err
	}
	v := AgreeView{Draft: draft, Currency: string(e.Currency), LabourH: hours(e.LabourHours.Hours()), TaxPercent: plan.TaxPercent.String()}
	v.sums(e, plan)
	w := weigher{s, plan, draft, e, needs}
	base := slices.Concat(DraftOf(s), draft)
	var rest []string
	for _, x := range plan.Work {
		switch {
		case slices.Contains(offers, x.ID):
		case slices.Contains(base, x.ID):
			row, err := w.row(x.ID)
			if err != nil {
				return v, err
			}
			v.Base = append(v.Base, row)
		default:
			rest = append(rest, x.ID)
		}
	}
	for _, id := range offers {
		row, err := w.row(id)
		if err != nil {
			return v, err
		}
		v.Offers = append(v.Offers, row)
	}
	along := map[string]bool{}
	for _, c := range e.Companions {
		along[c.ID] = true
		v.Companions = append(v.Companions, AgreeRow{ID: c.ID, Title: workTitle(plan, c.ID), Bound: workTitle(plan, c.BecauseOf), Share: w.share(c.ID)})
	}
	for _, id := range rest {
		if !along[id] {
			v.Others = append(v.Others, AgreeRow{ID: id, Title: workTitle(plan, id)})
		}
	}
	v.Agreed = s.Scope != nil && sameWork(s.Scope.Body.Want, draft)
	return v, nil
}

func sameWork(a, b []string) bool {
	a, b = slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b))
	return slices.Equal(a, b)
}

func (v *AgreeView) sums(e scope.Estimate, plan *scope.Plan) {
	v.Labour, v.Tax = sum(e.Labour, e.Currency), sum(e.Tax, e.Currency)
	v.PartsTotal = amountWords(e.PartsTotal, e.Currency)
	if e.Total != nil {
		v.Total = money(amountWords(*e.Total, e.Currency), v.Currency)
		if len(e.PriceToCome) == 0 {
			v.Amount = amountWords(*e.Total, e.Currency)
		}
	}
	var titles []string
	for _, p := range e.Parts {
		l := AgreePart{Title: p.Title, Quantity: p.Quantity.Trim(0).String(), Line: sum(p.Line, e.Currency)}
		v.PartLines = append(v.PartLines, l)
		if p.Line == nil {
			titles = append(titles, lower(p.Title))
		}
	}
	v.Parts, v.ToCome = strconv.Itoa(len(e.Parts)), list(titles)
	for _, id := range e.Operations {
		o, _ := plan.OperationByID(id)
		v.Operations = append(v.Operations, o.Title+", "+hours(o.Hours().Hours()))
	}
}

// weigher values one piece of work after the other against a draft.
type weigher struct {
	s     State
	plan  *scope.Plan
	draft []string
	e     scope.Estimate
	needs Needs
}

func (w weigher) row(id string) (AgreeRow, error) {
	r := AgreeRow{ID: id, Title: workTitle(w.plan, id), In: slices.Contains(w.draft, id)}
	rest := slices.DeleteFunc(slices.Clone(w.draft), func(x string) bool { return x == id })
	e, err := w.plan.Estimate(scope.Request{Want: rest, Offer: []string{id}})
	if err != nil {
		return r, err
	}
	for _, c := range w.e.Companions {
		if c.ID == id && !r.In {
			r.In, r.Bound = true, workTitle(w.plan, c.BecauseOf)
		}
	}
	advice, advised := w.plan.AdviceFor(id)
	r.Why = advice.Why
	if len(e.Offers) == 1 {
		o := e.Offers[0]
		r.Added, r.Alone = "+"+hours(o.Added.Hours()), hours(o.Alone.Hours())
		r.AddedCost, r.AloneCost = agreeCost(o.AddedCost, e.Currency), agreeCost(o.AloneCost, e.Currency)
		var brings []string
		for _, c := range o.Companions {
			brings = append(brings, lower(workTitle(w.plan, c)))
		}
		r.Brings = list(brings)
		if advised || w.needs.knows(id) {
			r.Weighed = w.weigh(o, advice)
		}
	}
	r.Share = w.share(id)
	if n, ok := w.s.Refused[id]; ok && !r.In {
		r.Refused = "Not wanted"
		if n.Body.Reason != "" {
			r.Refused += ": " + n.Body.Reason
		}
	}
	return r, nil
}

// share is the share of an item in the labour of the job, as if it were in.
func (w weigher) share(id string) string {
	e := w.e
	find := func() (string, bool) {
		items := slices.Concat(e.Wanted, e.Companions)
		var shares []float64
		for _, x := range items {
			shares = append(shares, x.Share)
		}
		for i, tenths := range scope.RoundShares(shares, 0.1) {
			if items[i].ID == id {
				return hours(float64(tenths) / 10), true
			}
		}
		return "", false
	}
	if x, ok := find(); ok {
		return x
	}
	var err error
	if e, err = w.plan.Estimate(scope.Request{Want: append(slices.Clone(w.draft), id)}); err != nil {
		return ""
	}
	x, _ := find()
	return x
}

func (w weigher) weigh(o scope.Offer, a scope.Advice) *WeighedView {
	chance, km := w.needs.Of(o.ID, a, odometer(w.s))
	within := ""
	if km > 0 {
		within = fmt.Sprintf(" within %.0f km", km)
	}
	n, err := w.plan.Weigh(o, chance)
	var toCome *scope.PriceToComeError
	if errors.As(err, &toCome) {
		return &WeighedView{Trouble: "A price is still to come, so now and later can’t be compared."}
	}
	if err != nil {
		return &WeighedView{Trouble: sentence(err.Error())}
	}
	v := &WeighedView{Now: money(amountWords(n.Now, w.plan.Currency), string(w.plan.Currency)), Later: money(amountWords(n.Later, w.plan.Currency), string(w.plan.Currency)),
		BreakEven: percentWords(n.BreakEven), BreakAt: 100 * min(n.BreakEven, 1), Source: n.Source, Assumed: n.Assumed}
	if n.BreakEven > 1 {
		v.Words = "On its own later it costs no more than now."
	} else {
		v.Words = fmt.Sprintf("Doing it now pays if the chance of needing it%s is more than %s.", within, v.BreakEven)
	}
	pays, known := n.PaysNow()
	if odometer(w.s) == nil && w.needs.knows(o.ID) {
		v.Words += " How long it lasts is known, but the distance on arrival is not on record."
	}
	if !known {
		v.Words += " No figure of how often it is needed is at hand."
		return v
	}
	v.Chance, v.ChanceAt = percentWords(*n.Chance), 100**n.Chance
	v.Expected = money(amountWords(*n.Expected, w.plan.Currency), string(w.plan.Currency))
	v.Words += " It is put at " + v.Chance + map[bool]string{true: ": now costs less on average.", false: ": waiting costs less on average."}[pays]
	return v
}

func percentWords(x float64) string {
	if math.IsInf(x, 1) || x > 1 {
		return "over 100 %"
	}
	return strconv.FormatFloat(100*x, 'f', 0, 64) + " %"
}

func workTitle(plan *scope.Plan, id string) string {
	if w, ok := plan.WorkByID(id); ok {
		return w.Title
	}
	return id
}

// WorkTitles are the titles of work, in words.
func WorkTitles(plan *scope.Plan, ids []string) string {
	var out []string
	for _, id := range ids {
		if plan == nil {
			out = append(out, id)
			continue
		}
		out = append(out, workTitle(plan, id))
	}
	return semicolons(out)
}

// agreeCost never says zero for a price that is to come.
func agreeCost(c scope.Cost, currency scope.Currency) string {
	if x, ok := c.Sum(); ok {
		return amountWords(x, currency)
	}
	return "price to come"
}

func sum(d *decimal.Decimal, currency scope.Currency) string {
	if d == nil {
		return "to come"
	}
	return amountWords(*d, currency)
}

func amountWords(d decimal.Decimal, currency scope.Currency) string {
	n := currency.MinorDigits()
	return d.Round(n).Pad(n).String()
}

// ChangePrice is what a change of the agreed work adds to the total, with tax;
// empty while a price is to come.
func ChangePrice(plan *scope.Plan, want []string, c ChangeFound) (string, error) {
	before, err := plan.Estimate(scope.Request{Want: want})
	if err != nil {
		return "", err
	}
	after, err := plan.Estimate(scope.Request{Want: c.applied(want)})
	if err != nil {
		return "", err
	}
	if before.Total == nil || after.Total == nil || len(after.PriceToCome) > 0 || len(before.PriceToCome) > 0 {
		return "", nil
	}
	d, err := after.Total.Sub(*before.Total)
	if err != nil {
		return "", err
	}
	return amountWords(d, plan.Currency), nil
}

// AgreedTotal is what the agreed work comes to with tax, nil while the rate is
// to come or nothing is agreed, and the parts whose price is to come.
func AgreedTotal(s State, plan *scope.Plan) (total *decimal.Decimal, toCome string) {
	_, e, ok := Agreed(s, plan)
	if !ok || e.Total == nil {
		return nil, ""
	}
	return e.Total, list(e.PriceToCome)
}
