// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"slices"

	"github.com/govalues/decimal"
)

// Consent is how somebody who may do so agreed. The name and the drawn
// signature are kept beside the log, so that they can be erased.
type Consent struct {
	On       string `json:"on"` // date
	How      string `json:"how"`
	Ceiling  string `json:"ceiling,omitempty"` // amount with tax that is not passed without asking again
	Currency string `json:"currency,omitempty"`
	// Signature is the commitment to who agreed: the name, and what was drawn.
	Signature string `json:"signature,omitempty"`
}

// ConsentWays are what Consent.How may be.
var ConsentWays = []string{"signed", "spoken", "written"}

func (c *Consent) check() error {
	err := firstError(checkDate("agreed on", c.On), checkOneOf("how", c.How, ConsentWays...), checkAmount("ceiling", c.Ceiling), checkLength("currency", c.Currency))
	if err == nil && c.Signature != "" {
		err = checkCommitment("signature", c.Signature)
	}
	if err == nil && c.How == "signed" && c.Signature == "" {
		err = errors.New("signed, and there is no signature: draw it, or choose spoken or written")
	}
	return err
}

func (c *Consent) apply(s *State, at At) {
	if c.Signature != "" {
		s.addBlob(at, c.Signature)
	}
}

// limit is "up to 4600.00 EUR, signed 2026-03-02".
func (c *Consent) limit() string {
	w := c.How + " " + c.On
	if c.Ceiling != "" {
		w = "up to " + money(c.Ceiling, c.Currency) + ", " + w
	}
	return w
}

// EstimateOffered is the estimate that was laid before the owner: what it
// starts from, and what is offered beside it. A later one replaces it.
type EstimateOffered struct {
	Want   []string `json:"want"`             // ids of work
	Offers []string `json:"offers,omitempty"` // ids of work
	Total  string   `json:"total,omitempty"`  // with tax, of what is wanted; empty: a price is to come
	Until  string   `json:"until,omitempty"`  // date up to which the prices hold
}

func (b *EstimateOffered) check() error {
	if len(b.Want) == 0 {
		return errors.New("no work is in the estimate: name work of the plan")
	}
	return firstError(checkIDs(b.Want), checkIDs(b.Offers), checkAmount("total", b.Total), checkMaybeDate("until", b.Until))
}

func (b *EstimateOffered) apply(s *State, at At) {
	s.Estimate = &Noted[EstimateOffered]{At: at, Body: *b}
}

func (b *EstimateOffered) words(PositionNamer) string {
	w := "Estimate prepared: " + list(b.Want)
	if len(b.Offers) > 0 {
		w += "; offered beside it: " + list(b.Offers)
	}
	if b.Total != "" {
		w += "; total " + b.Total
	}
	return w + "."
}

// AuthorityGiven says that the owner agreed to work up to an amount. It agrees
// the work that it names, and names what was offered and not wanted.
type AuthorityGiven struct {
	Consent
	Want    []string `json:"want,omitempty"` // ids of work of the plan
	Work    string   `json:"work,omitempty"` // in words, for a job without a plan
	Total   string   `json:"total,omitempty"`
	Refused []string `json:"refused,omitempty"` // ids of work that was offered
	Reason  string   `json:"reason,omitempty"`  // for refusing, if one was given
}

func (b *AuthorityGiven) check() error {
	if len(b.Want) == 0 && b.Work == "" {
		return errors.New("authority for nothing: name the work that is agreed")
	}
	return firstError(b.Consent.check(), checkText("ceiling", b.Ceiling), checkIDs(b.Want), checkLength("work", b.Work), checkAmount("total", b.Total),
		checkIDs(b.Refused), checkLength("reason", b.Reason))
}

func (b *AuthorityGiven) apply(s *State, at At) {
	b.Consent.apply(s, at)
	s.Authorities = append(s.Authorities, Noted[AuthorityGiven]{At: at, Body: *b})
	if len(b.Want) > 0 {
		s.Scope = &Noted[ScopeAgreed]{At: at, Body: ScopeAgreed{Want: slices.Clone(b.Want)}}
	}
	for _, w := range b.Refused {
		s.refuse(at, OfferRefused{Work: w, Reason: b.Reason})
	}
}

func (b *AuthorityGiven) words(PositionNamer) string {
	what := list(b.Want)
	if b.Work != "" {
		what = b.Work
	}
	w := "Authority given: " + what
	if b.Total != "" {
		w += ", estimated at " + money(b.Total, b.Currency)
	}
	w += "; " + b.limit() + "."
	if len(b.Refused) > 0 {
		w += " Not wanted: " + list(b.Refused) + "."
	}
	if b.Reason != "" {
		w += " " + b.Reason
	}
	return w
}

// OfferRefused says that the owner does not want work that was offered.
type OfferRefused struct {
	Work   string `json:"work"` // id of work of the plan
	Reason string `json:"reason,omitempty"`
}

func (b *OfferRefused) check() error {
	return firstError(checkText("work", b.Work), checkLength("reason", b.Reason))
}

func (b *OfferRefused) apply(s *State, at At) { s.refuse(at, *b) }

func (b *OfferRefused) words(PositionNamer) string {
	w := "Offered and not wanted: " + b.Work + "."
	if b.Reason != "" {
		w += " " + b.Reason
	}
	return w
}

func (s *State) refuse(at At, b OfferRefused) {
	if s.Refused == nil {
		s.Refused = map[string]Noted[OfferRefused]{}
	}
	s.Refused[b.Work] = Noted[OfferRefused]{At: at, Body: b}
}

func checkIDs(ids []string) error {
	for _, id := range ids {
		if err := checkText("work", id); err != nil {
			return err
		}
	}
	return nil
}

// checkAmount wants an amount of money that is not below zero, or nothing.
func checkAmount(what, got string) error {
	if got == "" {
		return nil
	}
	d, err := decimal.Parse(got)
	if err != nil || d.IsNeg() {
		return fmt.Errorf("%s %q: write an amount such as 4600 or 4600.00", what, got)
	}
	return nil
}

// checkPrice is [checkAmount] for what may also be below zero.
func checkPrice(what, got string) error {
	if got == "" {
		return nil
	}
	if _, err := decimal.Parse(got); err != nil {
		return fmt.Errorf("%s %q: write an amount such as 120.00, or -61.00 for less, or nothing while it is to come", what, got)
	}
	return nil
}

func money(amount, currency string) string {
	if amount == "" || currency == "" {
		return amount
	}
	return amount + " " + currency
}
