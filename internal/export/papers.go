// SPDX-License-Identifier: Apache-2.0

package export

import (
	"strings"

	"github.com/govalues/decimal"

	"witnessmark/scope"
)

// toCome stands where a price is not known yet: never a zero.
const toCome = "price to come"

// Estimate is what a job takes, line by line: operations, work with its
// companions, parts, the offers with what each would add, and the sums.
func Estimate(p *scope.Plan, e scope.Estimate) Table {
	t := Table{Name: "Estimate", Head: []string{"kind", "id", "title", "hours", "quantity", "price", "amount", "currency", "remark"}}
	cur := words(string(e.Currency))
	none := words("")
	for _, id := range e.Operations {
		o, _ := p.OperationByID(id)
		t.add(words("operation"), words(id), words(o.Title), hours(o.Hours()), none, none, none, none, none)
	}
	for i, item := range append(append([]scope.Item{}, e.Wanted...), e.Companions...) {
		w, _ := p.WorkByID(item.ID)
		kind, remark := "work", ""
		if i >= len(e.Wanted) {
			kind, remark = "companion", "goes along with "+item.BecauseOf
		}
		t.add(words(kind), words(item.ID), words(w.Title), hours(w.Hours), none, none, none, none, words(remark))
	}
	for _, l := range e.Parts {
		t.add(words("part"), words(l.ID), words(l.Title), none, number(l.Quantity), price(l.Price), price(l.Line), cur, words(strings.Join(l.For, ", ")))
	}
	for _, o := range e.Offers {
		w, _ := p.WorkByID(o.ID)
		sum := words(toCome)
		if s, ok := o.AddedCost.Sum(); ok {
			sum = number(s)
		}
		t.add(words("offer, not in the sums"), words(o.ID), words(w.Title), hours(o.Added), none, none, sum, cur, words(strings.Join(o.Companions, ", ")))
	}
	t.add(words("sum"), none, words("Labour"), hours(e.LabourHours), none, none, money(e.Labour), cur, none)
	t.add(words("sum"), none, words("Parts"), none, none, none, number(e.PartsTotal), cur, words(open(e.PriceToCome)))
	t.add(words("sum"), none, words("Tax"), none, none, none, money(e.Tax), cur, words(p.TaxPercent.String()+" %"))
	t.add(words("sum"), none, words("Total"), none, none, none, money(e.Total), cur, none)
	return t
}

// Parts is the list of parts to have in hand.
func Parts(e scope.Estimate) Table {
	t := Table{Name: "Parts", Head: []string{"part", "title", "quantity", "price", "amount", "currency", "for", "stands for"}}
	for _, l := range e.Parts {
		t.add(words(l.ID), words(l.Title), number(l.Quantity), price(l.Price), price(l.Line), words(string(e.Currency)), words(strings.Join(l.For, ", ")), words(strings.Join(l.Replaces, ", ")))
	}
	return t
}

// Account is the estimate beside what the job took.
func Account(a scope.Account) Table {
	t := Table{Name: "Account", Head: []string{"kind", "id", "title", "estimated", "actual", "difference", "unit", "remark"}}
	for _, l := range a.Labour {
		t.add(words("labour"), words(l.ID), words(l.Title), hours(l.Estimated), hours(l.Actual), hours(l.Over()), words("h"), beyond(l.Beyond))
	}
	for _, l := range a.Parts {
		remark := beyond(l.Beyond)
		if l.InPlaceOf != "" {
			remark.Text = "in place of " + l.InPlaceOf
		}
		if l.Price == nil {
			remark.Text = strings.TrimPrefix(remark.Text+", "+toCome, ", ")
		}
		t.add(words("part"), words(l.ID), words(l.Title), number(l.Estimated), number(l.Actual), less(&l.Actual, &l.Estimated), words("each"), remark)
	}
	t.add(words("sum"), words(""), words("Labour"), hours(a.Estimated.Hours), hours(a.Actual.Hours), hours(a.Actual.Hours-a.Estimated.Hours), words("h"), words(""))
	for _, s := range []struct {
		title             string
		estimated, actual *decimal.Decimal
	}{{"Labour", a.Estimated.Labour, a.Actual.Labour}, {"Parts", &a.Estimated.Parts, &a.Actual.Parts}, {"Tax", a.Estimated.Tax, a.Actual.Tax}, {"Total", a.Estimated.Total, a.Actual.Total}} {
		t.add(words("sum"), words(""), words(s.title), money(s.estimated), money(s.actual), less(s.actual, s.estimated), words(string(a.Currency)), words(""))
	}
	if len(a.Actual.PriceToCome) > 0 {
		t.add(words("note"), words(""), words(open(a.Actual.PriceToCome)), words(""), words(""), words(""), words(""), words(""))
	}
	return t
}

func open(parts []string) string {
	if len(parts) == 0 {
		return ""
	}
	return toCome + ", not in the sum: " + strings.Join(parts, ", ")
}

func beyond(b bool) Cell {
	if b {
		return words("not in the estimate")
	}
	return words("")
}

func price(d *decimal.Decimal) Cell {
	if d == nil {
		return words(toCome)
	}
	return amount(d)
}

// money is a sum, which may rest on a rate that nobody said.
func money(d *decimal.Decimal) Cell {
	if d == nil {
		return words("")
	}
	return amount(d)
}

func less(a, b *decimal.Decimal) Cell {
	if a == nil || b == nil {
		return words("")
	}
	d, err := a.Sub(*b)
	if err != nil {
		return words("")
	}
	return number(d)
}

// hours are shown to a hundredth.
func hours(h scope.Hours) Cell {
	d, err := decimal.NewFromFloat64(h.Hours())
	if err != nil {
		return words(h.String())
	}
	return number(d.Round(2).Pad(2))
}
