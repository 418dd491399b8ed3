// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"
	"strconv"
)

// authority looks at what the owner agreed to. A job that no estimate was made
// for has none of these obstacles.
func (a *assessor) authority() {
	for _, c := range a.s.Changes {
		if c.Answer == nil {
			a.add(Obstacle{Code: ChangeOpen, Check: Handover, Of: strconv.FormatInt(c.At.Seq, 10), Title: c.Body.Title, RestsOn: []int64{c.At.Seq}})
		}
	}
	if a.s.Estimate != nil && Authority(a.s) == nil && len(a.s.Operations)+len(a.s.Time) > 0 {
		a.add(Obstacle{Code: AuthorityMissing, Check: Handover, RestsOn: []int64{a.s.Estimate.At.Seq}})
	}
	ceiling, currency, ok := AuthorityCeiling(a.s)
	account, has, err := AccountOf(a.s, a.b)
	if !ok || !has || err != nil || account.Actual.Total == nil {
		return
	}
	if other, seqs := otherCurrencies(a.s, string(account.Currency)); len(other) > 0 {
		a.add(Obstacle{Code: CurrencyMixed, Check: Handover, Items: []string{list(other), string(account.Currency)}, RestsOn: seqs})
	}
	if currency != "" && currency != string(account.Currency) {
		return
	}
	if ceiling.Less(*account.Actual.Total) {
		unit := " " + string(account.Currency)
		a.add(Obstacle{Code: OverCeiling, Check: Handover, Items: []string{account.Actual.Total.String() + unit, ceiling.String() + unit}, RestsOn: a.spentOn()})
	}
}

// otherCurrencies are those of the newest authority and of the changes accepted
// since that are not the plan's, with the entries.
func otherCurrencies(s State, own string) (currencies []string, seqs []int64) {
	look := func(currency string, seq int64) {
		if currency == "" || currency == own || own == "" {
			return
		}
		if !slices.Contains(currencies, currency) {
			currencies = append(currencies, currency)
		}
		seqs = append(seqs, seq)
	}
	newest := Authority(s)
	look(newest.Body.Currency, newest.At.Seq)
	for _, c := range acceptedSince(s, newest.At) {
		look(c.Answer.Body.Currency, c.Answer.At.Seq)
	}
	return currencies, seqs
}

// spentOn are the entries that an account rests on.
func (a *assessor) spentOn() []int64 {
	out := []int64{Authority(a.s).At.Seq}
	for _, t := range a.s.Time {
		out = append(out, t.At.Seq)
	}
	for _, p := range a.s.Parts {
		out = append(out, p.At.Seq)
	}
	return out
}
