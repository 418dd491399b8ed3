// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"slices"
	"sort"
)

// Bounds by majorisation.
//
// Whichever way uppers and lowers are put together, any k of the sums are
// together at most what the k thickest uppers and the k thickest lowers make.
// So any k positions depart together by at least their needs less that; and
// with all departures added up known, the least sum of squares above those
// floors is that of the tight string over them (the least concave majorant),
// counted in whole units. The string also has the least greatest slope, so one
// string bounds both goals.
//
// The string is the least for every convex function of the departures at once
// (taut strings; for whole numbers: A. Frank and K. Murota, decreasing
// minimisation on M-convex sets, Math. Programming 195 (2022), from memory).

// floorsAndCeilings are, for each k, the least and the greatest that the k
// positions in most need, and the rest of them, can depart together.
type floorsAndCeilings struct {
	floor []int64 // floor[k]: the k greatest needs depart together by at least this
	ceil  []int64 // ceil[k]: the other n−k depart together by at most this
}

// set builds them from needs and sums, the sums descending: the k-th
// greatest of the made sums never exceeds, in total, the k first of sums.
// Low are the sums of the thinnest shells, ascending.
func (f *floorsAndCeilings) set(need, high, low []int64) {
	n := len(need)
	f.floor = slices.Grow(f.floor[:0], n+1)[:n+1]
	f.ceil = slices.Grow(f.ceil[:0], n+1)[:n+1]
	f.floor[0], f.ceil[n] = 0, 0
	for k := range n {
		f.floor[k+1] = f.floor[k] + need[k] - high[k]
		f.ceil[n-1-k] = f.ceil[n-k] + need[n-1-k] - low[k]
	}
}

// tight pulls the string for departures that add up to sum: its greatest slope
// up and down, in whole units, and the sum of squares along it.
func (f *floorsAndCeilings) tight(sum int64) (up, down, squares int64) {
	n := len(f.floor) - 1
	at := func(k int) int64 {
		if k == n {
			return sum
		}
		return max(f.floor[k], sum-f.ceil[k])
	}
	y := int64(0)
	for k := 0; k < n; {
		// The steepest way on from here is the next stretch of the majorant.
		best, rise := k+1, at(k+1)-y
		for j := k + 2; j <= n; j++ {
			if r := at(j) - y; r*int64(best-k) >= rise*int64(j-k) {
				best, rise = j, r
			}
		}
		length := int64(best - k)
		q := floorDiv(rise, length)
		r := rise - q*length // r positions depart by q + 1, the others by q
		squares += (length-r)*q*q + r*(q+1)*(q+1)
		if k == 0 {
			up = q
			if r > 0 {
				up = q + 1
			}
		}
		down = -q // slopes only fall: the last one stays
		k, y = best, y+rise
	}
	return up, down, squares
}

// least returns the bounds over every sum that can be. With the sum, the way up
// only rises and the way down only falls: their greater is least where they
// cross. The squares are convex in the sum.
func (f *floorsAndCeilings) least() (largest, squares int64) {
	n := len(f.floor) - 1
	lo, hi := f.floor[n], f.ceil[0]
	cross := lo + int64(sort.Search(int(hi-lo), func(i int) bool {
		up, down, _ := f.tight(lo + int64(i))
		return up >= down
	}))
	up, down, _ := f.tight(cross)
	largest = max(up, down)
	if cross > lo {
		up, down, _ = f.tight(cross - 1)
		largest = min(largest, max(up, down))
	}
	squares = leastConvex(lo, hi, func(t int64) int64 { _, _, s := f.tight(t); return s })
	return max(0, largest), squares
}

// leastConvex returns the least value of a convex function on whole numbers.
func leastConvex(lo, hi int64, f func(int64) int64) int64 {
	for hi-lo > 2 {
		mid := floorDiv(lo+hi, 2)
		if f(mid) <= f(mid+1) {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	best := f(lo)
	for t := lo + 1; t <= hi; t++ {
		best = min(best, f(t))
	}
	return best
}

// rootBounds bounds the largest departure and the sum of squares of the open
// positions from what they need and what the shells can make.
func (p *problem) rootBounds() (largest, squares int64) {
	if p.n == 0 {
		return 0, 0
	}
	var f floorsAndCeilings
	f.set(p.need, p.sums(+1), p.sums(-1))
	largest, squares = f.least()
	if !p.exact {
		return largest, squares
	}
	// When every shell is used, each kind of shell is in the positions' place once.
	u, l := walls(p.u), walls(p.l)
	minus := func(v []int64) []int64 {
		w := slices.Clone(v)
		slices.Reverse(w)
		for i := range w {
			w[i] = -w[i]
		}
		return w
	}
	for _, view := range [][3][]int64{
		{minus(u), l, minus(p.need)}, // −u less (l − need)
		{minus(l), u, minus(p.need)},
	} {
		m, s := viewBounds(view[0], view[1], view[2])
		largest, squares = max(largest, m), max(squares, s)
	}
	return largest, squares
}

// viewBounds bounds the departures x − (y + z) when all of three lists, each
// descending, are used.
func viewBounds(x, y, z []int64) (largest, squares int64) {
	n := len(x)
	high, low := make([]int64, n), make([]int64, n)
	for i := range n {
		high[i] = y[i] + z[i]
		low[n-1-i] = high[i]
	}
	var f floorsAndCeilings
	f.set(x, high, low)
	return f.least()
}

// walls lists the walls of all shells, descending.
func walls(list []class) (out []int64) {
	for _, c := range list {
		for range c.count {
			out = append(out, c.wall)
		}
	}
	return out
}

// sums lists n sums of two walls whose first k are together at least (sign +1,
// descending) or at most (sign −1, ascending) what any k sums of one assignment
// make. Bound shells stand with their own sum; the free ones rank with rank.
func (p *problem) sums(sign int64) []int64 { return p.allSums(sign)[:p.n] }

func (p *problem) allSums(sign int64) []int64 {
	var free [2][]int64
	var all []int64
	for h, list := range [2][]class{p.u, p.l} {
		for _, c := range list {
			for range c.count {
				if c.partner < 0 {
					free[h] = append(free[h], c.wall)
				} else if h == 0 {
					all = append(all, c.wall+p.l[c.partner].wall)
				}
			}
		}
		slices.SortFunc(free[h], func(a, b int64) int { return int(sign * (b - a)) })
	}
	for i := range min(len(free[0]), len(free[1])) {
		all = append(all, free[0][i]+free[1][i])
	}
	slices.SortFunc(all, func(a, b int64) int { return int(sign * (b - a)) })
	return all
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b != 0 && (a < 0) != (b < 0) {
		q--
	}
	return q
}
