// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"cmp"
	"math"
	"slices"
)

// Shares returns what each item bears of shared costs: every cost split
// equally among the items that need it.
//
//	share_i = Σ_{k: i needs k} cost_k / |{j: j needs k}|
//
// It is the Shapley value of the game in which a set of items costs what they
// need together: a cost by itself is a game in which all who need it are alike
// and all others bear nothing, and the value of a sum of games is the sum of
// their values. needs[i] lists the costs of item i, by place, each once; costs
// that nobody needs are borne by nobody.
//
// Source: L. S. Shapley (1953), axioms of symmetry, dummy and additivity; S. C.
// Littlechild and G. Owen, Management Science 20 (1973) 370-372, for the
// airport game. From memory.
func Shares(costs []float64, needs [][]int) []float64 {
	n := make([]int, len(costs))
	for _, list := range needs {
		for _, k := range list {
			n[k]++
		}
	}
	shares := make([]float64, len(needs))
	for i, list := range needs {
		for _, k := range list {
			shares[i] += costs[k] / float64(n[k])
		}
	}
	return shares
}

// RoundShares rounds numbers that are not negative to multiples of step, so
// that they add up to their sum rounded: every one is rounded down, and the
// steps that are missing go to the largest remainders, the earlier first where
// they are equal. It returns whole numbers of steps.
//
// Source: the method of largest remainders (Hare-Niemeyer); common knowledge,
// no source read.
func RoundShares(values []float64, step float64) []int {
	const grain = 1e-9 // of a step: what floats lose
	steps := make([]int, len(values))
	rest := make([]float64, len(values))
	order := make([]int, len(values))
	sum, given := 0.0, 0
	for i, v := range values {
		x := v / step
		steps[i] = int(math.Floor(x + grain))
		rest[i], order[i] = x-float64(steps[i]), i
		sum += x
		given += steps[i]
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if math.Abs(rest[a]-rest[b]) < grain {
			return 0
		}
		return cmp.Compare(rest[b], rest[a])
	})
	missing := int(math.Floor(sum+0.5+grain)) - given
	for _, i := range order[:min(max(missing, 0), len(order))] {
		steps[i]++
	}
	return steps
}
