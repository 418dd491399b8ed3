// SPDX-License-Identifier: Apache-2.0

package job

import "testing"

func TestNumbersThatFollowEachOther(t *testing.T) {
	for want, ns := range map[string][]int{
		"position 3":                {3},
		"positions 7 and 8":         {7, 8},
		"positions 1 to 8":          {1, 2, 3, 4, 5, 6, 7, 8},
		"positions 1, 3 to 5 and 8": {1, 3, 4, 5, 8},
	} {
		if got := positions(ns); got != want {
			t.Errorf("%v: %q, want %q", ns, got, want)
		}
	}
}

func TestPlacesShareTheirWord(t *testing.T) {
	for want, names := range map[string][]string{
		"throw 4":                   {"throw 4"},
		"throws 1 to 4":             {"throw 1", "throw 2", "throw 3", "throw 4"},
		"positions 1 and 2":         {"position 1 (4)", "position 2 (3)"},
		"debris and position 2":     {"debris", "position 2"},
		"throw 1 and position 2":    {"throw 1", "position 2"},
		"upper shell of position 4": {"upper shell of position 4"},
	} {
		if got := places(names); got != want {
			t.Errorf("%q: %q, want %q", names, got, want)
		}
	}
}
