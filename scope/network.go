// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"slices"
)

// Network is tasks on scarce resources: several jobs on few lifts and people.
// Time is in whole units of the caller's choice, such as quarter hours of
// working time.
type Network struct {
	Resources []Resource
	Tasks     []Task
}

// Resource is something of which so many are there at any time.
type Resource struct {
	ID       string
	Capacity int
}

// Task is something that runs without a break once it has started. A job that
// keeps its lift while nobody works on it is one task with several phases.
type Task struct {
	ID      string
	Phases  []Phase  // one after the other
	Needs   []string // tasks that end before it starts
	Release int      // not before this time
	Fixed   *int     // starts at exactly this time, whatever else
}

// Phase is a stretch of a task with the same use of resources.
type Phase struct {
	Duration int
	Uses     []int // of each resource, in their order; missing ones are 0
}

// Duration is that of all phases.
func (t Task) Duration() int {
	sum := 0
	for _, p := range t.Phases {
		sum += p.Duration
	}
	return sum
}

// Schedule says when every task starts.
type Schedule struct {
	Starts     []int // in the order of the tasks
	Makespan   int   // end of the last task
	LowerBound int   // no schedule ends sooner
	Proven     bool  // no schedule ends sooner than this one
	Tried      int   // schedules that were built
}

// maxCells bounds the table of what is in use: time by resource.
const maxCells = 4_000_000

// problem is a network made ready.
type problem struct {
	net      *net
	capacity []int
	phases   [][]Phase
	length   []int
	release  []int
	fixed    []*int
	horizon  int
	head     []int // earliest start by needs and release
	tail     []int // least time from its end to the end of all
	single   bool  // every task has one phase
}

func (n Network) ready() (*problem, error) {
	g, err := newNet(len(n.Tasks), func(i int) (string, []string) { return n.Tasks[i].ID, n.Tasks[i].Needs })
	if err != nil {
		return nil, err
	}
	p := &problem{net: g, single: true}
	for _, r := range n.Resources {
		if r.Capacity < 0 {
			return nil, fmt.Errorf("scope: resource %s has the capacity %d", r.ID, r.Capacity)
		}
		p.capacity = append(p.capacity, r.Capacity)
	}
	for i, t := range n.Tasks {
		if err := n.checkTask(t, len(g.before[i]) > 0); err != nil {
			return nil, err
		}
		p.phases = append(p.phases, evened(t.Phases, len(p.capacity)))
		p.single = p.single && len(t.Phases) <= 1
		p.length = append(p.length, t.Duration())
		p.release = append(p.release, t.Release)
		p.fixed = append(p.fixed, t.Fixed)
		p.horizon += t.Duration()
	}
	latest := 0
	for i, t := range n.Tasks {
		latest = max(latest, t.Release)
		if t.Fixed != nil {
			p.release[i] = *t.Fixed
			latest = max(latest, *t.Fixed)
			p.horizon += t.Duration() // others may have to go round it
		}
	}
	p.horizon += latest
	if p.horizon*max(len(p.capacity), 1) > maxCells {
		return nil, fmt.Errorf("scope: %d units of time are too many; use longer units", p.horizon)
	}
	p.ends()
	return p, nil
}

func (n Network) checkTask(t Task, hasNeeds bool) error {
	if t.Release < 0 || t.Fixed != nil && *t.Fixed < 0 {
		return fmt.Errorf("scope: task %s starts before time 0", t.ID)
	}
	if t.Fixed != nil && hasNeeds {
		return fmt.Errorf("scope: task %s needs others and can't be fixed", t.ID)
	}
	for _, p := range t.Phases {
		if p.Duration < 0 || len(p.Uses) > len(n.Resources) {
			return fmt.Errorf("scope: task %s has a phase of %d with %d resources", t.ID, p.Duration, len(p.Uses))
		}
		for r, use := range p.Uses {
			if use < 0 || use > n.Resources[r].Capacity {
				return fmt.Errorf("scope: task %s uses %d of %s, and there are %d", t.ID, use, n.Resources[r].ID, n.Resources[r].Capacity)
			}
		}
	}
	return nil
}

// evened gives every phase a use of every resource, and drops empty phases.
func evened(list []Phase, resources int) []Phase {
	var out []Phase
	for _, p := range list {
		if p.Duration > 0 {
			out = append(out, Phase{p.Duration, append(slices.Clone(p.Uses), make([]int, resources-len(p.Uses))...)})
		}
	}
	return out
}

// ends computes heads and tails.
func (p *problem) ends() {
	n := len(p.length)
	p.head, p.tail = slices.Clone(p.release), make([]int, n)
	for _, i := range p.net.order {
		for _, b := range p.net.before[i] {
			p.head[i] = max(p.head[i], p.head[b]+p.length[b])
		}
	}
	for k := n - 1; k >= 0; k-- {
		i := p.net.order[k]
		for _, a := range p.net.after[i] {
			p.tail[i] = max(p.tail[i], p.length[a]+p.tail[a])
		}
	}
}

// makespan is the end of the last task.
func (p *problem) makespan(starts []int) int {
	end := 0
	for i, s := range starts {
		end = max(end, s+p.length[i])
	}
	return end
}

// Check holds a schedule against the network: needs, releases, fixed starts,
// and no resource used beyond what is there.
func (n Network) Check(starts []int) error {
	p, err := n.ready()
	if err != nil {
		return err
	}
	if len(starts) != len(n.Tasks) {
		return fmt.Errorf("scope: %d starts for %d tasks", len(starts), len(n.Tasks))
	}
	use := map[[2]int]int{}
	for i, s := range starts {
		id := n.Tasks[i].ID
		if s < p.release[i] || p.fixed[i] != nil && s != *p.fixed[i] {
			return fmt.Errorf("scope: task %s starts at %d", id, s)
		}
		for _, b := range p.net.before[i] {
			if starts[b]+p.length[b] > s {
				return fmt.Errorf("scope: task %s starts at %d, before %s ends", id, s, n.Tasks[b].ID)
			}
		}
		for _, ph := range p.phases[i] {
			for t := s; t < s+ph.Duration; t++ {
				for r, u := range ph.Uses {
					use[[2]int{t, r}] += u
					if use[[2]int{t, r}] > p.capacity[r] {
						return fmt.Errorf("scope: at %d more of %s is used than there is", t, n.Resources[r].ID)
					}
				}
			}
			s += ph.Duration
		}
	}
	return nil
}
