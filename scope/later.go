// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"math"

	"github.com/govalues/decimal"
)

// NowOrLater weighs work done now, while access is there, against work done
// later, with the access to pay again.
type NowOrLater struct {
	Now   decimal.Decimal // cost if done now: what it adds
	Later decimal.Decimal // cost as a job of its own
	// BreakEven is Now/Later: above this chance of needing it within the
	// horizon, doing it now costs less on average. Above 1 it never does.
	BreakEven float64

	Chance   *float64         // of needing it within the horizon; nil: not known
	Assumed  bool             // the chance is an assumption, or rests on one
	Source   string           // of the chance, in words
	Expected *decimal.Decimal // Chance × Later, rounded; nil like Chance
}

// PaysNow says whether doing it now costs no more on average; known is false
// where no chance is known.
func (n NowOrLater) PaysNow() (pays, known bool) {
	if n.Chance == nil {
		return false, false
	}
	return *n.Chance >= n.BreakEven, true
}

// PriceToComeError says that no comparison is possible before a price is known.
type PriceToComeError struct{ Work string }

func (e *PriceToComeError) Error() string {
	return fmt.Sprintf("scope: %s: a price is still to come, so now and later can't be compared", e.Work)
}

// Weigh compares now and later for an offer. Both costs are without tax and at
// today's prices; no interest is taken. The chance may be nil.
//
// It returns a *[PriceToComeError] where the plan has no rate or a part has no
// price.
func (p *Plan) Weigh(o Offer, chance *LifeChance) (NowOrLater, error) {
	now, ok1 := o.AddedCost.Sum()
	later, ok2 := o.AloneCost.Sum()
	if !ok1 || !ok2 {
		return NowOrLater{}, &PriceToComeError{o.ID}
	}
	n := NowOrLater{Now: now, Later: later}
	a, _ := now.Float64()
	b, _ := later.Float64()
	switch {
	case b > 0:
		n.BreakEven = a / b
	case a > 0:
		n.BreakEven = math.Inf(1)
	}
	if chance == nil {
		return n, nil
	}
	c, err := decimal.NewFromFloat64(chance.Value)
	if err != nil || chance.Value < 0 || chance.Value > 1 {
		return n, fmt.Errorf("scope: chance %g is not from 0 to 1", chance.Value)
	}
	expected, err := lineCost(later, c, p.Currency)
	if err != nil {
		return n, err
	}
	n.Chance, n.Assumed, n.Source, n.Expected = &chance.Value, chance.Assumed, chance.Source, &expected
	return n, nil
}

// LifeChance is the chance that something is needed within a horizon.
type LifeChance struct {
	Value   float64
	Assumed bool
	Source  string
}

// Over returns the chance within another distance than the one it is known
// for, at a steady rate of need:
//
//	p(x) = 1 − (1 − p₀)^(x/x₀)
//
// The steady rate is an assumption, so the result is marked assumed unless the
// distances are the same. km is not negative.
func (c Chance) Over(km float64) LifeChance {
	out := LifeChance{Value: float64(c.Value), Assumed: c.Assumed, Source: c.Source}
	if x0 := c.Within.Kilometres(); km != x0 && x0 > 0 {
		out.Value = -math.Expm1(math.Log1p(-float64(c.Value)) * math.Max(km, 0) / x0)
		out.Assumed = true
		if km <= 0 {
			out.Value = 0
		}
	}
	return out
}

// Fits says whether advice is for a vehicle; what is not known of it (nil)
// excludes nothing.
func (a Advice) Fits(built *Date, km *float64) bool {
	switch {
	case a.BuiltUntil != nil && built != nil && built.After(a.BuiltUntil.Time):
		return false
	case a.DistanceFrom != nil && km != nil && *km < a.DistanceFrom.Kilometres():
		return false
	case a.DistanceUntil != nil && km != nil && *km > a.DistanceUntil.Kilometres():
		return false
	}
	return true
}
