// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"cmp"
	"slices"
)

// builder builds schedules from orders of tasks, one after another (serial
// schedule generation): each task starts as early as needs, release and what
// the tasks before it use allow.
type builder struct {
	*problem
	free   []int // what is left, by time and resource
	dirty  int   // time up to which free was touched
	starts []int
	placed []bool
	built  int
}

func newBuilder(p *problem) *builder {
	b := &builder{problem: p, starts: make([]int, len(p.length)), placed: make([]bool, len(p.length))}
	b.free = make([]int, (p.horizon+1)*len(p.capacity))
	b.dirty = p.horizon + 1
	return b
}

// clear empties the table.
func (b *builder) clear() {
	r := len(b.capacity)
	for t := 0; t < b.dirty; t++ {
		copy(b.free[t*r:], b.capacity)
	}
	b.dirty = 0
	clear(b.placed)
	b.built++
}

// forward builds the schedule of an order in which everything stands after
// what it needs.
func (b *builder) forward(order []int) int {
	b.clear()
	for i, f := range b.fixed {
		if f != nil {
			b.put(i, *f)
		}
	}
	end := 0
	for _, i := range order {
		if !b.placed[i] {
			b.put(i, b.earliest(i))
		}
		end = max(end, b.starts[i]+b.length[i])
	}
	return end
}

// earliest finds the first time at which a task fits.
func (b *builder) earliest(i int) int {
	at := b.release[i]
	for _, k := range b.net.before[i] {
		at = max(at, b.starts[k]+b.length[k])
	}
	for {
		clash := b.clash(i, at)
		if clash < 0 {
			return at
		}
		at = clash
	}
}

// clash returns the first later start that is not ruled out when a task can't
// start at a time, or -1 if it can.
func (b *builder) clash(i, at int) int {
	r := len(b.capacity)
	for k := len(b.phases[i]) - 1; k >= 0; k-- {
		ph := b.phases[i][k]
		offset := 0
		for _, q := range b.phases[i][:k] {
			offset += q.Duration
		}
		from := at + offset
		for t := min(from+ph.Duration, b.horizon) - 1; t >= from; t-- {
			row := b.free[t*r : t*r+r]
			for j, u := range ph.Uses {
				if u > row[j] {
					return t - offset + 1
				}
			}
		}
	}
	return -1
}

func (b *builder) put(i, at int) {
	b.starts[i], b.placed[i] = at, true
	r := len(b.capacity)
	t := at
	for _, ph := range b.phases[i] {
		for end := t + ph.Duration; t < end && t < b.horizon; t++ {
			for j, u := range ph.Uses {
				b.free[t*r+j] -= u
			}
		}
	}
	b.dirty = max(b.dirty, min(t, b.horizon)+1)
}

func (b *builder) remove(i int) {
	r := len(b.capacity)
	t := b.starts[i]
	for _, ph := range b.phases[i] {
		for end := t + ph.Duration; t < end && t < b.horizon; t++ {
			for j, u := range ph.Uses {
				b.free[t*r+j] += u
			}
		}
	}
	b.placed[i] = false
}

// byStart sorts an order by the starts, which keeps it sound.
func (p *problem) byStart(order, starts []int) {
	rank := make([]int, len(order))
	for k, i := range p.net.order {
		rank[i] = k
	}
	slices.SortFunc(order, func(a, c int) int { return cmp.Or(starts[a]-starts[c], rank[a]-rank[c]) })
}

// mirror is the network run backwards; releases have no meaning there.
func (p *problem) mirror() *problem {
	m := &problem{net: &net{before: p.net.after, after: p.net.before, order: slices.Clone(p.net.order)},
		capacity: p.capacity, length: p.length, horizon: p.horizon, single: p.single,
		release: make([]int, len(p.length)), fixed: make([]*int, len(p.length))}
	slices.Reverse(m.net.order)
	for _, list := range p.phases {
		back := slices.Clone(list)
		slices.Reverse(back)
		m.phases = append(m.phases, back)
	}
	return m
}

// improver shifts schedules right and then left again, which often shortens
// them (justification).
//
// Source: V. Valls, F. Ballestín and S. Quintanilla, Eur. J. Oper. Res. 165
// (2005) 375-386, from memory.
type improver struct {
	fore, back *builder
	order      []int
}

func newImprover(p *problem) *improver {
	return &improver{newBuilder(p), newBuilder(p.mirror()), make([]int, len(p.length))}
}

// improve builds the schedule of order, shifts it both ways, and leaves the
// order of the result in order, the schedule in fore. It returns its end.
func (v *improver) improve(order []int) int {
	end := v.fore.forward(order)
	if slices.ContainsFunc(v.fore.fixed, func(f *int) bool { return f != nil }) {
		return end
	}
	copy(v.order, order)
	finish := v.back.starts // of the mirror: its starts are the ends here, turned round
	for i, s := range v.fore.starts {
		finish[i] = end - s - v.fore.length[i]
	}
	v.back.byStart(v.order, finish)
	v.back.forward(v.order)
	starts := v.fore.starts
	for i, s := range v.back.starts {
		starts[i] = end - s - v.fore.length[i]
	}
	v.fore.byStart(v.order, starts)
	again := v.fore.forward(v.order)
	v.fore.byStart(v.order, v.fore.starts)
	if again <= end {
		copy(order, v.order)
		return again
	}
	// Releases can make the way back longer; what was before is better then.
	return v.fore.forward(order)
}
