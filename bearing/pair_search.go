// SPDX-License-Identifier: Apache-2.0

package bearing

// search holds a pairing while it is being solved: the best assignment, the
// bounds, and what is left of the budget.
type search struct {
	p            *problem
	local        *local
	left         int64
	budget       int64
	best         assignment
	boundLargest int64 // of the open and the committed positions
	boundSS      int64 // of the open positions, at the largest departure found
}

func newSearch(p *problem, steps int64) *search {
	return &search{p: p, local: newLocal(p), left: steps, budget: steps}
}

// solve goes from the cheap to the dear: bounds in closed form, a short local
// search, prices, a longer local search, branch and bound.
func (s *search) solve() {
	if s.p.n == 0 {
		s.best.largest = s.p.fixedMax
		s.boundLargest = s.p.fixedMax
		return
	}
	m, q := s.p.rootBounds()
	s.boundLargest, s.boundSS = max(m, s.p.fixedMax), q
	s.improve(s.first())
	if !s.done() {
		s.narrowLargest()
	}
	if !s.done() {
		s.narrowSquares()
	}
}

// done says that the best meets both bounds: it is proven.
func (s *search) done() bool { return s.met(&s.best) }

func (s *search) met(a *assignment) bool {
	return a.largest <= s.boundLargest && a.ss <= s.boundSS
}

// improve searches locally for an assignment that meets the bounds.
func (s *search) improve(steps int64) {
	l := s.local
	before := l.steps
	l.run(s.boundLargest, 1<<20, min(steps, s.left), s.met)
	s.spend(l.steps - before)
	s.take(&l.best)
}

func (s *search) spend(steps int64) { s.left = max(0, s.left-steps) }

func (s *search) take(a *assignment) {
	if s.best.u == nil || a.better(&s.best) {
		s.best.copyFrom(a)
		s.local.best.copyFrom(a)
	}
}

// narrowLargest closes the gap between the largest departure found and its bound.
func (s *search) narrowLargest() {
	// From below, by halves: what prices alone prove can't be reached.
	for lo, hi := s.boundLargest, s.best.largest; lo < hi && s.left > 0; {
		mid := lo + (hi-lo)/2
		d := newDual(s.p, goal{-mid, mid, true})
		if s.climb(d, 1, 4*s.first()); d.bound > 0 {
			lo = mid + 1
			s.boundLargest = lo
		} else {
			hi = mid
		}
	}
	// From above: is there anything better than the best?
	var d *dual
	for quota := s.first(); s.best.largest > s.boundLargest && s.left > 0; quota *= 4 {
		if g := (goal{1 - s.best.largest, s.best.largest - 1, true}); d == nil || d.g != g {
			d = newDual(s.p, g)
		}
		if s.climb(d, 1, 2*quota); d.bound > 0 || s.branch(d, 1, quota) {
			s.boundLargest = s.best.largest
			return
		}
		s.improve(quota)
	}
}

// narrowSquares closes the gap between the sum of squares found and its bound.
func (s *search) narrowSquares() {
	d := newDual(s.p, goal{-s.best.largest, s.best.largest, false})
	for quota := s.first(); s.best.ss > s.boundSS && s.left > 0; quota *= 4 {
		s.climb(d, s.best.ss, 2*quota)
		s.boundSS = max(s.boundSS, min(d.proven(), s.best.ss))
		if s.best.ss <= s.boundSS {
			return
		}
		if s.branch(d, s.best.ss, quota) {
			s.boundSS = s.best.ss
			return
		}
		s.improve(quota)
	}
}

// climb raises the bound of prices within a quota.
func (s *search) climb(d *dual, target, quota int64) {
	before := d.steps
	d.climb(target, min(quota, s.left))
	s.spend(d.steps - before)
}

// branch searches all assignments whose cost is below best, within a quota; it
// says whether the search was complete. What it finds it takes.
func (s *search) branch(d *dual, best, quota int64) bool {
	e := newExact(d, best)
	e.first = d.g.excess
	whole := e.run(min(quota, s.left))
	s.spend(e.steps)
	if e.found != nil {
		s.take(e.assignment())
		return whole && !e.first
	}
	return whole
}

// first is the quota of the first round of a search: enough for a few hundred
// rounds of exchanges. Later rounds have four times as many steps each.
func (s *search) first() int64 {
	return 100 * int64(s.p.n) * int64(s.p.n+len(s.local.u)+len(s.local.l))
}
