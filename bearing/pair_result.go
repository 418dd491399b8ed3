// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"math"
	"slices"
)

// result turns the best assignment back into ids and millimetres.
func (s *search) result(in PairingInput) (Pairing, error) {
	um := s.p.perMM / 1000
	r := Pairing{
		LargestDepartureUM: float64(s.best.largest) / um,
		SumOfSquaresUM2:    float64(s.best.ss+s.p.fixedSS) / (um * um),
		ProvenBest:         s.done(),
		BoundUM:            float64(s.boundLargest) / um,
		SquaresBoundUM2:    float64(s.boundSS+s.p.fixedSS) / (um * um),
		ResolutionUM:       1 / um,
		Steps:              s.budget - s.left,
	}
	r.Fits = s.p.fits(in, &s.best)
	r.AllWithin = !slices.ContainsFunc(r.Fits, func(f Fit) bool { return !f.WithinLimits })
	r.LimitsAttainable = Yes
	if !r.AllWithin {
		r.LimitsAttainable, r.Within = s.within(in)
	}
	return r, nil
}

// fits hands out the shells of an assignment, like shells in the order of the
// input, and lists the positions in the input's order.
func (p *problem) fits(in PairingInput, a *assignment) []Fit {
	var pool [2][][]item
	for h, list := range [2][]class{p.u, p.l} {
		for _, c := range list {
			pool[h] = append(pool[h], c.items)
		}
	}
	fitted := slices.Clone(p.committed)
	order := make([]int, p.n)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int { return p.bore[i] - p.bore[j] })
	for _, i := range order {
		u := pool[0][a.u[i]][0]
		pool[0][a.u[i]] = pool[0][a.u[i]][1:]
		lower := u.mate
		if lower == "" {
			lower = pool[1][a.l[i]][0].id
			pool[1][a.l[i]] = pool[1][a.l[i]][1:]
		}
		fitted = append(fitted, Fitting{in.Bores[p.bore[i]].Position, u.id, lower})
	}
	return p.inOrder(in, fitted)
}

// inOrder works out the clearances of fittings, in the input's order.
func (p *problem) inOrder(in PairingInput, fitted []Fitting) (fits []Fit) {
	b := builder{in: in, perMM: p.perMM}
	_ = b.gather() // checked when the problem was made
	for _, x := range in.Bores {
		at := slices.IndexFunc(fitted, func(f Fitting) bool { return f.Position == x.Position })
		if at < 0 {
			continue
		}
		f := fitted[at]
		d := b.need(x)
		for h, id := range [2]string{f.Upper, f.Lower} {
			k, _ := b.find(h, id)
			d -= b.half[h][k].wall
		}
		fit := Fit{
			Position: x.Position, Upper: f.Upper, Lower: f.Lower,
			Clearance: float64(p.target+d) / p.perMM, Departure: float64(d) / p.perMM,
		}
		fit.WithinLimits = in.Limits == nil || in.Limits.Has(fit.Clearance)
		fits = append(fits, fit)
	}
	return fits
}

// within looks for an assignment that keeps every position within the limits,
// which need not lie evenly about the target: any at first, then the one with
// the least sum of squares that a short search finds.
func (s *search) within(in PairingInput) (Answer, []Fit) {
	for _, f := range s.p.inOrder(in, s.p.committed) {
		if !f.WithinLimits {
			return No, nil
		}
	}
	if s.p.n == 0 {
		return Yes, nil
	}
	// A hundredth of a unit is forgiven, as in Limits.Has.
	g := goal{
		lo: int64(math.Ceil(in.Limits.Min*s.p.perMM-0.01)) - s.p.target,
		hi: int64(math.Floor(in.Limits.Max*s.p.perMM+0.01)) - s.p.target,
	}
	if g.lo > g.hi {
		return No, nil
	}
	found, whole := s.look(goal{g.lo, g.hi, true}, 1)
	if found == nil {
		if whole {
			return No, nil
		}
		return Unknown, nil
	}
	if better, _ := s.look(g, found.ss); better != nil {
		found = better
	}
	return Yes, s.p.fits(in, found)
}

// look searches once for an assignment whose cost is below best; it says
// whether the search was complete.
func (s *search) look(g goal, best int64) (found *assignment, whole bool) {
	d := newDual(s.p, g)
	d.climb(best, s.budget/20)
	if d.bound > (best-1)*scale {
		return nil, true
	}
	e := newExact(d, best)
	e.first = g.excess
	whole = e.run(s.budget / 10)
	if e.found != nil {
		found = e.assignment()
	}
	return found, whole
}
