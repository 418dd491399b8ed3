// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
)

// Effort is how long to look for a schedule. The result depends on it and the
// seed alone, not on the machine.
type Effort struct {
	Schedules int // to build; 0 is taken as 20 000
	Seed      uint64
}

// Schedule proposes when each task starts, so that all are done soon. It takes
// the best of a genetic search over orders of the tasks, every order made into
// a schedule task by task and shifted right and left again; among schedules of
// one length, the one whose last tasks end sooner on the whole. It stops as
// soon as the lower bound is reached. Networks of up to ten tasks of one phase
// are searched completely. A schedule that is not proven may be longer than
// need be; the lower bound says by how much at most.
//
// It returns an error for what can't be scheduled: an unknown need, a circle, a
// use beyond the capacity, fixed starts that clash.
//
// Source: S. Hartmann, Naval Research Logistics 45 (1998) 733-750, for the
// search; R. Kolisch, Eur. J. Oper. Res. 90 (1996) 320-333, for schedules
// built task by task. From memory.
func (n Network) Schedule(e Effort) (Schedule, error) {
	p, err := n.ready()
	if err != nil {
		return Schedule{}, err
	}
	if e.Schedules <= 0 {
		e.Schedules = 20_000
	}
	s := Schedule{LowerBound: p.lowerBound(), Starts: []int{}}
	if len(n.Tasks) == 0 {
		s.Proven = true
		return s, nil
	}
	search := newSearch(p, e, s.LowerBound)
	search.run()
	s.Starts, s.Makespan, s.Proven = search.best, search.end, search.end <= s.LowerBound
	if !s.Proven && p.small() {
		exact := &exact{builder: newBuilder(p), end: s.Makespan}
		exact.run()
		if exact.best != nil {
			s.Starts, s.Makespan = exact.best, exact.end
		}
		s.Proven, s.LowerBound = true, s.Makespan
	}
	s.Tried = search.built()
	if err := n.Check(s.Starts); err != nil {
		return Schedule{}, fmt.Errorf("the fixed starts do not fit: %w", err)
	}
	return s, nil
}

// Later is what a change does to a task.
type Later struct {
	ID string
	By int // ends later by so much; below zero: sooner
}

// Move fixes the start of a task, as a person moves a job, and returns the new
// schedule, how much longer all takes, and which tasks end at another time.
func (n Network) Move(old Schedule, id string, start int, e Effort) (s Schedule, longer int, moved []Later, err error) {
	i := slices.IndexFunc(n.Tasks, func(t Task) bool { return t.ID == id })
	if i < 0 {
		return s, 0, nil, fmt.Errorf("scope: there is no task %q", id)
	}
	n.Tasks = slices.Clone(n.Tasks)
	n.Tasks[i].Fixed = &start
	if s, err = n.Schedule(e); err != nil {
		return s, 0, nil, err
	}
	for k := range min(len(old.Starts), len(s.Starts)) {
		if by := s.Starts[k] - old.Starts[k]; by != 0 {
			moved = append(moved, Later{n.Tasks[k].ID, by})
		}
	}
	return s, s.Makespan - old.Makespan, moved, nil
}

// fitness orders schedules: by the end, then by the ends of what nothing needs.
type fitness struct{ end, sum int }

func (f fitness) compare(g fitness) int { return cmp.Or(f.end-g.end, f.sum-g.sum) }

// one is one order of the tasks and what comes of it.
type one struct {
	order []int
	fit   fitness
}

// search is a genetic search over orders.
type search struct {
	*problem
	*improver
	rng   *rand.Rand
	limit int
	bound int
	best  []int
	fit   fitness
	end   int
}

const population = 40

func newSearch(p *problem, e Effort, bound int) *search {
	return &search{problem: p, improver: newImprover(p), rng: rand.New(rand.NewPCG(e.Seed, 1)), limit: e.Schedules, bound: bound}
}

func (s *search) built() int { return s.fore.built + s.back.built }
func (s *search) done() bool { return s.built() >= s.limit || s.best != nil && s.end <= s.bound }

func (s *search) run() {
	var people []one
	for range population {
		people = append(people, s.evaluate(s.sample(len(people) == 0)))
		if s.done() {
			return
		}
	}
	for !s.done() {
		slices.SortStableFunc(people, func(a, b one) int { return a.fit.compare(b.fit) })
		people = people[:population]
		for range population / 2 {
			i := s.rng.IntN(population)
			j := (i + 1 + s.rng.IntN(population-1)) % population
			people = append(people, s.evaluate(s.cross(people[i].order, people[j].order)),
				s.evaluate(s.cross(people[j].order, people[i].order)))
			if s.done() {
				return
			}
		}
	}
}

func (s *search) evaluate(order []int) one {
	end := s.improve(order)
	sum := 0
	for i, after := range s.problem.net.after {
		if len(after) == 0 {
			sum += s.fore.starts[i] + s.problem.length[i]
		}
	}
	o := one{order, fitness{end, sum}}
	if s.best == nil || o.fit.compare(s.fit) < 0 {
		s.best, s.fit, s.end = slices.Clone(s.fore.starts), o.fit, end
	}
	return o
}

// sample builds an order by the least latest finish, with chance for others
// unless it is strict.
func (s *search) sample(strict bool) []int {
	n := len(s.problem.length)
	left := make([]int, n)
	var ready, order []int
	for i := range n {
		if left[i] = len(s.problem.net.before[i]); left[i] == 0 {
			ready = append(ready, i)
		}
	}
	for len(ready) > 0 {
		k := s.pick(ready, strict)
		i := ready[k]
		ready = slices.Delete(ready, k, k+1)
		order = append(order, i)
		for _, a := range s.problem.net.after[i] {
			if left[a]--; left[a] == 0 {
				ready = append(ready, a)
			}
		}
	}
	return order
}

// pick chooses by the tail, longest first: by regret, (worst − own + 1).
func (s *search) pick(ready []int, strict bool) int {
	most, least := 0, s.problem.horizon
	for _, i := range ready {
		t := s.problem.tail[i] + s.problem.length[i]
		most, least = max(most, t), min(least, t)
	}
	sum := 0
	for _, i := range ready {
		sum += s.problem.tail[i] + s.problem.length[i] - least + 1
	}
	at := s.rng.IntN(sum)
	for k, i := range ready {
		t := s.problem.tail[i] + s.problem.length[i]
		if strict && t == most {
			return k
		}
		if at -= t - least + 1; at < 0 && !strict {
			return k
		}
	}
	return 0
}

// cross takes the ends of the mother and the middle of the father, each task
// once, and changes a few neighbours.
func (s *search) cross(mother, father []int) []int {
	n := len(mother)
	a, b := s.rng.IntN(n+1), s.rng.IntN(n+1)
	a, b = min(a, b), max(a, b)
	child := slices.Clone(mother[:a])
	in := make([]bool, n)
	for _, i := range child {
		in[i] = true
	}
	take := func(list []int, until int) {
		for _, i := range list {
			if len(child) < until && !in[i] {
				child, in[i] = append(child, i), true
			}
		}
	}
	take(father, b)
	take(mother, n)
	for k := 1; k < n; k++ {
		if s.rng.IntN(20) == 0 && !slices.Contains(s.problem.net.before[child[k]], child[k-1]) {
			child[k-1], child[k] = child[k], child[k-1]
		}
	}
	return child
}
