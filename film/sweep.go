// SPDX-License-Identifier: Apache-2.0

package film

import (
	"cmp"
	"context"
	"errors"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
)

// Grade is one oil of a sweep: either a viscosity, or an oil with its inlet
// temperature for the heat balance.
type Grade struct {
	Name      string
	Viscosity float64 // Pa·s; used where Thermal.Oil is nil
	Thermal   Thermal
}

// SweepSpec is a map over clearance, speed and oil.
type SweepSpec struct {
	Bearing    Bearing   // its clearance is replaced
	Clearances []float64 // m, diametral
	Speeds     []float64 // rad/s
	Oils       []Grade
	// Cycle returns the load cycle at a speed, from several goroutines at once;
	// Engine.Cycle is one.
	Cycle   func(speed float64) (*Cycle, error)
	Method  Method
	Options Options
	Workers int // 0 means all cores
}

// Cell is one point of a map.
type Cell struct {
	MinFilm     float64 // m; 0 where Err says that the film failed
	MaxPressure float64 // Pa; 0 with Options.Bare and no heat balance
	Temperature float64 // °C, with a heat balance
	Err         error   // *OverloadError or *SettleError
}

// MapResult holds the cells of a sweep by oil, speed and clearance:
// Cells[(o·len(Speeds)+s)·len(Clearances)+c].
type MapResult struct {
	Clearances, Speeds []float64
	Oils               []Grade
	Cells              []Cell
}

// At returns the cell of clearance c, speed s and oil o, by index.
func (m *MapResult) At(c, s, o int) Cell {
	return m.Cells[(o*len(m.Speeds)+s)*len(m.Clearances)+c]
}

// Sweep computes the map on all cores. progress, if not nil, is told the cells
// done of all, from one goroutine at a time. The result does not depend on the
// number of workers.
//
// It returns the context's error when stopped, and any error that is not the
// film's own failure at a cell (those stand in the cells).
func Sweep(ctx context.Context, s SweepSpec, progress func(done, total int)) (*MapResult, error) {
	cycles := make([]*Cycle, len(s.Speeds))
	err := parallel(ctx, len(s.Speeds), s.Workers, func() func(i int) error {
		return func(i int) (err error) {
			cycles[i], err = s.Cycle(s.Speeds[i])
			return err
		}
	})
	if err != nil {
		return nil, err
	}
	m := &MapResult{Clearances: s.Clearances, Speeds: s.Speeds, Oils: s.Oils,
		Cells: make([]Cell, len(s.Clearances)*len(s.Speeds)*len(s.Oils))}
	pieces := s.pieces()
	tick := ticker(progress, len(m.Cells))
	err = parallel(ctx, len(pieces), s.Workers, func() func(i int) error {
		var w worker
		return func(i int) error {
			return w.piece(ctx, &s, pieces[i], cycles[pieces[i].speed], m.Cells, tick)
		}
	})
	if err != nil {
		return nil, err
	}
	return m, nil
}

// piece is a run of cells of one speed that one worker solves in order, each
// starting near the path of the last.
type piece struct {
	speed int
	cells []int // oil × clearance, o·len(Clearances)+c
}

// pieceCells bounds a piece, so that all workers have something to do. It does
// not depend on their number, nor does the result.
const pieceCells = 40

// pieces orders the cells of each speed by c²/μ, on which alone the path
// depends: neighbours in that order have nearly the same. Oils with a heat
// balance stand by clearance.
func (s *SweepSpec) pieces() []piece {
	n := len(s.Clearances)
	var fixed []int
	var out []piece
	for o, g := range s.Oils {
		row := make([]int, n)
		for c := range row {
			row[c] = o*n + c
		}
		if g.Thermal.Oil == nil {
			fixed = append(fixed, row...)
			continue
		}
		for v := range s.Speeds {
			out = append(out, piece{v, row})
		}
	}
	key := func(i int) float64 {
		c := s.Clearances[i%n]
		return c * c / s.Oils[i/n].Viscosity
	}
	slices.SortFunc(fixed, func(a, b int) int { return cmp.Or(cmp.Compare(key(a), key(b)), cmp.Compare(a, b)) })
	for run := range slices.Chunk(fixed, pieceCells) {
		for v := range s.Speeds {
			out = append(out, piece{v, run})
		}
	}
	return out
}

func (w *worker) piece(ctx context.Context, s *SweepSpec, p piece, load *Cycle, cells []Cell, tick func()) error {
	w.forget()
	n := len(s.Clearances)
	c := Case{Bearing: s.Bearing, Speed: s.Speeds[p.speed], Load: load, Method: s.Method, Options: s.Options}
	c.Options.Points = 0
	var f Film
	for _, i := range p.cells {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		g := s.Oils[i/n]
		c.Bearing.Clearance, c.Viscosity = s.Clearances[i%n], g.Viscosity
		if g.Thermal.Oil != nil {
			c.Viscosity = 1e-2 // until the balance gives one
		}
		if err := c.Check(); err != nil {
			return err
		}
		if f == nil {
			// The film depends on the width ratio alone.
			var err error
			if f, err = NewFilm(c); err != nil {
				return err
			}
		}
		out := &cells[(i/n*len(s.Speeds)+p.speed)*n+i%n]
		err := w.cell(&c, f, g, out)
		var over *OverloadError
		var settle *SettleError
		if err != nil && !errors.As(err, &over) && !errors.As(err, &settle) {
			return err
		}
		out.Err = err
		tick()
	}
	return nil
}

func (w *worker) cell(c *Case, f Film, g Grade, out *Cell) error {
	if g.Thermal.Oil == nil {
		r, err := w.solve(c, f)
		out.MinFilm, out.MaxPressure = r.MinFilm, r.MaxPressure
		return err
	}
	r, warm, err := w.solveWarm(c, f, g.Thermal)
	out.MinFilm, out.MaxPressure, out.Temperature = r.MinFilm, r.MaxPressure, warm.Temperature
	return err
}

// ticker counts cells and tells progress, one at a time.
func ticker(progress func(done, total int), total int) func() {
	if progress == nil {
		return func() {}
	}
	var mu sync.Mutex
	done := 0
	return func() {
		mu.Lock()
		defer mu.Unlock()
		done++
		progress(done, total)
	}
}

// parallel runs n pieces of work on the workers; each worker makes its own
// scratch. The first error stops the rest.
func parallel(ctx context.Context, n, workers int, scratch func() func(i int) error) error {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	workers = max(1, min(workers, n))
	var next atomic.Int64
	var once sync.Once
	var failed error
	var stop atomic.Bool
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			do := scratch()
			for !stop.Load() {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				err := ctx.Err()
				if err == nil {
					err = do(i)
				}
				if err != nil {
					once.Do(func() { failed = err })
					stop.Store(true)
				}
			}
		})
	}
	wg.Wait()
	return failed
}
