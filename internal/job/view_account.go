// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"strings"

	"github.com/govalues/decimal"

	"witnessmark/scope"
)

// AccountView is the estimate beside what the job took, in words.
type AccountView struct {
	Sentence string
	Hours    []AccountRow // one a line of labour, the sum last
	Parts    []AccountRow
	Money    []AccountRow // labour, parts, tax, total
	ToCome   string       // parts whose price is still to come
	Untimed  bool         // nobody wrote time down
}

// AccountRow is one line: estimated, actual, and what actual is more (+) or
// less (−).
type AccountRow struct {
	Title                     string
	Estimated, Actual, Differ string
	Beyond                    bool   // the estimate does not have it
	Remark                    string // in place of what, or that the estimate does not have it
	More                      bool   // actual is more
}

// ShowAccount puts an account into words.
func ShowAccount(a scope.Account) AccountView {
	v := AccountView{Untimed: a.Actual.Hours == 0}
	for _, l := range a.Labour {
		v.Hours = append(v.Hours, hoursRow(l.Title, l.Estimated, l.Actual, l.Beyond))
	}
	v.Hours = append(v.Hours, hoursRow("All labour", a.Estimated.Hours, a.Actual.Hours, false))
	for _, l := range a.Parts {
		remark := ""
		switch {
		case l.InPlaceOf != "":
			remark = "in place of " + lower(l.InPlaceOf)
		case l.Beyond:
			remark = notEstimated
		}
		v.Parts = append(v.Parts, AccountRow{Title: l.Title, Remark: remark, Estimated: plainDecimal(l.Estimated), Actual: plainDecimal(l.Actual),
			Differ: signed(l.Actual, l.Estimated, ""), Beyond: l.Beyond, More: l.Estimated.Less(l.Actual)})
	}
	unit := " " + string(a.Currency)
	for _, m := range []struct {
		title             string
		estimated, actual *decimal.Decimal
	}{{"Labour", a.Estimated.Labour, a.Actual.Labour}, {moneyParts, &a.Estimated.Parts, &a.Actual.Parts}, {"Tax", a.Estimated.Tax, a.Actual.Tax}, {"Total", a.Estimated.Total, a.Actual.Total}} {
		if m.estimated == nil || m.actual == nil {
			continue
		}
		v.Money = append(v.Money, AccountRow{Title: m.title, Estimated: m.estimated.String() + unit, Actual: m.actual.String() + unit,
			Differ: signed(*m.actual, *m.estimated, unit), More: m.estimated.Less(*m.actual)})
	}
	if list := a.Actual.PriceToCome; len(list) > 0 {
		v.ToCome = "Price to come, not in the sums: " + strings.Join(list, ", ") + "."
	}
	if v.Untimed {
		v.withoutTime()
	}
	v.Sentence = accountSentence(a)
	return v
}

// withoutTime leaves open what hangs on time that nobody wrote down: none
// written is not none worked.
func (v *AccountView) withoutTime() {
	open := func(r *AccountRow) { r.Actual, r.Differ, r.More = "–", "–", false }
	for i := range v.Hours {
		open(&v.Hours[i])
	}
	for i := range v.Money {
		if v.Money[i].Title != moneyParts {
			open(&v.Money[i])
		}
	}
}

const moneyParts = "Parts"

func accountSentence(a scope.Account) string {
	over := a.Actual.Hours - a.Estimated.Hours
	w := fmt.Sprintf("%s estimated, %s worked", hours(a.Estimated.Hours.Hours()), hours(a.Actual.Hours.Hours()))
	if a.Actual.Hours == 0 {
		w = hours(a.Estimated.Hours.Hours()) + " estimated; nobody wrote down the time that it took"
	} else if over == 0 {
		w += ", as estimated"
	}
	if a.Estimated.Total == nil || a.Actual.Total == nil {
		return w + "."
	}
	d, err := a.Actual.Total.Sub(*a.Estimated.Total)
	if err != nil || a.Actual.Hours == 0 {
		return w + "."
	}
	unit := " " + string(a.Currency)
	switch {
	case d.IsPos():
		return w + ". With parts and tax it came to " + a.Actual.Total.String() + unit + ", " + d.String() + unit + " more than the estimate."
	case d.IsNeg():
		return w + ". With parts and tax it came to " + a.Actual.Total.String() + unit + ", " + d.Abs().String() + unit + " less than the estimate."
	}
	return w + ". With parts and tax it came to " + a.Actual.Total.String() + unit + ", as estimated."
}

const notEstimated = "not in the estimate"

func hoursRow(title string, estimated, actual scope.Hours, beyond bool) AccountRow {
	return AccountRow{Title: title, Remark: map[bool]string{true: notEstimated}[beyond], Estimated: twoHours(estimated.Hours()), Actual: twoHours(actual.Hours()), Differ: twoSigned((actual - estimated).Hours()), Beyond: beyond, More: actual > estimated}
}

func twoHours(h float64) string { return fmt.Sprintf("%.2f h", h) }

func twoSigned(h float64) string {
	w := fmt.Sprintf("%.2f h", max(h, -h))
	switch {
	case w == "0.00 h":
		return "0"
	case h < 0:
		return "−" + w
	}
	return "+" + w
}

func signed(actual, estimated decimal.Decimal, unit string) string {
	d, err := actual.Sub(estimated)
	switch {
	case err != nil || d.IsZero():
		return "0"
	case d.IsNeg():
		return "−" + plainDecimal(d.Abs()) + unit
	}
	return "+" + plainDecimal(d) + unit
}

// plainDecimal leaves money its digits and takes needless ones from counts.
func plainDecimal(d decimal.Decimal) string {
	if d.Scale() == 2 && !d.IsInt() {
		return d.String()
	}
	return d.Trim(0).String()
}
