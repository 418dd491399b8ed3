// SPDX-License-Identifier: Apache-2.0

package bearing

import "math"

// Bounds by Lagrange multipliers.
//
// A price on each class of upper replaces the rule that no class is used more
// often than it is there. For given prices every pair (position, lower) takes
// its cheapest upper, and what is left is an assignment of lowers to positions,
// which is solved exactly. Whatever the prices, the cost of that, less what the
// shells at hand fetch, is a lower bound; the best prices make it the bound of
// the linear program. (E. Balas and M. J. Saltzman, An algorithm for the
// three-index assignment problem, Operations Research 39 (1991), from memory.)
//
// Prices and costs are whole numbers of 1/scale, so that no bound owes anything
// to rounding.
const (
	scale     = 1 << 10
	forbidden = int64(1) << 55
)

// goal is a cost for each departure: the square within an interval and
// forbidden outside it, or the excess over the interval.
type goal struct {
	lo, hi int64
	excess bool
}

func (g goal) cost(d int64) int64 {
	over := max(d-g.hi, g.lo-d)
	switch {
	case g.excess:
		return max(0, over)
	case over > 0:
		return forbidden / scale
	}
	return d * d
}

// squaresStep is the least difference between two costs: where every shell is
// used, the departures add up to the same whatever is done, and their squares
// share the parity of that sum.
func (p *problem) squaresStep(g goal) int64 {
	if p.exact && !g.excess {
		return 2
	}
	return 1
}

// sumOfDepartures is what the departures add up to when every shell is used.
func (p *problem) sumOfDepartures() (sum int64) {
	for _, v := range p.need {
		sum += v
	}
	for _, list := range [][]class{p.u, p.l} {
		for _, c := range list {
			sum -= c.wall * int64(c.count)
		}
	}
	return sum
}

// dual holds the prices and what they prove.
type dual struct {
	p      *problem
	g      goal
	row    []int   // distinct needs: class per position
	needs  []int64 // per class of need
	col    []int   // class of lower per column
	price  []int64 // per class of upper, scaled
	bound  int64   // best bound, scaled
	best   []int64 // the prices that gave it
	alpha  []int64 // per position, at the best prices
	beta   []int64 // per class of lower
	steps  int64
	cheap  [][]int64 // [need class][lower class]: least cost over uppers
	take   [][]int   // and the upper that gives it
	assign assigner
	stride float64
	stale  int
}

func newDual(p *problem, g goal) *dual {
	d := &dual{p: p, g: g, bound: math.MinInt64, price: make([]int64, len(p.u)), stride: 1}
	for i, need := range p.need {
		if i == 0 || need != p.need[i-1] {
			d.needs = append(d.needs, need)
			d.cheap = append(d.cheap, make([]int64, len(p.l)))
			d.take = append(d.take, make([]int, len(p.l)))
		}
		d.row = append(d.row, len(d.needs)-1)
	}
	for j, c := range p.l {
		for range c.count {
			d.col = append(d.col, j)
		}
	}
	d.assign = newAssigner(p.n, len(d.col))
	return d
}

// evaluate returns the bound of the present prices and how often each class of
// upper is taken beyond its count.
func (d *dual) evaluate(over []int64) int64 {
	for i, need := range d.needs {
		for j, l := range d.p.l {
			d.cheap[i][j], d.take[i][j] = forbidden, -1
			for k, u := range d.p.u {
				if !d.p.may(k, j) {
					continue
				}
				c := d.g.cost(need-u.wall-l.wall)*scale + d.price[k]
				if c < d.cheap[i][j] {
					d.cheap[i][j], d.take[i][j] = c, k
				}
			}
		}
	}
	d.steps += int64(len(d.needs) * len(d.p.l) * len(d.p.u))
	value := d.assign.solve(func(i, j int) int64 { return d.cheap[d.row[i]][d.col[j]] })
	d.steps += d.assign.steps
	for k, u := range d.p.u {
		over[k] = -int64(u.count)
		value -= d.price[k] * int64(u.count)
	}
	for i := range d.p.n {
		if k := d.take[d.row[i]][d.col[d.assign.colOf[i]]]; k >= 0 {
			over[k]++
		}
	}
	return value
}

// climb moves the prices uphill until the bound reaches target (unscaled), the
// steps end, or nothing moves any more; it goes on from where it ended before.
// There is always one bound.
func (d *dual) climb(target, steps int64) {
	free := total(d.p.u) == d.p.n // every upper is used: prices of either sign
	over := make([]int64, len(d.p.u))
	end := d.steps + steps
	for d.best == nil || d.steps < end {
		value := d.evaluate(over)
		if d.best == nil || value > d.bound {
			d.keep(value)
			d.stale = 0
		} else if d.stale++; d.stale >= 8 {
			d.stride, d.stale = d.stride*0.6, 0
			copy(d.price, d.best)
			value = d.evaluate(over)
		}
		if d.bound > (target-d.p.squaresStep(d.g))*scale || d.stride < 0.005 {
			return
		}
		if !d.step(over, d.stride*float64(target*scale-value), free) {
			return
		}
	}
}

// step moves the prices along what is taken too often; false if nothing is.
func (d *dual) step(over []int64, gap float64, free bool) bool {
	var norm int64
	for k, o := range over {
		if !free && o < 0 && d.price[k] == 0 {
			over[k] = 0
		}
		norm += over[k] * over[k]
	}
	if norm == 0 {
		return false
	}
	for k, o := range over {
		d.price[k] += int64(math.Round(gap * float64(o) / float64(norm)))
		if !free {
			d.price[k] = max(0, d.price[k])
		}
	}
	return true
}

// keep stores the prices and what they say about positions and lowers.
func (d *dual) keep(value int64) {
	d.bound = value
	d.best = append(d.best[:0], d.price...)
	d.alpha = append(d.alpha[:0], d.assign.rowPrice...)
	if d.beta == nil {
		d.beta = make([]int64, len(d.p.l))
	}
	for j, c := range d.col {
		// Like columns may differ in price; which of them is used is open, so the
		// one that leaves least counts.
		if b := d.assign.colPrice[j]; j == 0 || d.col[j-1] != c || b > d.beta[c] {
			d.beta[c] = b
		}
	}
}

// proven is the bound in whole units: costs are whole numbers, and where every
// shell is used the sum of squares has the parity of the sum of departures.
func (d *dual) proven() int64 {
	b := -floorDiv(-d.bound, scale)
	if s := d.p.squaresStep(d.g); s == 2 && (b-d.p.sumOfDepartures())%2 != 0 {
		b++
	}
	return b
}
