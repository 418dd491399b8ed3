// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// checkPart holds a use of a part against the list of parts. A superseded
// number counts as there.
func (d *decoder) checkPart(p *Plan, path, id, user string) {
	g := p.graph
	if _, ok := g.parts[g.current(id)]; ok {
		return
	}
	want := "add it to parts, or correct the id"
	if near := nearest(id, slices.Sorted(maps.Keys(g.parts))); near != "" {
		want = "did you mean " + near + "?"
	}
	d.problemAt(path, fmt.Sprintf("%s → %s: there is no part %q", user, id, id), want)
}

// checkParts follows alternatives and superseded numbers.
func (d *decoder) checkParts(p *Plan) {
	heirs := map[string]string{}
	for _, part := range p.Parts {
		path := "parts.id " + part.ID
		for i, id := range part.Alternatives {
			at := fmt.Sprintf("%s.alternatives.%d", path, i+1)
			if id == part.ID {
				d.problemAt(at, fmt.Sprintf("part %s is its own alternative", id), "take it out")
				continue
			}
			d.checkPart(p, at, id, "part "+part.ID)
		}
		for i, old := range part.Supersedes {
			at := fmt.Sprintf("%s.supersedes.%d", path, i+1)
			if heir, twice := heirs[old]; twice {
				d.problemAt(at, fmt.Sprintf("part %s is superseded by %s and by %s", old, heir, part.ID), "keep one of them, and make the other an alternative")
			}
			heirs[old] = part.ID
		}
		if ring := p.graph.ring(part.ID); ring != nil {
			d.problemAt(path+".supersedes", "parts supersede each other in a circle: "+strings.Join(ring, " → "), "take one of them out")
		}
	}
}

// ring returns the circle of superseded ids that id is on, if it is.
func (g *graph) ring(id string) []string {
	chain := []string{id}
	for at := g.newer[id]; at != ""; at = g.newer[at] {
		chain = append(chain, at)
		if at == id {
			return chain
		}
		if len(chain) > len(g.newer) {
			break
		}
	}
	return nil
}

// checkMoney holds every currency that is named against the plan's. A plan
// that names none beside its prices takes the one that they agree on.
func (d *decoder) checkMoney(p *Plan) {
	named := p.Currency
	from := "the currency of the plan"
	hold := func(path, what string, price *Price) {
		switch {
		case price == nil || price.Currency == "":
		case named == "":
			named, from = price.Currency, "that of "+what
		case price.Currency != named:
			d.problemAt(path, fmt.Sprintf("%s is in %s, and %s is %s", what, price.Currency, from, named),
				"write all prices of a plan in one currency")
		}
	}
	hold("labour_rate", "labour_rate", p.LabourRate)
	for _, part := range p.Parts {
		hold("parts.id "+part.ID+".price", "the price of "+part.ID, part.Price)
	}
	p.Currency = named
}
