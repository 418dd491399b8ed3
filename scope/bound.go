// SPDX-License-Identifier: Apache-2.0

package scope

import "slices"

// lowerBound is the largest of three bounds on the end of any schedule: the
// critical path with its releases; for every resource and every pair of a head
// h and a tail q, the work of all tasks that can't start before h and have at
// least q to follow, h + ⌈Σ use·duration / capacity⌉ + q; and for every two
// tasks that can't run together, the better of their two orders.
//
// Source: common bounds, such as R. Klein, Scheduling of Resource-Constrained
// Projects (2000), chapter 4; from memory.
func (p *problem) lowerBound() int {
	bound := 0
	for i := range p.length {
		bound = max(bound, p.head[i]+p.length[i]+p.tail[i])
	}
	for r := range p.capacity {
		bound = max(bound, p.workBound(r))
	}
	return max(bound, p.pairBound())
}

func (p *problem) workBound(r int) int {
	type load struct{ head, tail, work int }
	var loads []load
	for i := range p.length {
		l := load{p.head[i], p.tail[i], 0}
		for _, ph := range p.phases[i] {
			l.work += ph.Duration * ph.Uses[r]
		}
		if l.work > 0 {
			loads = append(loads, l)
		}
	}
	slices.SortFunc(loads, func(a, b load) int { return b.tail - a.tail })
	bound, seen := 0, map[int]bool{}
	for _, from := range loads {
		if seen[from.head] {
			continue
		}
		seen[from.head] = true
		sum := 0
		for _, l := range loads {
			if l.head >= from.head {
				sum += l.work
				bound = max(bound, from.head+(sum+p.capacity[r]-1)/p.capacity[r]+l.tail)
			}
		}
	}
	return bound
}

func (p *problem) pairBound() int {
	least := make([][]int, len(p.length)) // use of every resource throughout
	for i, list := range p.phases {
		least[i] = make([]int, len(p.capacity))
		for k, ph := range list {
			for r, u := range ph.Uses {
				if k == 0 || u < least[i][r] {
					least[i][r] = u
				}
			}
		}
	}
	bound := 0
	for i := range p.length {
		for j := range i {
			if p.length[i] == 0 || p.length[j] == 0 || !p.exclude(least[i], least[j]) {
				continue
			}
			work := p.length[i] + p.length[j]
			bound = max(bound, min(p.head[i]+work+p.tail[j], p.head[j]+work+p.tail[i]))
		}
	}
	return bound
}

func (p *problem) exclude(a, b []int) bool {
	for r, c := range p.capacity {
		if a[r]+b[r] > c {
			return true
		}
	}
	return false
}
