// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"

	"github.com/govalues/decimal"
)

// Authority is the newest authority for the work, nil if none was given.
func Authority(s State) *Noted[AuthorityGiven] {
	if len(s.Authorities) == 0 {
		return nil
	}
	return &s.Authorities[len(s.Authorities)-1]
}

// AuthorityCeiling is the amount with tax that the owner agreed to: the
// newest authority's, and with it those of the changes accepted since. It is
// nil, false without authority.
func AuthorityCeiling(s State) (ceiling decimal.Decimal, currency string, ok bool) {
	a := Authority(s)
	if a == nil {
		return ceiling, "", false
	}
	ceiling, err := decimal.Parse(a.Body.Ceiling)
	if err != nil {
		return ceiling, "", false
	}
	for _, c := range acceptedSince(s, a.At) {
		if other := c.Answer.Body.Currency; other != "" && a.Body.Currency != "" && other != a.Body.Currency {
			continue // amounts of two currencies are not added up
		}
		more, err := decimal.Parse(c.Answer.Body.Ceiling)
		if err != nil { // agreed without an amount of its own: its price is the amount
			if more, err = decimal.Parse(c.Body.Price); err != nil || more.IsNeg() {
				continue
			}
		}
		if sum, err := ceiling.Add(more); err == nil {
			ceiling = sum
		}
	}
	return ceiling, a.Body.Currency, true
}

// AuthorisedWork is the work of the plan that the owner gave authority for:
// that of the newest authority with the changes accepted since. ok is false
// without authority.
func AuthorisedWork(s State) (want []string, ok bool) {
	a := Authority(s)
	if a == nil {
		return nil, false
	}
	want = slices.Clone(a.Body.Want)
	for _, c := range acceptedSince(s, a.At) {
		want = c.Body.applied(want)
	}
	return want, true
}

// acceptedSince are the changes that were accepted after an authority.
func acceptedSince(s State, at At) []ChangeState {
	var out []ChangeState
	for _, c := range s.Changes {
		if c.Accepted() && c.Answer.At.Seq > at.Seq {
			out = append(out, c)
		}
	}
	return out
}
