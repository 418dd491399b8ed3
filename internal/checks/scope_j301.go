// SPDX-License-Identifier: Apache-2.0

package checks

import (
	"strconv"

	"witnessmark/scope"
)

// j301 is instance j301_1 of PSPLIB: R. Kolisch and A. Sprecher, Eur. J. Oper.
// Res. 96 (1997) 205-216.
func j301() scope.Network {
	n := scope.Network{Resources: []scope.Resource{{ID: "R1", Capacity: 12}, {ID: "R2", Capacity: 13}, {ID: "R3", Capacity: 4}, {ID: "R4", Capacity: 12}}}
	for i, x := range j301Tasks {
		t := scope.Task{ID: strconv.Itoa(i + 1), Phases: []scope.Phase{{Duration: x.duration, Uses: x.uses[:]}}}
		for _, need := range x.needs {
			t.Needs = append(t.Needs, strconv.Itoa(need))
		}
		n.Tasks = append(n.Tasks, t)
	}
	return n
}

// j301Tasks are durations, uses of the four resources and what comes before,
// by number from 1.
var j301Tasks = []struct {
	duration int
	uses     [4]int
	needs    []int
}{
	{0, [4]int{0, 0, 0, 0}, nil},
	{8, [4]int{4, 0, 0, 0}, []int{1}},
	{4, [4]int{10, 0, 0, 0}, []int{1}},
	{6, [4]int{0, 0, 0, 3}, []int{1}},
	{3, [4]int{3, 0, 0, 0}, []int{4}},
	{8, [4]int{0, 0, 0, 8}, []int{2}},
	{5, [4]int{4, 0, 0, 0}, []int{3}},
	{9, [4]int{0, 1, 0, 0}, []int{3}},
	{2, [4]int{6, 0, 0, 0}, []int{4}},
	{7, [4]int{0, 0, 0, 1}, []int{4}},
	{9, [4]int{0, 5, 0, 0}, []int{2}},
	{2, [4]int{0, 7, 0, 0}, []int{8}},
	{6, [4]int{4, 0, 0, 0}, []int{3}},
	{3, [4]int{0, 8, 0, 0}, []int{9, 12}},
	{9, [4]int{3, 0, 0, 0}, []int{2}},
	{10, [4]int{0, 0, 0, 5}, []int{10}},
	{6, [4]int{0, 0, 0, 8}, []int{13, 14}},
	{5, [4]int{0, 0, 0, 7}, []int{13}},
	{3, [4]int{0, 1, 0, 0}, []int{8}},
	{7, [4]int{0, 10, 0, 0}, []int{5, 11, 18}},
	{2, [4]int{0, 0, 0, 6}, []int{16}},
	{7, [4]int{2, 0, 0, 0}, []int{16, 17, 18}},
	{2, [4]int{3, 0, 0, 0}, []int{20, 22}},
	{3, [4]int{0, 9, 0, 0}, []int{19, 23}},
	{3, [4]int{4, 0, 0, 0}, []int{10, 15, 20}},
	{7, [4]int{0, 0, 4, 0}, []int{11}},
	{8, [4]int{0, 0, 0, 7}, []int{7, 8}},
	{3, [4]int{0, 8, 0, 0}, []int{21, 27}},
	{7, [4]int{0, 7, 0, 0}, []int{19}},
	{2, [4]int{0, 7, 0, 0}, []int{6, 24, 25}},
	{2, [4]int{0, 0, 2, 0}, []int{26, 28}},
	{0, [4]int{0, 0, 0, 0}, []int{29, 30, 31}},
}
