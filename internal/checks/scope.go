// SPDX-License-Identifier: Apache-2.0

package checks

import (
	"bytes"
	"fmt"
	"strings"
	"time"

	"witnessmark/scope"
)

// scopeChecks holds planning and shared cost against textbook networks, the
// airport game, SciPy and a published scheduling instance.
func scopeChecks() []Check {
	var list []Check
	for i, want := range []float64{2, 3, 4, 9} {
		list = append(list, Check{Name: fmt.Sprintf("scope: airport game of 8, 11, 13, 18: share %d", i+1), Expected: want, Tolerance: 1e-12, Kind: Published,
			Source: "S. C. Littlechild and G. Owen, Management Science 20 (1973) 370-372, as an encyclopedia prints it",
			Got: func() (float64, error) {
				return scope.Shares([]float64{8, 3, 2, 5}, [][]int{{0}, {0, 1}, {0, 1, 2}, {0, 1, 2, 3}})[i], nil
			}})
	}
	for i, want := range []float64{1. / 6, 1. / 6, 1. / 6, 5. / 6, 5. / 6, 29. / 6} {
		list = append(list, Check{Name: fmt.Sprintf("scope: airport game of 1, 1, 1, 3, 3, 7: share %d", i+1), Expected: want, Tolerance: 1e-12, Kind: Recomputed,
			Source: "Shapley value over all coalitions, in Python",
			Got: func() (float64, error) {
				return scope.Shares([]float64{1, 2, 4}, [][]int{{0}, {0}, {0}, {0, 1}, {0, 1}, {0, 1, 2}})[i], nil
			}})
	}
	list = append(list, networkChecks()...)
	list = append(list, pertChecks()...)
	return append(list,
		Check{Name: "scope: j301_1, end of the schedule", Expected: 43, Tolerance: 0.5, Kind: FromMemory,
			Source: "PSPLIB j301_1, R. Kolisch and A. Sprecher, Eur. J. Oper. Res. 96 (1997) 205-216; 42 refuted by scipy.optimize.milp 1.10",
			Got: func() (float64, error) {
				s, err := j301().Schedule(scope.Effort{Schedules: 5000})
				return float64(s.Makespan), err
			}},
		Check{Name: "scope: longest line of a calendar with long texts, octets", Expected: 75, Tolerance: 0.5, Kind: FromMemory,
			Source: "RFC 5545, 3.1: lines should not be longer than 75 octets, excluding the line break", Got: longestLine})
}

func longestLine() (float64, error) {
	at := time.Date(2026, 12, 14, 8, 0, 0, 0, time.UTC)
	var b bytes.Buffer
	err := scope.WriteCalendar(&b, scope.Feed{Product: "-//Check//EN", Events: []scope.Event{
		{UID: "1", Start: at, End: at.Add(time.Hour), Stamp: at, Summary: strings.Repeat("a", 500)}}})
	longest := 0
	for line := range bytes.SplitSeq(b.Bytes(), []byte("\r\n")) {
		longest = max(longest, len(line))
	}
	return float64(longest), err
}

// networkChecks are two textbook networks.
func networkChecks() []Check {
	const source = "F. S. Hillier and G. J. Lieberman, Introduction to Operations Research, construction example"
	a := func(id string, d float64, needs ...string) scope.Activity {
		return scope.Activity{ID: id, Duration: d, Needs: needs}
	}
	house := []scope.Activity{a("A", 2), a("B", 4, "A"), a("C", 10, "B"), a("D", 6, "C"), a("E", 4, "C"), a("F", 5, "E"), a("G", 7, "D"),
		a("H", 9, "E", "G"), a("I", 7, "C"), a("J", 8, "F", "I"), a("K", 4, "J"), a("L", 5, "J"), a("M", 2, "H"), a("N", 6, "K", "L")}
	second := []scope.Activity{a("1-2", 7), a("1-3", 10), a("2-4", 6, "1-2"), a("3-4", 5, "1-3"), a("3-5", 4, "1-3"), a("4-5", 3, "2-4", "3-4"), a("5-6", 2, "3-5", "4-5")}
	list := []Check{
		{Name: "scope: critical path of 14 activities, weeks", Expected: 44, Tolerance: 1e-9, Kind: FromMemory, Source: source, Got: length(house)},
		{Name: "scope: critical path of the second network", Expected: 20, Tolerance: 1e-9, Kind: Published, Source: "a textbook's answer pages, chapter on projects, network 1", Got: length(second)},
	}
	for _, x := range []struct {
		id    string
		slack float64
	}{{"D", 4}, {"F", 0}, {"G", 4}, {"H", 4}, {"I", 2}, {"K", 1}, {"M", 4}} {
		list = append(list, Check{Name: "scope: slack of activity " + x.id + ", weeks", Expected: x.slack, Tolerance: 1e-9, Kind: FromMemory, Source: source,
			Got: func() (float64, error) {
				_, slots, err := scope.CriticalPath(house)
				for _, s := range slots {
					if s.ID == x.id {
						return s.Slack, err
					}
				}
				return 0, err
			}})
	}
	return list
}

func length(list []scope.Activity) func() (float64, error) {
	return func() (float64, error) {
		l, _, err := scope.CriticalPath(list)
		return l, err
	}
}

// pertChecks are mean, variance and a chance of a beta-PERT of 7, 14, 42.
func pertChecks() []Check {
	const source = "scipy.stats.beta 1.10, shapes 1 + 4·7/35 and 1 + 4·28/35 on 7 to 42"
	p := scope.PERT{Least: 7, Likely: 14, Most: 42}
	value := func(x float64) func() (float64, error) { return func() (float64, error) { return x, nil } }
	return []Check{
		{Name: "scope: PERT mean of 7, 14, 42, days", Expected: 17.5, Tolerance: 1e-9, Kind: Recomputed, Source: source, Got: value(p.Mean())},
		{Name: "scope: PERT variance of 7, 14, 42, days²", Expected: 36.75, Tolerance: 1e-9, Kind: Recomputed, Source: source, Got: value(p.Variance())},
		{Name: "scope: PERT chance of at most 21 days", Expected: 0.7283851655051453, Tolerance: 1e-9, Kind: Recomputed, Source: source, Got: value(p.CDF(21))},
	}
}
