// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"strings"

	"github.com/govalues/decimal"

	"witnessmark/scope"
)

// EstimateView is what a job takes, in words and rounded numbers. Hours are to
// a hundredth; the shares shown add up to the labour shown.
type EstimateView struct {
	Sentence   string
	Work       []WorkLine
	Operations []WorkLine
	Parts      []MoneyLine
	Money      []MoneyLine // labour, parts, tax, total last
	ToCome     string      // parts without a price
	Offers     []OfferLine
}

// WorkLine is one piece of work, or one operation.
type WorkLine struct {
	ID, Title, Because string
	Own, Share, Alone  string
}

// MoneyLine is a line with its amount.
type MoneyLine struct{ Title, Quantity, Price, Amount string }

// OfferLine is one offer.
type OfferLine struct {
	ID, Title, Why, Brings, Later string
	Added, Now, Alone             string
}

const priceToCome = "price to come"

// ShowEstimate puts an estimate into words.
func ShowEstimate(plan *scope.Plan, e scope.Estimate) EstimateView {
	v := EstimateView{Sentence: fmt.Sprintf("%s of labour, %s.", hours(e.LabourHours.Hours()), countOf(len(e.Operations), "thing taken off and put back", "things taken off and put back"))}
	items := append(append([]scope.Item{}, e.Wanted...), e.Companions...)
	shares := make([]float64, len(items))
	for i, x := range items {
		shares[i] = x.Share
	}
	const step = 0.01 // h, as shown
	rounded := scope.RoundShares(shares, step)
	for i, x := range items {
		w, _ := plan.WorkByID(x.ID)
		line := WorkLine{ID: x.ID, Title: w.Title, Own: twoHours(w.Hours.Hours()), Share: twoHours(float64(rounded[i]) * step), Alone: twoHours(x.Alone.Hours())}
		if x.BecauseOf != "" {
			by, _ := plan.WorkByID(x.BecauseOf)
			line.Because = "goes along with " + lower(by.Title)
		}
		v.Work = append(v.Work, line)
	}
	for _, id := range e.Operations {
		o, _ := plan.OperationByID(id)
		v.Operations = append(v.Operations, WorkLine{ID: id, Title: o.Title, Own: twoHours(o.Hours().Hours())})
	}
	for _, l := range e.Parts {
		v.Parts = append(v.Parts, MoneyLine{Title: l.Title, Quantity: plainDecimal(l.Quantity), Price: moneyWords(l.Price, e.Currency, priceToCome), Amount: moneyWords(l.Line, e.Currency, priceToCome)})
	}
	v.Money = []MoneyLine{{Title: "Labour, " + twoHours(e.LabourHours.Hours()), Amount: moneyWords(e.Labour, e.Currency, "no rate is said")},
		{Title: "Parts", Amount: moneyWords(&e.PartsTotal, e.Currency, "")},
		{Title: "Tax, " + plan.TaxPercent.String() + " %", Amount: moneyWords(e.Tax, e.Currency, "no rate is said")},
		{Title: "Total with tax", Amount: moneyWords(e.Total, e.Currency, "no rate is said")}}
	if len(e.PriceToCome) > 0 {
		var titles []string
		for _, id := range e.PriceToCome {
			p, _ := plan.PartByID(id)
			titles = append(titles, p.Title)
		}
		v.ToCome = "Price to come, not in the total: " + strings.Join(titles, "; ") + "."
	}
	for _, o := range e.Offers {
		v.Offers = append(v.Offers, offerLine(plan, o, e.Currency))
	}
	return v
}

func offerLine(plan *scope.Plan, o scope.Offer, c scope.Currency) OfferLine {
	w, _ := plan.WorkByID(o.ID)
	advice, _ := plan.AdviceFor(o.ID)
	line := OfferLine{ID: o.ID, Title: w.Title, Why: advice.Why, Added: twoHours(o.Added.Hours()), Now: costWords(o.AddedCost, c), Alone: costWords(o.AloneCost, c)}
	if len(o.Companions) > 0 {
		var titles []string
		for _, id := range o.Companions {
			x, _ := plan.WorkByID(id)
			titles = append(titles, lower(x.Title))
		}
		line.Brings = "Brings along: " + strings.Join(titles, ", ") + "."
	}
	return line
}

func costWords(c scope.Cost, cur scope.Currency) string {
	sum, ok := c.Sum()
	if !ok {
		return priceToCome
	}
	return sum.String() + " " + string(cur)
}

func moneyWords(d *decimal.Decimal, c scope.Currency, none string) string {
	if d == nil {
		return none
	}
	return strings.TrimSpace(d.String() + " " + string(c))
}

func countOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
