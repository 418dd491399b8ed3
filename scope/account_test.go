// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"testing"

	"github.com/govalues/decimal"
)

const accountPlan = `
currency: EUR
labour_rate: 80
tax_percent: 20
operations:
  - {id: sump, title: Sump, strip: 1 h, refit: 1.5 h}
work:
  - {id: bearings, title: Bearings, hours: 4 h, needs: [sump], parts: [{part: shell, quantity: 8}, {part: seal, quantity: 1}]}
  - {id: mounts, title: Mounts, hours: 1 h}
parts:
  - {id: shell, title: Shell, price: 10.25, supersedes: shell_old, alternatives: [coated, plain]}
  - {id: coated, title: Coated shell, price: 15.40, supersedes: coated_old}
  - {id: plain, title: Plain shell}
  - {id: seal, title: Seal}
`

// TestAccount: by hand, 2.5 h + 4 h at 80 = 520.00, 8 × 10.25 = 82.00, tax
// 20 % of 602.00 = 120.40; actual 3 + 4.5 + 0.5 h = 640.00, 9 × 10.25 = 92.25,
// tax on 732.25 = 146.45.
func TestAccount(t *testing.T) {
	p, err := Load("plan.yaml", []byte(accountPlan))
	if err != nil {
		t.Fatal(err)
	}
	e, err := p.Estimate(Request{Want: []string{"bearings"}})
	if err != nil {
		t.Fatal(err)
	}
	a, err := p.Account(e, Used{
		Hours: map[string]Hours{"sump": HoursOf(3), "bearings": HoursOf(4.5), "mounts": HoursOf(0.5)},
		Parts: map[string]decimal.Decimal{"shell_old": decimal.MustParse("1"), "shell": decimal.MustParse("8"), "seal": decimal.MustParse("1")},
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		what      string
		got, want string
	}{
		{"estimated total", a.Estimated.Total.String(), "722.40"},
		{"actual labour", a.Actual.Labour.String(), "640.00"},
		{"actual parts", a.Actual.Parts.String(), "92.25"},
		{"actual tax", a.Actual.Tax.String(), "146.45"},
		{"actual total", a.Actual.Total.String(), "878.70"},
		{"hours", a.Actual.Hours.String(), "8 h"},
		{"over on the sump", a.Labour[0].Over().String(), "0.5 h"},
		{"title beyond", a.Labour[2].Title, "Mounts"},
	} {
		if c.got != c.want {
			t.Errorf("%s: %s, want %s", c.what, c.got, c.want)
		}
	}
	if !a.Labour[2].Beyond || a.Labour[0].Beyond {
		t.Errorf("beyond the estimate: %+v", a.Labour)
	}
	if len(a.Actual.PriceToCome) != 1 || a.Actual.PriceToCome[0] != "seal" {
		t.Errorf("price to come: %v", a.Actual.PriceToCome)
	}
	if n := a.Parts[0].Actual.String(); n != "9" {
		t.Errorf("a superseded number counts as the current one: %s shells", n)
	}
}

// TestAccountOfNothing: nothing used costs nothing, and the estimate stands.
func TestAccountOfNothing(t *testing.T) {
	p, err := Load("plan.yaml", []byte(accountPlan))
	if err != nil {
		t.Fatal(err)
	}
	e, err := p.Estimate(Request{Want: []string{"bearings"}})
	if err != nil {
		t.Fatal(err)
	}
	a, err := p.Account(e, Used{})
	if err != nil {
		t.Fatal(err)
	}
	if !a.Actual.Total.IsZero() || a.Estimated.Total.String() != e.Total.String() || len(a.Actual.PriceToCome) != 0 {
		t.Errorf("%+v", a)
	}
}

// By hand: 6 coated shells at 15.40 = 92.40 on a line of their own; 2 plain ones,
// which have no price, count as shells at 10.25.
func TestAccountOfAlternatives(t *testing.T) {
	p, err := Load("plan.yaml", []byte(accountPlan))
	if err != nil {
		t.Fatal(err)
	}
	e, err := p.Estimate(Request{Want: []string{"bearings"}})
	if err != nil {
		t.Fatal(err)
	}
	a, err := p.Account(e, Used{Parts: map[string]decimal.Decimal{"coated": decimal.MustParse("4"), "coated_old": decimal.MustParse("2"), "plain": decimal.MustParse("2")}})
	if err != nil {
		t.Fatal(err)
	}
	shell, coated := a.Parts[0], a.Parts[len(a.Parts)-1]
	if shell.ID != "shell" || shell.Actual.String() != "2" || shell.Line.String() != "20.50" {
		t.Errorf("shells: %+v", shell)
	}
	if coated.ID != "coated" || coated.Actual.String() != "6" || coated.Line.String() != "92.40" || coated.InPlaceOf != "Shell" {
		t.Errorf("coated: %+v", coated)
	}
	if a.Actual.Parts.String() != "112.90" {
		t.Errorf("parts %s", a.Actual.Parts)
	}
}
