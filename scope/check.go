// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"
)

// check holds the parts of a plan against each other: ids that are there, no
// circles, one currency.
func (d *decoder) check(p *Plan) {
	if p.Format != 1 {
		d.problemAt("format", fmt.Sprintf("format %d is not known", p.Format), "this program reads format 1")
	}
	d.checkIDs(p)
	p.graph = newGraph(p)
	d.checkReferences(p)
	d.checkParts(p)
	d.checkMoney(p)
	if circle := p.graph.sortOperations(); circle != nil {
		d.circle(p, circle)
		return
	}
	d.unreached(p)
}

func (d *decoder) checkIDs(p *Plan) {
	check := func(list, id string) {
		if strings.ContainsRune(id, ',') || utf8.RuneCountInString(id) > 64 {
			d.problemAt(list+".id "+id+".id", fmt.Sprintf("id %q has a comma or more than 64 letters", id), "write a short word, such as rod_bearings")
		}
	}
	for _, o := range p.Operations {
		check("operations", o.ID)
		for _, x := range o.Disturbs {
			if x.Kind != "" && !slices.Contains(DisturbanceKinds, x.Kind) {
				d.problemAt("operations.id "+o.ID+".disturbs", fmt.Sprintf("kind %q of %s is not known", x.Kind, x.ID),
					"write one of "+strings.Join(DisturbanceKinds, ", "))
			}
		}
	}
	for _, w := range p.Work {
		check("work", w.ID)
	}
}

func (d *decoder) checkReferences(p *Plan) {
	g := p.graph
	operations, work := slices.Sorted(maps.Keys(g.operation)), slices.Sorted(maps.Keys(g.work))
	for _, o := range p.Operations {
		for i, id := range o.Needs {
			if _, ok := g.operation[id]; !ok {
				d.unknownID(fmt.Sprintf("operations.id %s.needs.%d", o.ID, i+1), "operation", id,
					append(p.chainTo(o.ID), id), operations, work)
			}
		}
		for i, x := range o.Disturbs {
			path := fmt.Sprintf("operations.id %s.disturbs.%d", o.ID, i+1)
			if x.Part != "" {
				d.checkPart(p, path, x.Part, "operation "+o.ID)
			} else if x.Quantity != nil {
				d.problemAt(path, fmt.Sprintf("%s has a quantity but no part", x.ID), "add the key part, or leave quantity out")
			}
		}
	}
	for _, w := range p.Work {
		path := "work.id " + w.ID
		for i, id := range w.Needs {
			if _, ok := g.operation[id]; !ok {
				d.unknownID(fmt.Sprintf("%s.needs.%d", path, i+1), "operation", id, []string{w.ID, id}, operations, work)
			}
		}
		for i, id := range w.With {
			if _, ok := g.work[id]; !ok {
				d.unknownID(fmt.Sprintf("%s.with.%d", path, i+1), "work", id, []string{w.ID, id}, work, operations)
			}
		}
		for i, u := range w.Parts {
			d.checkPart(p, fmt.Sprintf("%s.parts.%d", path, i+1), u.Part, "work "+w.ID)
		}
	}
	seen := map[string]bool{}
	for i, a := range p.Advice {
		path := fmt.Sprintf("advice.%d", i+1)
		if _, ok := g.work[a.Work]; !ok {
			d.unknownID(path+".work", "work", a.Work, []string{"advice", a.Work}, work, operations)
		}
		if seen[a.Work] {
			d.problemAt(path, fmt.Sprintf("advice on %s is here twice", a.Work), "keep one of them")
		}
		seen[a.Work] = true
		if a.DistanceFrom != nil && a.DistanceUntil != nil && *a.DistanceFrom > *a.DistanceUntil {
			d.problemAt(path+".distance_until", "distance_until is below distance_from", "write the smaller as distance_from")
		}
		if a.Chance != nil && !(a.Chance.Within > 0) {
			d.problemAt(path+".chance.within", "the distance of a chance is not above zero", "write it as 60000 km")
		}
	}
}

// unknownID records an id that names nothing, with the chain that leads to it.
func (d *decoder) unknownID(path, kind, id string, chain, known, other []string) {
	want := "add it, or correct the id"
	if near := nearest(id, known); near != "" {
		want = "did you mean " + near + "?"
	} else if slices.Contains(other, id) {
		want = "operations come apart and go back and belong in needs; work belongs in with"
	}
	d.problemAt(path, fmt.Sprintf("%s: there is no %s %q", strings.Join(chain, " → "), kind, id), want)
}

// chainTo is a way from some work to an operation through needs, both ends
// named; from the operation itself if nothing needs it.
func (p *Plan) chainTo(operation string) []string {
	chain := []string{operation}
	seen := map[string]bool{operation: true}
	for {
		at := chain[0]
		if w, ok := find(p.Work, func(w Work) bool { return slices.Contains(w.Needs, at) }); ok {
			return slices.Insert(chain, 0, w.ID)
		}
		o, ok := find(p.Operations, func(o Operation) bool { return !seen[o.ID] && slices.Contains(o.Needs, at) })
		if !ok {
			return chain
		}
		seen[o.ID] = true
		chain = slices.Insert(chain, 0, o.ID)
	}
}

// circle records operations that need each other all round.
func (d *decoder) circle(p *Plan, circle []int) {
	var ids []string
	for _, i := range circle {
		ids = append(ids, p.Operations[i].ID)
	}
	from := p.Operations[circle[len(circle)-2]]
	i := slices.Index(from.Needs, ids[0])
	d.problemAt(fmt.Sprintf("operations.id %s.needs.%d", from.ID, i+1),
		"operations need each other in a circle: "+strings.Join(ids, " → "), "take one of these needs out")
}

// unreached warns of what no work ever comes to.
func (d *decoder) unreached(p *Plan) {
	s := make(set, len(p.Operations))
	used := map[string]bool{}
	use := func(id string) { used[id], used[p.graph.current(id)] = true, true }
	for w := range p.Work {
		p.graph.reach(w, s, nil)
		for _, u := range p.Work[w].Parts {
			use(u.Part)
		}
	}
	for i, o := range p.Operations {
		for _, x := range o.Disturbs {
			use(x.Part)
		}
		if !s[i] {
			d.warnAt("operations.id "+o.ID, fmt.Sprintf("no work needs operation %s", o.ID), "name it in the needs of some work, or take it out")
		}
	}
	for _, part := range p.Parts {
		if used[part.ID] {
			for _, id := range part.Alternatives {
				use(id)
			}
		}
	}
	for _, part := range p.Parts {
		if !used[part.ID] && p.graph.current(part.ID) == part.ID {
			d.warnAt("parts.id "+part.ID, fmt.Sprintf("no work uses part %s", part.ID), "name it in the parts of some work, or take it out")
		}
	}
}
