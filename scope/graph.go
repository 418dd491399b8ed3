// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"slices"

	"github.com/govalues/decimal"
)

// graph is the plan with ids turned into places in its lists.
type graph struct {
	operation map[string]int
	needs     [][]int // of operations: operations
	order     []int   // all operations, each after what it needs
	work      map[string]int
	workNeeds [][]int // operations, directly
	with      [][]int
	parts     map[string]Part
	newer     map[string]string // superseded id: the part that takes its place
	renews    [][]use           // of operations
	takes     [][]use           // of work
}

// use is how many of a part, by its place in the plan's list.
type use struct {
	part     int
	quantity decimal.Decimal
}

func newGraph(p *Plan) *graph {
	g := &graph{operation: map[string]int{}, work: map[string]int{}, parts: map[string]Part{}, newer: map[string]string{}}
	for i, o := range slices.Backward(p.Operations) { // the first keeps an id that is twice
		g.operation[o.ID] = i
	}
	for i, w := range slices.Backward(p.Work) {
		g.work[w.ID] = i
	}
	for _, part := range p.Parts {
		g.parts[part.ID] = part
		for _, old := range part.Supersedes {
			g.newer[old] = part.ID
		}
	}
	for _, o := range p.Operations {
		g.needs = append(g.needs, places(g.operation, o.Needs))
	}
	for _, w := range p.Work {
		g.workNeeds = append(g.workNeeds, places(g.operation, w.Needs))
		g.with = append(g.with, places(g.work, w.With))
	}
	g.uses(p)
	return g
}

// uses finds which parts operations and work use; a superseded id counts as
// the part that is ordered today.
func (g *graph) uses(p *Plan) {
	at := make(map[string]int, len(p.Parts))
	for i, part := range p.Parts {
		at[part.ID] = i
	}
	add := func(uses []use, id string, quantity *decimal.Decimal) []use {
		if i, ok := at[g.current(id)]; ok {
			uses = append(uses, use{i, count(quantity)})
		}
		return uses
	}
	g.renews, g.takes = make([][]use, len(p.Operations)), make([][]use, len(p.Work))
	for i, o := range p.Operations {
		for _, x := range o.Disturbs {
			g.renews[i] = add(g.renews[i], x.Part, x.Quantity)
		}
	}
	for i, w := range p.Work {
		for _, x := range w.Parts {
			g.takes[i] = add(g.takes[i], x.Part, x.Quantity)
		}
	}
}

// places looks ids up; those that are not there are left out.
func places(index map[string]int, ids []string) []int {
	var out []int
	for _, id := range ids {
		if i, ok := index[id]; ok {
			out = append(out, i)
		}
	}
	return out
}

// current follows superseded ids to the part that is ordered today.
func (g *graph) current(id string) string {
	for range len(g.newer) + 1 { // a circle is a problem of its own
		newer, ok := g.newer[id]
		if !ok {
			return id
		}
		id = newer
	}
	return id
}

// sortOperations finds the order in which everything stands after what it
// needs, near the order of the plan. It returns a circle, the first operation
// again at its end, if there is one.
func (g *graph) sortOperations() (circle []int) {
	const fresh, open, done = 0, 1, 2
	state := make([]int, len(g.needs))
	var path []int
	var visit func(i int) bool
	visit = func(i int) bool {
		if state[i] == done {
			return true
		}
		path = append(path, i)
		if state[i] == open {
			return false
		}
		state[i] = open
		for _, j := range g.needs[i] {
			if !visit(j) {
				return false
			}
		}
		path = path[:len(path)-1]
		state[i] = done
		g.order = append(g.order, i)
		return true
	}
	for i := range g.needs {
		if !visit(i) {
			end := path[len(path)-1]
			for path[0] != end {
				path = path[1:]
			}
			return path
		}
	}
	return nil
}

// set is operations, by place.
type set []bool

// reach marks every operation that a piece of work needs, directly or through
// others, in s, and calls each for those that were not marked.
func (g *graph) reach(work int, s set, each func(operation int)) {
	var visit func(i int)
	visit = func(i int) {
		if s[i] {
			return
		}
		s[i] = true
		if each != nil {
			each(i)
		}
		for _, j := range g.needs[i] {
			visit(j)
		}
	}
	for _, i := range g.workNeeds[work] {
		visit(i)
	}
}

// together returns the pieces of work and all that must go along, in the order
// in which they were met, and for each that was not asked for the one that
// brought it.
func (g *graph) together(asked []int) (all []int, because map[int]int) {
	because = map[int]int{}
	in := make([]bool, len(g.with))
	for _, w := range asked {
		if !in[w] {
			in[w] = true
			all = append(all, w)
		}
	}
	for next := 0; next < len(all); next++ {
		for _, w := range g.with[all[next]] {
			if !in[w] {
				in[w] = true
				because[w] = all[next]
				all = append(all, w)
			}
		}
	}
	return all, because
}

// labour is every operation that the work needs once, and its own hours.
func (p *Plan) labour(work []int) Hours {
	s := make(set, len(p.Operations))
	var sum Hours
	for _, w := range work {
		sum += p.Work[w].Hours
		p.graph.reach(w, s, func(i int) { sum += p.Operations[i].Hours() })
	}
	return sum
}
