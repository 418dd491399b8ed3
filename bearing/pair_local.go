// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"math"
	"math/rand/v2"
	"slices"
)

// assignment gives each open position a class of upper and of lower.
type assignment struct {
	u, l        []int32
	largest, ss int64
}

func (a *assignment) better(b *assignment) bool {
	return a.largest < b.largest || a.largest == b.largest && a.ss < b.ss
}

func (a *assignment) copyFrom(b *assignment) {
	a.u, a.l = append(a.u[:0], b.u...), append(a.l[:0], b.l...)
	a.largest, a.ss = b.largest, b.ss
}

// local improves assignments by exchanging shells between positions and with
// the stock. Slots 0 to n−1 of each half are the positions, the rest the spares.
type local struct {
	p          *problem
	rng        *rand.Rand
	u, l       []int32 // class per slot
	d          []int64 // departure per position
	limit      int64   // departures beyond it are punished
	punish     int64
	steps      int64
	uw, lw     []int64 // wall per class
	uFree      []bool  // class not bound
	lFree      []bool
	work, best assignment
}

func newLocal(p *problem) *local {
	s := &local{p: p, rng: rand.New(rand.NewPCG(1, uint64(p.n)))}
	for i, c := range p.u {
		s.uw, s.uFree = append(s.uw, c.wall), append(s.uFree, c.partner < 0)
		for range c.count {
			s.u = append(s.u, int32(i))
		}
	}
	for i, c := range p.l {
		s.lw, s.lFree = append(s.lw, c.wall), append(s.lFree, c.partner < 0)
		for range c.count {
			s.l = append(s.l, int32(i))
		}
	}
	s.d = make([]int64, p.n)
	return s
}

// cost of one departure: its square, and dearly what lies beyond the limit.
func (s *local) cost(d int64) int64 {
	c := d * d
	if over := abs(d) - s.limit; over > 0 {
		c += s.punish * over
	}
	return c
}

// departure of position i with the given classes.
func (s *local) departure(i int, u, l int32) int64 { return s.p.need[i] - s.uw[u] - s.lw[l] }

// start lays out a first assignment: thick uppers against thin lowers, free
// shells first and bound ones where those do not reach. It then settles it.
func (s *local) start() {
	byUse := func(slots []int32, free []bool, flip bool) {
		slices.SortStableFunc(slots, func(a, b int32) int {
			switch {
			case free[a] != free[b] && free[a]:
				return -1
			case free[a] != free[b]:
				return 1
			case flip:
				return int(b - a)
			}
			return int(a - b)
		})
	}
	byUse(s.u, s.uFree, false)
	byUse(s.l, s.lFree, true)
	fu, fl := count(s.u, s.uFree), count(s.l, s.lFree)
	k := min(fu, fl, s.p.n)
	// Where one half has free shells left over, its bound ones must move up.
	bringBound(s.u, fu, k)
	bringBound(s.l, fl, k)
	for i := k; i < s.p.n; i++ {
		mate := int32(s.p.u[s.u[i]].partner)
		for j := i; j < len(s.l); j++ {
			if s.l[j] == mate {
				s.l[i], s.l[j] = s.l[j], s.l[i]
				break
			}
		}
	}
	s.measure()
}

func count(slots []int32, free []bool) (n int) {
	for _, c := range slots {
		if free[c] {
			n++
		}
	}
	return n
}

// bringBound moves the bound shells, which start at slot free, to slot k.
func bringBound(slots []int32, free, k int) {
	rest := slices.Clone(slots[k:free])
	n := copy(slots[k:], slots[free:])
	copy(slots[k+n:], rest)
}

// measure works out every departure anew.
func (s *local) measure() {
	for i := range s.d {
		s.d[i] = s.departure(i, s.u[i], s.l[i])
	}
}

// keep takes the present assignment as the best if it is.
func (s *local) keep() {
	a := &s.work
	a.u, a.l = append(a.u[:0], s.u[:s.p.n]...), append(a.l[:0], s.l[:s.p.n]...)
	a.largest, a.ss = s.p.fixedMax, 0
	for _, d := range s.d {
		a.largest = max(a.largest, abs(d))
		a.ss += d * d
	}
	if s.best.u == nil || a.better(&s.best) {
		s.best.copyFrom(a)
	}
}

// settle exchanges shells as long as an exchange lowers the cost.
func (s *local) settle() {
	for better := true; better; {
		better = s.exchange(s.u, s.uw, s.uFree)
		better = s.exchange(s.l, s.lw, s.lFree) || better
		better = s.trade() || better
		if s.p.pairs {
			better = s.draw() || better
		}
	}
}

// exchange tries every exchange of one half between two positions, and between
// a position and the stock.
func (s *local) exchange(slots []int32, w []int64, free []bool) (better bool) {
	n := s.p.n
	for i := range n {
		if !free[slots[i]] {
			continue
		}
		ci := s.cost(s.d[i])
		for j := i + 1; j < len(slots); j++ {
			move := w[slots[i]] - w[slots[j]]
			s.steps++
			if move == 0 || !free[slots[j]] {
				continue
			}
			gain := ci - s.cost(s.d[i]+move)
			if j < n {
				gain += s.cost(s.d[j]) - s.cost(s.d[j]-move)
			}
			if gain <= 0 {
				continue
			}
			better = true
			slots[i], slots[j] = slots[j], slots[i]
			s.d[i] += move
			if j < n {
				s.d[j] -= move
			}
			ci = s.cost(s.d[i])
		}
	}
	return better
}

// trade tries every exchange of both shells between two positions.
func (s *local) trade() (better bool) {
	for i := range s.p.n {
		for j := i + 1; j < s.p.n; j++ {
			s.steps++
			di := s.departure(i, s.u[j], s.l[j])
			dj := s.departure(j, s.u[i], s.l[i])
			if s.cost(di)+s.cost(dj) < s.cost(s.d[i])+s.cost(s.d[j]) {
				s.u[i], s.u[j] = s.u[j], s.u[i]
				s.l[i], s.l[j] = s.l[j], s.l[i]
				s.d[i], s.d[j] = di, dj
				better = true
			}
		}
	}
	return better
}

// draw tries to exchange both shells of a position for two from the stock: the
// only way in or out for bound shells.
func (s *local) draw() (better bool) {
	for i := range s.p.n {
		for a := s.p.n; a < len(s.u); a++ {
			for b := s.p.n; b < len(s.l); b++ {
				s.steps++
				if !s.p.may(int(s.u[a]), int(s.l[b])) {
					continue
				}
				if d := s.departure(i, s.u[a], s.l[b]); s.cost(d) < s.cost(s.d[i]) {
					s.u[i], s.u[a] = s.u[a], s.u[i]
					s.l[i], s.l[b] = s.l[b], s.l[i]
					s.d[i], better = d, true
				}
			}
		}
	}
	return better
}

// kick exchanges a few shells blindly.
func (s *local) kick() {
	for range 2 + s.rng.IntN(3) {
		slots, free := s.u, s.uFree
		if s.rng.IntN(2) == 1 {
			slots, free = s.l, s.lFree
		}
		i, j := s.rng.IntN(s.p.n), s.rng.IntN(len(slots))
		if free[slots[i]] && free[slots[j]] {
			slots[i], slots[j] = slots[j], slots[i]
		}
	}
	s.measure()
}

// run searches until done says that the best is good enough, or the steps end.
func (s *local) run(limit, punish, steps int64, done func(*assignment) bool) {
	s.limit, s.punish = limit, punish
	end := s.steps + steps
	if s.best.u == nil {
		s.start()
		s.settle()
		s.keep()
	}
	hold := newHold(s)
	for !done(&s.best) && s.steps < end {
		s.kick()
		s.settle()
		s.keep()
		hold.judge(s)
	}
}

// hold is the assignment that the next kick starts from.
type hold struct {
	u, l  []int32
	cost  int64
	stale int
}

func newHold(s *local) *hold {
	s.measure()
	return &hold{slices.Clone(s.u), slices.Clone(s.l), s.costs(), 0}
}

// judge goes on from what is no dearer, and back to the hold from what is;
// when nothing got better for long, it goes on from wherever it is.
func (h *hold) judge(s *local) {
	c := s.costs()
	if c < h.cost {
		h.stale = 0
	} else if h.stale++; h.stale > 300 {
		h.stale, h.cost = 0, math.MaxInt64
	}
	if c <= h.cost {
		copy(h.u, s.u)
		copy(h.l, s.l)
		h.cost = c
		return
	}
	copy(s.u, h.u)
	copy(s.l, h.l)
	s.measure()
}

func (s *local) costs() (c int64) {
	for _, d := range s.d {
		c += s.cost(d)
	}
	return c
}
