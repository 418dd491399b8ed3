// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
)

// simulation is a job made ready for drawing.
type simulation struct {
	line     *Timeline // from the earliest start
	supplies []Supply
	order    []int   // of the steps
	before   [][]int // steps by place
	takes    [][]int // supplies by place
	arrivals []arrival
	opening  []float64 // working hours before the day, by days after today
	free     []draw    // steps that rest on no supply
	held     []held    // the others, in an order that works
}

// held is a step that rests on supplies, directly or through others.
type held struct {
	draw
	takes []int32 // supplies
	needs []int32 // held steps before it, by place in the list
}

// draw is a duration ready for drawing.
type draw struct {
	least, span float64
	table       *quantiles
}

// arrival is a draw of days after today, from those after it only.
type arrival struct {
	draw
	from float64 // chance of having come by today
}

func (d *draw) at(u float64) float64 {
	if d.span == 0 {
		return d.least
	}
	return d.least + d.span*d.table.at(u)
}

func newSimulation(j Job, q Question) (*simulation, error) {
	line, err := NewTimeline(q.Calendar, q.Earliest)
	if err != nil {
		return nil, err
	}
	g, err := newNet(len(j.Steps), func(i int) (string, []string) { return j.Steps[i].ID, j.Steps[i].Needs })
	if err != nil {
		return nil, err
	}
	s := &simulation{line: line, supplies: j.Supplies, order: g.order, before: g.before}
	kept := tables{}
	for _, step := range j.Steps {
		if err := step.Duration.Check(); err != nil || step.Duration.Least < 0 {
			return nil, fmt.Errorf("scope: step %s takes %g, %g, %g h", step.ID, step.Duration.Least, step.Duration.Likely, step.Duration.Most)
		}
	}
	if err := s.supply(j, q, kept); err != nil {
		return nil, err
	}
	s.part(j, kept)
	return s, nil
}

// part tells the steps that rest on supplies from the others.
func (s *simulation) part(j Job, kept tables) {
	at := map[int]int32{}
	for _, i := range s.order {
		p := j.Steps[i].Duration
		h := held{draw: draw{p.Least, p.Most - p.Least, kept.of(p)}}
		for _, k := range s.takes[i] {
			h.takes = append(h.takes, int32(k))
		}
		for _, b := range s.before[i] {
			if place, ok := at[b]; ok {
				h.needs = append(h.needs, place)
			}
		}
		if h.takes == nil && h.needs == nil {
			s.free = append(s.free, h.draw)
			continue
		}
		at[i] = int32(len(s.held))
		s.held = append(s.held, h)
	}
}

// supply makes the arrivals ready, and the working hours to their days.
func (s *simulation) supply(j Job, q Question, kept tables) error {
	index := map[string]int{}
	last := 0.0
	for k, x := range j.Supplies {
		if _, twice := index[x.ID]; twice {
			return fmt.Errorf("scope: supply %s is here twice", x.ID)
		}
		index[x.ID] = k
		if err := x.Arrival.Check(); err != nil {
			return fmt.Errorf("%s: %w", x.ID, err)
		}
		if x.Arrival.Most > maxDays/2 {
			return fmt.Errorf("scope: supply %s comes in %g days; a digit may be wrong", x.ID, x.Arrival.Most)
		}
		if x.Arrival.Most < 0 {
			return &OverdueError{x.ID, q.Today.Add(int(math.Ceil(x.Arrival.Most)))}
		}
		last = max(last, x.Arrival.Most)
		a := arrival{draw{x.Arrival.Least, x.Arrival.Most - x.Arrival.Least, kept.of(x.Arrival)}, 0}
		if x.Arrival.Least < 0 {
			a.from = x.Arrival.CDF(0)
		}
		s.arrivals = append(s.arrivals, a)
	}
	s.takes = make([][]int, len(j.Steps))
	for i, step := range j.Steps {
		for _, id := range step.Supplies {
			if k, ok := index[id]; ok {
				s.takes[i] = append(s.takes[i], k)
			}
		}
	}
	ahead := int(math.Round(q.Earliest.Sub(q.Today.Time).Hours() / 24))
	for day := 0; day <= int(math.Ceil(last)); day++ {
		// What comes before the earliest start is there at its opening.
		s.opening = append(s.opening, s.line.Opening(day-ahead))
	}
	return nil
}

// drawn is what came out, draw by draw.
type drawn struct {
	need  []float64 // working hour from which a start does not wait
	total []float64 // work
	paced []int     // how often each supply was the one that held need
}

// chunk draws share one generator, so that the number of processors changes
// nothing.
const chunk = 2048

// run draws n times.
func (s *simulation) run(n int, seed uint64) *drawn {
	d := &drawn{need: make([]float64, n), total: make([]float64, n), paced: make([]int, len(s.supplies))}
	chunks := make(chan int)
	var wait sync.WaitGroup
	var lock sync.Mutex
	for range min(runtime.GOMAXPROCS(0), (n+chunk-1)/chunk) {
		wait.Go(func() {
			w := newWalker(s)
			for c := range chunks {
				w.rng = rand.NewPCG(seed, uint64(c))
				for i := c * chunk; i < min((c+1)*chunk, n); i++ {
					d.need[i], d.total[i] = w.draw()
				}
			}
			lock.Lock()
			defer lock.Unlock()
			for k, x := range w.paced {
				d.paced[k] += x
			}
		})
	}
	for c := 0; c*chunk < n; c++ {
		chunks <- c
	}
	close(chunks)
	wait.Wait()
	return d
}

// walker holds what one draw needs, to be used again.
type walker struct {
	s       *simulation
	comes   []int     // day of arrival, by supply
	release []int     // day from which a held step is free
	work    []float64 // by day of release
	first   []int     // a supply that comes on a day and holds a step, or -1
	paced   []int
	rng     *rand.PCG
}

func newWalker(s *simulation) *walker {
	return &walker{s: s, comes: make([]int, len(s.supplies)), release: make([]int, len(s.held)),
		work: make([]float64, len(s.opening)), first: make([]int, len(s.opening)), paced: make([]int, len(s.supplies))}
}

// uniform draws from [0, 1).
func (w *walker) uniform() float64 { return float64(w.rng.Uint64()>>11) * 0x1p-53 }

// draw draws the job once: the working hour from which a start does not wait,
// and the work.
func (w *walker) draw() (need, total float64) {
	s := w.s
	for day := range w.work {
		w.work[day], w.first[day] = 0, -1
	}
	for k := range s.arrivals {
		a := &s.arrivals[k]
		u := a.from + (1-a.from)*w.uniform()
		w.comes[k] = max(int(math.Ceil(a.at(u)-1e-9)), 0)
	}
	for i := range s.free {
		total += s.free[i].at(w.uniform())
	}
	for n := range s.held {
		h := &s.held[n]
		day := 0
		for _, k := range h.takes {
			if w.comes[k] > day {
				day = w.comes[k]
				w.first[day] = int(k)
			}
		}
		for _, b := range h.needs {
			day = max(day, w.release[b])
		}
		w.release[n] = day
		p := h.at(w.uniform())
		w.work[day] += p
		total += p
	}
	return w.start(total), total
}

// start finds the working hour from which a start does not wait, and counts
// what holds it.
func (w *walker) start(total float64) float64 {
	need, holder := 0.0, -1
	before := total // P − T_k: work that needs nothing that comes on the day or later
	for day := len(w.work) - 1; day > 0; day-- {
		if w.first[day] < 0 {
			continue
		}
		before -= w.work[day]
		if x := w.s.opening[day] - max(before, 0); x > need+1e-9 {
			need, holder = x, w.first[day]
		}
	}
	if holder >= 0 {
		w.paced[holder]++
	}
	return need
}
