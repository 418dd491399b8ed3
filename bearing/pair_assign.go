// SPDX-License-Identifier: Apache-2.0

package bearing

import "math"

// assigner solves rows against columns at least cost, rows no more than
// columns, by shortest augmenting paths (R. Jonker and A. Volgenant, Computing
// 38 (1987), from memory). Column prices are never above zero and are zero for
// columns left over.
type assigner struct {
	rows, cols int
	rowPrice   []int64
	colPrice   []int64
	rowOf      []int // per column, -1 if free
	colOf      []int
	dist       []int64
	from       []int
	seen       []bool
	steps      int64 // of the last solve
}

func newAssigner(rows, cols int) assigner {
	return assigner{
		rows: rows, cols: cols,
		rowPrice: make([]int64, rows), colPrice: make([]int64, cols),
		rowOf: make([]int, cols+1), colOf: make([]int, rows),
		dist: make([]int64, cols), from: make([]int, cols), seen: make([]bool, cols),
	}
}

// solve returns the least total cost; cost(i, j) is asked for often.
func (a *assigner) solve(cost func(i, j int) int64) int64 {
	a.steps = 0
	clear(a.rowPrice)
	clear(a.colPrice)
	for j := range a.rowOf {
		a.rowOf[j] = -1
	}
	for i := range a.rows {
		a.augment(i, cost)
	}
	var sum int64
	for j := range a.cols {
		if i := a.rowOf[j]; i >= 0 {
			a.colOf[i] = j
			sum += cost(i, j)
		}
	}
	return sum
}

// augment gives row a column by a shortest path through rows already placed.
func (a *assigner) augment(row int, cost func(i, j int) int64) {
	for j := range a.cols {
		a.dist[j], a.from[j], a.seen[j] = math.MaxInt64, -1, false
	}
	a.rowOf[a.cols] = row // the imaginary column that the path starts from
	at := a.cols
	for {
		i := a.rowOf[at]
		next, least := -1, int64(math.MaxInt64)
		for j := range a.cols {
			if a.seen[j] {
				continue
			}
			a.steps++
			if d := cost(i, j) - a.rowPrice[i] - a.colPrice[j]; d < a.dist[j] {
				a.dist[j], a.from[j] = d, at
			}
			if a.dist[j] < least {
				next, least = j, a.dist[j]
			}
		}
		a.shift(row, least)
		at = next
		a.seen[at] = true
		if a.rowOf[at] < 0 {
			break
		}
	}
	for at != a.cols {
		a.rowOf[at] = a.rowOf[a.from[at]]
		at = a.from[at]
	}
}

// shift moves the prices by the length of the path's next step.
func (a *assigner) shift(row int, by int64) {
	a.rowPrice[row] += by
	for j := range a.cols {
		if a.seen[j] {
			a.rowPrice[a.rowOf[j]] += by
			a.colPrice[j] -= by
		} else {
			a.dist[j] -= by
		}
	}
}
