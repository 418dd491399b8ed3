// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"strconv"
	"strings"

	"witnessmark/scope"
)

// PlanView is an access plan to read, in words.
type PlanView struct {
	Family, Title, Edition string
	Invented               bool
	Facts                  []MoneyLine // title and amount only
	Operations             []PlanOperation
	Work                   []PlanWork
	Parts                  []PlanPart
	ToCome                 int // parts whose price is to come
	Warnings               []string
}

// PlanOperation is one thing that comes off and goes back on.
type PlanOperation struct {
	ID, Title, Strip, Refit, After, Disturbs, Tools, Caution string
}

// PlanWork is one piece of work, with what is advised about it.
type PlanWork struct {
	ID, Title, Hours, Needs, With, Parts, Tools, Caution string
	Advice                                               string
	Assumed                                              bool // the chance is a guess
}

// PlanPart is something to buy.
type PlanPart struct {
	ID, Title, Price, Lead, Other string
	ToCome                        bool
}

// ShowPlan puts a plan into words.
func ShowPlan(p *scope.Plan) PlanView {
	v := PlanView{Family: p.Family, Title: p.Title, Edition: p.Edition, Invented: p.Invented}
	rate := "to come"
	if p.LabourRate != nil {
		rate = money(amountWords(p.LabourRate.Amount, p.Currency), string(p.Currency)) + " an hour, without tax"
	}
	v.Facts = []MoneyLine{{Title: "Labour", Amount: rate}, {Title: "Tax", Amount: p.TaxPercent.String() + " %"}, {Title: "Source", Amount: p.Source}}
	operations := func(ids []string) string {
		return titlesOf(ids, func(id string) string { o, _ := p.OperationByID(id); return o.Title })
	}
	for _, o := range p.Operations {
		x := PlanOperation{ID: o.ID, Title: o.Title, Strip: hours(o.Strip.Hours()), Refit: hours(o.Refit.Hours()), After: operations(o.Needs), Tools: strings.Join(o.Tools, "; "), Caution: o.Caution}
		var disturbs []string
		for _, d := range o.Disturbs {
			disturbs = append(disturbs, lower(d.Name())+ofKind(d))
		}
		x.Disturbs = semicolons(disturbs)
		v.Operations = append(v.Operations, x)
	}
	for _, w := range p.Work {
		v.Work = append(v.Work, planWork(p, w, operations(w.Needs)))
	}
	for _, part := range p.Parts {
		x := planPart(p, part)
		if x.ToCome {
			v.ToCome++
		}
		v.Parts = append(v.Parts, x)
	}
	for _, w := range p.Warnings() {
		v.Warnings = append(v.Warnings, fmt.Sprintf("Line %d: %s. %s", w.Line, w.What, sentence(w.Want)))
	}
	return v
}

func ofKind(d scope.Disturbance) string {
	switch {
	case d.Part != "" && d.Kind != "":
		return " (" + d.Kind + ", renewed)"
	case d.Part != "":
		return " (renewed)"
	case d.Kind != "":
		return " (" + d.Kind + ")"
	}
	return ""
}

func planWork(p *scope.Plan, w scope.Work, needs string) PlanWork {
	x := PlanWork{ID: w.ID, Title: w.Title, Hours: hours(w.Hours.Hours()), Needs: needs, Tools: strings.Join(w.Tools, "; "), Caution: w.Caution,
		With: titlesOf(w.With, func(id string) string { return workTitle(p, id) })}
	var parts []string
	for _, u := range w.Parts {
		part, _ := p.PartByID(u.Part)
		n := "1"
		if u.Quantity != nil {
			n = plainDecimal(*u.Quantity)
		}
		parts = append(parts, n+" × "+lower(part.Title))
	}
	x.Parts = semicolons(parts)
	a, ok := p.AdviceFor(w.ID)
	if !ok {
		return x
	}
	said := []string{strings.TrimSuffix(a.Why, ".")}
	if a.BuiltUntil != nil {
		said = append(said, "built until "+a.BuiltUntil.String())
	}
	if a.DistanceFrom != nil {
		said = append(said, fmt.Sprintf("from %.0f km", a.DistanceFrom.Kilometres()))
	}
	if a.DistanceUntil != nil {
		said = append(said, fmt.Sprintf("up to %.0f km", a.DistanceUntil.Kilometres()))
	}
	if c := a.Chance; c != nil {
		x.Assumed = c.Assumed
		said = append(said, fmt.Sprintf("%s within %.0f km%s", percentWords(float64(c.Value)), c.Within.Kilometres(), ofSource(c.Source)))
	}
	x.Advice = semicolons(said)
	return x
}

func planPart(p *scope.Plan, part scope.Part) PlanPart {
	x := PlanPart{ID: part.ID, Title: part.Title, Price: priceToCome, ToCome: part.Price == nil, Lead: "not known"}
	if part.Price != nil {
		x.Price = money(amountWords(part.Price.Amount, p.Currency), string(p.Currency))
	}
	if l := part.Lead; l != nil {
		day := func(d scope.Days) string { return strconv.FormatFloat(float64(d), 'g', 4, 64) }
		x.Lead = day(l.Likely) + " days"
		if l.Least != l.Likely || l.Most != l.Likely {
			x.Lead += ", from " + day(l.Least) + " to " + day(l.Most)
		}
	}
	var other []string
	if len(part.Supersedes) > 0 {
		other = append(other, "in place of "+list(part.Supersedes))
	}
	if len(part.Alternatives) > 0 {
		other = append(other, "or "+titlesOf(part.Alternatives, func(id string) string { q, _ := p.PartByID(id); return q.Title }))
	}
	x.Other = semicolons(other)
	return x
}

// titlesOf are the titles of ids in small letters, parted by semicolons.
func titlesOf(ids []string, of func(string) string) string {
	var out []string
	for _, id := range ids {
		out = append(out, lower(of(id)))
	}
	return semicolons(out)
}
