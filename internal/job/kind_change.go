// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"slices"
	"strings"
)

// StopPoint is where the work stops until the owner was asked, agreed
// beforehand, with the routes from there, each priced apart. One of the same
// occasion replaces the earlier one.
type StopPoint struct {
	When   string  `json:"when"` // such as "a journal is damaged"
	Then   string  `json:"then"` // such as "stop, photograph, call"
	Routes []Route `json:"routes,omitempty"`
}

// Route is one way to go on from a stop point.
type Route struct {
	Title string `json:"title"`
	Price string `json:"price,omitempty"` // what it adds, with tax; empty: still to come
}

func (b *StopPoint) check() error {
	for _, r := range b.Routes {
		if err := firstError(checkText("route", r.Title), checkPrice("price of "+r.Title, r.Price)); err != nil {
			return err
		}
	}
	return firstError(checkText("when to stop", b.When), checkText("what to do then", b.Then))
}

func (b *StopPoint) apply(s *State, at At) {
	s.Stops = slices.DeleteFunc(slices.Clone(s.Stops), func(n Noted[StopPoint]) bool { return n.Body.When == b.When })
	s.Stops = append(s.Stops, Noted[StopPoint]{At: at, Body: *b})
}

func (b *StopPoint) words(PositionNamer) string {
	w := "Stop point: " + b.When + ": " + strings.TrimSuffix(b.Then, ".") + "."
	var routes []string
	for _, r := range b.Routes {
		routes = append(routes, r.Title+", "+orToCome(r.Price))
	}
	if len(routes) > 0 {
		w += " Routes: " + strings.Join(routes, "; ") + "."
	}
	return w
}

// ChangeFound is a finding that changes the work: its reason, what it adds to
// or takes from the work, and its price. It counts once it is accepted.
type ChangeFound struct {
	Title    string   `json:"title"`
	Why      string   `json:"why"`
	Add      []string `json:"add,omitempty"`    // ids of work of the plan
	Remove   []string `json:"remove,omitempty"` // ids of work of the plan
	Price    string   `json:"price,omitempty"`  // what it adds to the total, with tax; empty: still to come
	Currency string   `json:"currency,omitempty"`
	Photos   []string `json:"photos,omitempty"`
}

func (b *ChangeFound) check() error {
	return firstError(checkText("what changes", b.Title), checkText("why", b.Why), checkIDs(b.Add), checkIDs(b.Remove), checkPrice("price", b.Price),
		checkLength("currency", b.Currency), checkCommitments("photo", b.Photos))
}

func (b *ChangeFound) apply(s *State, at At) {
	s.Changes = append(s.Changes, ChangeState{Noted: Noted[ChangeFound]{At: at, Body: *b}})
	s.addPhotos(at, b.Photos)
}

func (b *ChangeFound) words(PositionNamer) string {
	w := "Change proposed: " + b.Title + ", " + orToCome(money(b.Price, b.Currency)) + ". " + strings.TrimSuffix(b.Why, ".") + "."
	if len(b.Add) > 0 {
		w += " Adds " + list(b.Add) + "."
	}
	if len(b.Remove) > 0 {
		w += " Takes out " + list(b.Remove) + "."
	}
	return w
}

// ChangeAnswered is what the owner said to a change, with its own authority.
type ChangeAnswered struct {
	Change int64  `json:"change"` // entry of the change
	Answer string `json:"answer"` // accepted or refused
	Reason string `json:"reason,omitempty"`
	Consent
}

func (b *ChangeAnswered) check() error {
	if b.Change < 1 {
		return fmt.Errorf("change %d: name the entry of the change", b.Change)
	}
	return firstError(checkOneOf("answer", b.Answer, "accepted", "refused"), checkLength("reason", b.Reason), b.Consent.check())
}

func (b *ChangeAnswered) apply(s *State, at At) {
	b.Consent.apply(s, at)
	i := slices.IndexFunc(s.Changes, func(c ChangeState) bool { return c.At.Seq == b.Change })
	if i < 0 {
		return
	}
	s.Changes[i].Answer = &Noted[ChangeAnswered]{At: at, Body: *b}
	c := s.Changes[i].Body
	if b.Answer == "accepted" && len(c.Add)+len(c.Remove) > 0 {
		var before []string
		if s.Scope != nil {
			before = s.Scope.Body.Want
		}
		s.Scope = &Noted[ScopeAgreed]{At: at, Body: ScopeAgreed{Want: c.applied(before)}}
	}
}

func (b *ChangeAnswered) words(PositionNamer) string {
	w := fmt.Sprintf("Change of entry %d %s, %s.", b.Change, b.Answer, b.limit())
	if b.Reason != "" {
		w += " " + b.Reason
	}
	return w
}

// ChangeState is a change and the answer to it.
type ChangeState struct {
	Noted[ChangeFound]
	Answer *Noted[ChangeAnswered] // nil: not asked yet
}

// Accepted reports whether the owner agreed to the change.
func (c ChangeState) Accepted() bool { return c.Answer != nil && c.Answer.Body.Answer == "accepted" }

// applied is the work after the change.
func (b *ChangeFound) applied(want []string) []string {
	out := slices.DeleteFunc(slices.Clone(want), func(w string) bool { return slices.Contains(b.Remove, w) })
	for _, w := range b.Add {
		if !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}

func orToCome(price string) string {
	if price == "" {
		return "price to come"
	}
	return price
}
