// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// fitting of one class of need: a class of upper and of lower, what it costs and
// what it costs beyond the bound, scaled.
type choice struct {
	u, l    int32
	cost    int64
	reduced int64
}

// exact is the search through all assignments whose cost can still be below
// the best: choices that the bound rules out are gone before it starts, states
// seen before at no greater cost are not entered again.
type exact struct {
	p       *problem
	d       *dual
	best    int64 // cost to beat
	choices [][]choice
	rows    []int // positions left per class of need
	u, l    []int // shells left per class
	open    int   // positions left
	cost    int64 // so far
	reduced int64
	seen    map[[2]uint64]int64
	state   [2]uint64
	key     [3][][2]uint64 // per class: need, upper, lower
	steps   int64
	picked  []pick
	found   []pick // the best assignment found
	first   bool   // the first assignment found is enough
}

// pick is one position of a class of need and its choice.
type pick struct {
	row int
	choice
}

// maxSeen bounds the memory of states seen.
const maxSeen = 1 << 19

func newExact(d *dual, best int64) *exact {
	p := d.p
	e := &exact{p: p, d: d, best: best, open: p.n, seen: map[[2]uint64]int64{}}
	e.rows = make([]int, len(d.needs))
	first := make([]int, len(d.needs))
	for i := p.n - 1; i >= 0; i-- {
		e.rows[d.row[i]]++
		first[d.row[i]] = i
	}
	for _, c := range p.u {
		e.u = append(e.u, c.count)
	}
	for _, c := range p.l {
		e.l = append(e.l, c.count)
	}
	r := rand.New(rand.NewPCG(2, 3))
	for k, n := range [3]int{len(e.rows), len(e.u), len(e.l)} {
		for range n {
			e.key[k] = append(e.key[k], [2]uint64{r.Uint64(), r.Uint64()})
		}
	}
	for row, i := range first {
		e.choices = append(e.choices, e.listChoices(row, i))
	}
	return e
}

// listChoices lists what a position may take without the cost reaching the best.
func (e *exact) listChoices(row, i int) (list []choice) {
	for u := range e.p.u {
		for l := range e.p.l {
			if !e.p.may(u, l) {
				continue
			}
			c := choice{int32(u), int32(l), e.d.g.cost(e.d.needs[row] - e.p.u[u].wall - e.p.l[l].wall), 0}
			c.reduced = c.cost*scale + e.d.best[u] - e.d.alpha[i] - e.d.beta[l]
			if !e.ruledOut(c.reduced) && c.cost < e.best {
				list = append(list, c)
			}
		}
	}
	e.steps += int64(len(e.p.u) * len(e.p.l))
	slices.SortFunc(list, func(a, b choice) int {
		return cmp.Or(cmp.Compare(a.reduced, b.reduced), cmp.Compare(a.u, b.u), cmp.Compare(a.l, b.l))
	})
	return list
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
	if e.open == 0 {
		e.best = e.cost
		e.found = slices.Clone(e.picked)
		return true
	}
	if before, ok := e.seen[e.state]; ok && before <= e.cost {
		return true
	}
	row := e.narrowest()
	if row < 0 {
		return true
	}
	for _, c := range e.choices[row] {
		if e.steps > end {
			return false
		}
		if e.ruledOut(e.reduced + c.reduced) {
			break
		}
		if e.u[c.u] == 0 || e.l[c.l] == 0 {
			continue
		}
		e.put(row, c, -1)
		whole := e.dive(end)
		e.put(row, c, +1)
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

// put takes a choice (by −1) or gives it back (by +1).
func (e *exact) put(row int, c choice, by int) {
	e.rows[row] += by
	e.u[c.u] += by
	e.l[c.l] += by
	e.open += by
	e.cost -= int64(by) * c.cost
	e.reduced -= int64(by) * c.reduced
	for k := range e.state {
		e.state[k] += uint64(by) * (e.key[0][row][k] + e.key[1][c.u][k] + e.key[2][c.l][k])
	}
	if by < 0 {
		e.picked = append(e.picked, pick{row, c})
	} else {
		e.picked = e.picked[:len(e.picked)-1]
	}
}

// narrowest returns the class of need with the fewest choices left; −1 if one
// has none or the cheapest choices of all together are ruled out.
func (e *exact) narrowest() int {
	row, fewest := -1, 0
	least := e.reduced
	for r, left := range e.rows {
		if left == 0 {
			continue
		}
		n := 0
		for _, c := range e.choices[r] {
			e.steps++
			if e.u[c.u] == 0 || e.l[c.l] == 0 {
				continue
			}
			if n == 0 {
				least += int64(left) * c.reduced
			}
			if n++; row >= 0 && n >= fewest {
				break
			}
			if e.ruledOut(e.reduced + c.reduced) {
				n--
				break
			}
		}
		if n == 0 {
			return -1
		}
		if row < 0 || n < fewest {
			row, fewest = r, n
		}
	}
	if e.ruledOut(least) {
		return -1
	}
	return row
}

// assignment turns the best found into one of the open positions.
func (e *exact) assignment() *assignment {
	a := &assignment{u: make([]int32, e.p.n), l: make([]int32, e.p.n), largest: e.p.fixedMax}
	next := make([]int, len(e.rows))
	for i := e.p.n - 1; i >= 0; i-- {
		next[e.d.row[i]] = i
	}
	for _, k := range e.found {
		i := next[k.row]
		next[k.row]++
		a.u[i], a.l[i] = k.u, k.l
		dep := e.p.need[i] - e.p.u[k.u].wall - e.p.l[k.l].wall
		a.largest = max(a.largest, abs(dep))
		a.ss += dep * dep
	}
	return a
}
