// SPDX-License-Identifier: Apache-2.0

package job

import (
	"testing"

	"witnessmark/units"
)

// Work without authority, work that was not agreed, more than was agreed to and
// a change that nobody answered stand in the way of handing over.
func TestWhatTheOwnerAgreedTo(t *testing.T) {
	l, b := byPlan(t, "rod_bearings")
	spend := func(on, text string) {
		h, err := units.Parse(units.KindHours, text, units.UnitHour)
		if err != nil {
			t.Fatal(err)
		}
		l.add("time_spent", TimeSpent{On: on, Hours: &h})
	}
	l.holds(b, "agreed, nothing done")
	l.add("estimate_offered", EstimateOffered{Want: []string{"rod_bearings"}})
	l.holds(b, "offered, nothing done")
	spend("rod_bearings", "2 h")
	l.holds(b, "done without authority", "authority_missing")
	spend("timing_chain", "1 h")
	l.holds(b, "and beyond the scope", "authority_missing", "work_not_agreed/timing_chain")
	// 3 h at 96.00 and 20 % tax are 345.60.
	l.add("authority_given", AuthorityGiven{Consent: Consent{On: "2026-03-02", How: "spoken", Ceiling: "340", Currency: "EUR"}, Want: []string{"rod_bearings", "timing_chain"}})
	l.holds(b, "up to less than what was done", "over_ceiling")
	found := l.add("change_found", ChangeFound{Title: "A guide was broken", Why: "Seen when the cover was off", Price: "30", Currency: "EUR"})
	l.holds(b, "a change nobody answered", "over_ceiling", "change_not_answered/7")
	l.add("change_answered", ChangeAnswered{Change: found, Answer: "accepted", Consent: Consent{On: "2026-03-03", How: "spoken", Ceiling: "30", Currency: "EUR"}})
	l.holds(b, "answered, with its amount")
}

// Amounts in two currencies are never added up or compared in silence: an
// authority or a change in another currency than the plan's stands in the way.
func TestCurrenciesAreNotMixed(t *testing.T) {
	l, b := byPlan(t, "rod_bearings")
	h, err := units.Parse(units.KindHours, "9 h", units.UnitHour)
	if err != nil {
		t.Fatal(err)
	}
	l.add("time_spent", TimeSpent{On: "rod_bearings", Hours: &h}) // 1036.80 EUR with tax, by hand
	agree := func(ceiling, currency string) {
		l.add("authority_given", AuthorityGiven{Consent: Consent{On: "2026-03-02", How: "spoken", Ceiling: ceiling, Currency: currency}, Want: []string{"rod_bearings"}})
	}
	agree("5000", "GBP")
	l.holds(b, "authority in another currency", "currency_mixed")
	agree("900", "EUR")
	l.holds(b, "in the plan's", "over_ceiling")
	found := l.add("change_found", ChangeFound{Title: "A guide was broken", Why: "Seen", Price: "200", Currency: "EUR"})
	l.add("change_answered", ChangeAnswered{Change: found, Answer: "accepted", Consent: Consent{On: "2026-03-03", How: "spoken", Ceiling: "200", Currency: "GBP"}})
	l.holds(b, "a change answered in another", "currency_mixed", "over_ceiling")
}
