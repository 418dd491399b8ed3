// SPDX-License-Identifier: Apache-2.0

package scope

import "slices"

// small says whether a network is searched completely: up to ten tasks of one
// phase. With several phases, building task by task can miss the best.
func (p *problem) small() bool { return p.single && len(p.length) <= 10 }

// exact tries every order of the tasks, leaving out those that can't end
// before the best so far. Every schedule in which no task can start sooner
// comes from one of the orders, and one of them is the shortest.
type exact struct {
	*builder
	end  int
	best []int
}

func (e *exact) run() {
	e.clear()
	n := 0
	for i, f := range e.fixed {
		if f != nil {
			e.put(i, *f)
			n++
		}
	}
	e.visit(n)
}

// visit places the n-th task in every way.
func (e *exact) visit(n int) {
	if n == len(e.length) {
		if end := e.makespan(e.starts); end < e.end {
			e.end, e.best = end, slices.Clone(e.starts)
		}
		return
	}
	for i := range e.length {
		if e.placed[i] || slices.ContainsFunc(e.net.before[i], func(b int) bool { return !e.placed[b] }) {
			continue
		}
		at := e.earliest(i)
		if at+e.length[i]+e.tail[i] >= e.end {
			continue
		}
		e.put(i, at)
		e.visit(n + 1)
		e.remove(i)
	}
}
