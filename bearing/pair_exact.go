// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// choice is one fit by classes (need, upper, lower), what it costs and what it
// costs beyond the bound, scaled.
type choice struct {
	class   [3]int32
	cost    int64
	reduced int64
}

// exact is the search through all assignments whose cost can still be below
// the best: choices that the bound rules out are gone before it starts, states
// seen before at no greater cost are not entered again.
type exact struct {
	p       *problem
	d       *dual
	best    int64         // cost to beat
	kinds   int           // kinds of which every member must be placed: 1 or 3
	choices [3][][]choice // per kind and class: the cheapest beyond the bound first
	left    [3][]int      // positions, uppers and lowers left, per class
	open    int           // positions left
	cost    int64         // so far
	reduced int64
	seen    map[[2]uint64]int64
	state   [2]uint64
	key     [3][][2]uint64
	steps   int64
	picked  []choice
	found   []choice // the best assignment found
	first   bool     // the first assignment found is enough
}

// maxSeen bounds the memory of states seen; nodeSteps is what looking one up is
// worth in steps.
const (
	maxSeen   = 1 << 18
	nodeSteps = 20
)

func newExact(d *dual, best int64) *exact {
	p := d.p
	e := &exact{p: p, d: d, best: best, kinds: 1, open: p.n, seen: map[[2]uint64]int64{}}
	if p.exact {
		e.kinds = 3
	}
	e.left[0] = make([]int, len(d.needs))
	for _, row := range d.row {
		e.left[0][row]++
	}
	for k, list := range [][]class{p.u, p.l} {
		for _, c := range list {
			e.left[k+1] = append(e.left[k+1], c.count)
		}
	}
	r := rand.New(rand.NewPCG(2, 3))
	for k := range e.key {
		e.choices[k] = make([][]choice, len(e.left[k]))
		for range e.left[k] {
			e.key[k] = append(e.key[k], [2]uint64{r.Uint64(), r.Uint64()})
		}
	}
	e.listChoices()
	return e
}

// listChoices lists the fits that can be part of an assignment below the best.
func (e *exact) listChoices() {
	var list []choice
	for i, row := range e.d.row {
		if i > 0 && row == e.d.row[i-1] {
			continue
		}
		for u := range e.p.u {
			for l := range e.p.l {
				if !e.p.may(u, l) {
					continue
				}
				c := choice{class: [3]int32{int32(row), int32(u), int32(l)}}
				c.cost = e.d.g.cost(e.p.need[i] - e.p.u[u].wall - e.p.l[l].wall)
				c.reduced = c.cost*scale + e.d.best[u] - e.d.alpha[i] - e.d.beta[l]
				if !e.ruledOut(c.reduced) && c.cost < e.best {
					list = append(list, c)
				}
			}
		}
		e.steps += int64(len(e.p.u) * len(e.p.l))
	}
	slices.SortStableFunc(list, func(a, b choice) int { return cmp.Compare(a.reduced, b.reduced) })
	for _, c := range list {
		for k := range e.kinds {
			e.choices[k][c.class[k]] = append(e.choices[k][c.class[k]], c)
		}
	}
}

// ruledOut says that going so far beyond the bound can't end below the best.
func (e *exact) ruledOut(beyond int64) bool {
	return e.d.bound+beyond > (e.best-e.p.squaresStep(e.d.g))*scale
}

// run searches; false if the steps ended first.
func (e *exact) run(steps int64) bool {
	end := e.steps + steps
	return e.dive(end)
}

func (e *exact) dive(end int64) bool {
	if e.cost >= e.best {
		return true
	}
	if e.open == 0 {
		e.best = e.cost
		e.found = slices.Clone(e.picked)
		return true
	}
	if before, ok := e.seen[e.state]; ok && before <= e.cost {
		return true
	}
	list, ok := e.narrowest()
	if !ok {
		return true
	}
	for i := range list {
		c := &list[i]
		if e.steps > end {
			return false
		}
		if e.ruledOut(e.reduced + c.reduced) {
			break
		}
		if !e.has(c) {
			continue
		}
		e.put(c, -1)
		whole := e.dive(end)
		e.put(c, +1)
		if !whole {
			return false
		}
		if e.first && e.found != nil {
			return true
		}
	}
	if len(e.seen) < maxSeen {
		e.seen[e.state] = e.cost
	}
	return true
}

// has says whether all three members of a fit are still there.
func (e *exact) has(c *choice) bool {
	return e.left[0][c.class[0]] > 0 && e.left[1][c.class[1]] > 0 && e.left[2][c.class[2]] > 0
}

// put takes a choice (by −1) or gives it back (by +1).
func (e *exact) put(c *choice, by int) {
	for k, class := range c.class {
		e.left[k][class] += by
		e.state[0] += uint64(by) * e.key[k][class][0]
		e.state[1] += uint64(by) * e.key[k][class][1]
	}
	e.open += by
	e.cost -= int64(by) * c.cost
	e.reduced -= int64(by) * c.reduced
	if by < 0 {
		e.picked = append(e.picked, *c)
	} else {
		e.picked = e.picked[:len(e.picked)-1]
	}
}

// narrowest returns the choices of the class, of any kind, with the fewest left;
// false if one has none or the cheapest choices of all are ruled out together.
func (e *exact) narrowest() (list []choice, ok bool) {
	fewest := 0
	e.steps += nodeSteps
	for k := range e.kinds {
		least := e.reduced
		for class, left := range e.left[k] {
			if left == 0 {
				continue
			}
			n := 0
			for i := range e.choices[k][class] {
				c := &e.choices[k][class][i]
				e.steps++
				if !e.has(c) {
					continue
				}
				if e.ruledOut(e.reduced + c.reduced) {
					break
				}
				if n == 0 {
					least += int64(left) * c.reduced
				}
				if n++; list != nil && n >= fewest {
					break
				}
			}
			if n == 0 {
				return nil, false
			}
			if list == nil || n < fewest {
				list, fewest = e.choices[k][class], n
			}
		}
		if e.ruledOut(least) {
			return nil, false
		}
	}
	return list, true
}

// assignment turns the best found into one of the open positions.
func (e *exact) assignment() *assignment {
	a := &assignment{u: make([]int32, e.p.n), l: make([]int32, e.p.n), largest: e.p.fixedMax}
	next := make([]int, len(e.d.needs))
	for i := e.p.n - 1; i >= 0; i-- {
		next[e.d.row[i]] = i
	}
	for _, c := range e.found {
		i := next[c.class[0]]
		next[c.class[0]]++
		a.u[i], a.l[i] = c.class[1], c.class[2]
		departure := e.p.need[i] - e.p.u[a.u[i]].wall - e.p.l[a.l[i]].wall
		a.largest = max(a.largest, abs(departure))
		a.ss += departure * departure
	}
	return a
}
