// SPDX-License-Identifier: Apache-2.0

// Package checks holds the program's calculations against something outside
// the project and says, check by check, what was expected, from where, and
// what came out.
//
// One file per calculation package; each file adds its list to [all]. A test
// runs them all, and `witnessmark checks` prints them.
package checks

import "math"

// Kind says what sort of number is expected.
type Kind string

const (
	// Published: read in the named source.
	Published Kind = "published"
	// FromMemory: written down from recollection of the named source.
	FromMemory Kind = "from memory"
	// Recomputed: from an independent calculation by a general-purpose library or by hand.
	Recomputed Kind = "recomputed"
	// Practice: a fact of the trade, with no source.
	Practice Kind = "common practice, no source"
)

// Check is one number held against something outside the project.
type Check struct {
	Name      string
	Expected  float64
	Got       func() (float64, error)
	Tolerance float64 // absolute, in the unit of Expected
	Source    string  // with locator
	Kind      Kind
}

// Result is what came out of one check. Difference is got less expected.
type Result struct {
	Name       string  `json:"name"`
	Expected   float64 `json:"expected"`
	Got        float64 `json:"got"`
	Difference float64 `json:"difference"`
	Tolerance  float64 `json:"tolerance"`
	Source     string  `json:"source"`
	Kind       Kind    `json:"kind"`
	OK         bool    `json:"ok"`
	Error      string  `json:"error,omitempty"`
}

// all lists the checks of every calculation package, package by package.
func all() []Check {
	var list []Check
	for _, part := range [][]Check{
		unitsChecks(),
		engineChecks(),
		oilChecks(),
		filmChecks(),
		metrologyChecks(),
		bearingChecks(),
		fastenerChecks(),
		meshChecks(),
		lifeChecks(),
		scopeChecks(),
		recordChecks(),
	} {
		list = append(list, part...)
	}
	return list
}

// Run carries out every check.
func Run() []Result {
	results := []Result{}
	for _, c := range all() {
		results = append(results, c.run())
	}
	return results
}

func (c Check) run() Result {
	r := Result{Name: c.Name, Expected: c.Expected, Tolerance: c.Tolerance, Source: c.Source, Kind: c.Kind}
	got, err := c.Got()
	if err != nil {
		r.Error = err.Error()
		return r
	}
	r.Got = got
	r.Difference = got - c.Expected
	r.OK = math.Abs(r.Difference) <= c.Tolerance
	return r
}
