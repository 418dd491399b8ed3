// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Problem is one thing wrong in a plan: where, what is wrong, and what would
// be right.
type Problem struct {
	File   string `json:"file"`
	Line   int    `json:"line"`   // from 1
	Column int    `json:"column"` // from 1, in characters
	What   string `json:"what"`
	Want   string `json:"want"`
}

func (p Problem) String() string {
	s := fmt.Sprintf("%s:%d:%d: %s", p.File, p.Line, p.Column, p.What)
	if p.Want != "" {
		s += "; " + p.Want
	}
	return s
}

// Problems is the error of [Load]: everything wrong that could be found in
// one reading, in the order of the file.
type Problems struct {
	List []Problem
}

func (p *Problems) Error() string {
	lines := make([]string, len(p.List))
	for i, x := range p.List {
		lines[i] = x.String()
	}
	return strings.Join(lines, "\n")
}

func sorted(list []Problem) []Problem {
	slices.SortStableFunc(list, func(a, b Problem) int {
		return cmp.Or(a.Line-b.Line, a.Column-b.Column)
	})
	return list
}
