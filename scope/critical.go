// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"math"
	"strings"
)

// Activity is one step of a network without limits on people.
type Activity struct {
	ID       string
	Duration float64  // in any one unit of time, not negative
	Needs    []string // activities that end before it starts
}

// Slot is when an activity can be, counted from the start.
type Slot struct {
	ID           string
	EarlyStart   float64
	EarlyFinish  float64
	LateStart    float64
	LateFinish   float64
	Slack        float64 // late less early start
	FreeSlack    float64 // that delays no other activity
	Critical     bool
	CriticalNext []string // activities that start the moment it ends, critical too
}

// CircleError says that activities need each other all round.
type CircleError struct{ IDs []string }

func (e *CircleError) Error() string {
	return "scope: activities need each other in a circle: " + strings.Join(e.IDs, " → ")
}

// CriticalPath returns the length of a network and the earliest and latest
// times of every activity, in the order given: forward pass EF = max EF of what
// it needs + duration, backward pass LS = min LS of what needs it − duration.
// An activity is critical if its slack is zero within 1e-9 of the length.
//
// It returns an error for a duration that is negative or no number, an id that
// is twice or not there, and a *[CircleError].
//
// Source: J. E. Kelley, Operations Research 9 (1961) 296-320, from memory.
func CriticalPath(list []Activity) (length float64, slots []Slot, err error) {
	net, err := newNet(len(list), func(i int) (string, []string) { return list[i].ID, list[i].Needs })
	if err != nil {
		return 0, nil, err
	}
	for _, a := range list {
		if !(a.Duration >= 0) || math.IsInf(a.Duration, 0) {
			return 0, nil, fmt.Errorf("scope: activity %s takes %g", a.ID, a.Duration)
		}
	}
	slots = make([]Slot, len(list))
	for _, i := range net.order {
		s := &slots[i]
		s.ID = list[i].ID
		for _, j := range net.before[i] {
			s.EarlyStart = math.Max(s.EarlyStart, slots[j].EarlyFinish)
		}
		s.EarlyFinish = s.EarlyStart + list[i].Duration
		length = math.Max(length, s.EarlyFinish)
	}
	for k := len(list) - 1; k >= 0; k-- {
		i := net.order[k]
		s := &slots[i]
		s.LateFinish = length
		free := length
		for _, j := range net.after[i] {
			s.LateFinish = math.Min(s.LateFinish, slots[j].LateStart)
			free = math.Min(free, slots[j].EarlyStart)
		}
		s.LateStart = s.LateFinish - list[i].Duration
		s.Slack = s.LateStart - s.EarlyStart
		s.FreeSlack = free - s.EarlyFinish
		s.Critical = s.Slack <= 1e-9*length
		if !s.Critical {
			continue
		}
		for _, j := range net.after[i] {
			if slots[j].Critical && slots[j].EarlyStart-s.EarlyFinish <= 1e-9*length {
				s.CriticalNext = append(s.CriticalNext, list[j].ID)
			}
		}
	}
	return length, slots, nil
}

// net is a network by place: what comes before and after, and an order.
type net struct {
	before, after [][]int
	order         []int
}

// newNet looks the ids up and sorts them.
func newNet(n int, at func(i int) (id string, needs []string)) (*net, error) {
	index := make(map[string]int, n)
	for i := range n {
		id, _ := at(i)
		if _, twice := index[id]; twice {
			return nil, fmt.Errorf("scope: activity %q is here twice", id)
		}
		index[id] = i
	}
	g := &net{before: make([][]int, n), after: make([][]int, n)}
	for i := range n {
		id, needs := at(i)
		for _, need := range needs {
			j, ok := index[need]
			if !ok {
				return nil, fmt.Errorf("scope: activity %q needs %q, which is not there", id, need)
			}
			g.before[i] = append(g.before[i], j)
			g.after[j] = append(g.after[j], i)
		}
	}
	sorter := graph{needs: g.before}
	if circle := sorter.sortOperations(); circle != nil {
		e := &CircleError{}
		for _, i := range circle {
			id, _ := at(i)
			e.IDs = append(e.IDs, id)
		}
		return nil, e
	}
	g.order = sorter.order
	return g, nil
}
