// SPDX-License-Identifier: Apache-2.0

package film

import (
	"context"
	"errors"
	"runtime"
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
	// Cycle returns the load cycle at a speed; Engine.Cycle is one.
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
	for i, v := range s.Speeds {
		var err error
		if cycles[i], err = s.Cycle(v); err != nil {
			return nil, err
		}
	}
	m := &MapResult{Clearances: s.Clearances, Speeds: s.Speeds, Oils: s.Oils,
		Cells: make([]Cell, len(s.Clearances)*len(s.Speeds)*len(s.Oils))}
	// A row of clearances is one piece of work: each starts from its neighbour.
	rows := len(s.Speeds) * len(s.Oils)
	tick := ticker(progress, len(m.Cells))
	err := parallel(ctx, rows, s.Workers, func() func(row int) error {
		var w worker
		return func(row int) error {
			o, v := row/len(s.Speeds), row%len(s.Speeds)
			n := len(s.Clearances)
			return w.row(ctx, &s, s.Oils[o], s.Speeds[v], cycles[v], m.Cells[row*n:row*n+n], tick)
		}
	})
	if err != nil {
		return nil, err
	}
	return m, nil
}

func (w *worker) row(ctx context.Context, s *SweepSpec, g Grade, speed float64, load *Cycle, cells []Cell, tick func()) error {
	w.hint = false
	c := Case{Bearing: s.Bearing, Viscosity: g.Viscosity, Speed: speed, Load: load, Method: s.Method, Options: s.Options}
	c.Options.Points = 0
	var f Film
	for i, clearance := range s.Clearances {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		c.Bearing.Clearance = clearance
		if f == nil {
			// The film depends on the width ratio alone: one for the row.
			if g.Thermal.Oil != nil {
				c.Viscosity = 1e-2
			}
			if err := c.Check(); err != nil {
				return err
			}
			var err error
			if f, err = NewFilm(c); err != nil {
				return err
			}
		}
		if err := c.Bearing.Check(); err != nil {
			return err
		}
		err := w.cell(&c, f, g, &cells[i])
		w.hint = err == nil
		var over *OverloadError
		var settle *SettleError
		if err != nil && !errors.As(err, &over) && !errors.As(err, &settle) {
			return err
		}
		cells[i].Err = err
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
