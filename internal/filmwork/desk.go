// SPDX-License-Identifier: Apache-2.0

package filmwork

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
)

// Desk computes films behind the pages and keeps what came out, by content.
type Desk struct {
	mu    sync.Mutex
	items map[string]*item
	order []string      // oldest first
	turn  chan struct{} // one at a time: each takes all cores
}

// kept is how many results stay.
const kept = 48

// item is one ask with what has come of it. Its fields are guarded by the
// desk.
type item struct {
	status Status
	cancel context.CancelFunc
	films  chan struct{} // closed when the films are there, or never will be
	done   chan struct{}
}

// Status is how far an ask has come.
type Status struct {
	Key     string
	Result  *Result // nil until the films are there; never changed once handed out
	Done    int     // pieces of Total
	Total   int
	Running bool
	Stopped bool  // by somebody, before it was complete
	Err     error // why nothing came out
}

// Whole reports whether everything is there.
func (s Status) Whole() bool { return !s.Running && !s.Stopped && s.Err == nil && s.Result != nil }

// FilmsAlone is the status without what is computed after the films, so that
// it does not depend on how far that has come.
func (s Status) FilmsAlone() Status {
	s.Running, s.Stopped, s.Done, s.Total = false, false, 0, 0
	if s.Result == nil {
		return s
	}
	s.Result = s.Result.copied()
	s.Result.Map = nil
	for i := range s.Result.Positions {
		p := &s.Result.Positions[i]
		p.Shape = nil
		for _, x := range []*PhaseFilm{p.Found, p.Fitted} {
			if x != nil {
				x.Spread = nil
			}
		}
	}
	return s
}

// NewDesk makes a desk with nothing on it.
func NewDesk() *Desk { return &Desk{items: map[string]*item{}, turn: make(chan struct{}, 1)} }

// Start begins an ask unless it was begun before, and returns how far it has
// come, at once.
func (d *Desk) Start(a Ask) Status {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.start(a).status
}

// Again begins a stopped or failed ask anew.
func (d *Desk) Again(a Ask) Status {
	d.mu.Lock()
	defer d.mu.Unlock()
	if it := d.items[a.Key()]; it != nil && (it.status.Stopped || it.status.Err != nil) {
		d.forget(a.Key())
	}
	return d.start(a).status
}

// Stop ends an ask that is under way; what is there stays.
func (d *Desk) Stop(a Ask) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if it := d.items[a.Key()]; it != nil && it.status.Running {
		it.cancel()
	}
}

// Films waits until the films are there, or the context ends.
func (d *Desk) Films(ctx context.Context, a Ask) Status {
	return d.wait(ctx, a, func(it *item) chan struct{} { return it.films })
}

// Wait waits until everything is there, or the context ends.
func (d *Desk) Wait(ctx context.Context, a Ask) Status {
	return d.wait(ctx, a, func(it *item) chan struct{} { return it.done })
}

func (d *Desk) wait(ctx context.Context, a Ask, on func(*item) chan struct{}) Status {
	d.mu.Lock()
	it := d.start(a)
	d.mu.Unlock()
	select {
	case <-on(it):
	case <-ctx.Done():
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	return it.status
}

func (d *Desk) start(a Ask) *item {
	key := a.Key()
	if it := d.items[key]; it != nil {
		return it
	}
	ctx, cancel := context.WithCancel(context.Background())
	it := &item{status: Status{Key: key, Running: true}, cancel: cancel, films: make(chan struct{}), done: make(chan struct{})}
	if len(d.order) >= kept {
		d.forget(d.order[0])
	}
	d.items[key], d.order = it, append(d.order, key)
	go d.run(ctx, a, it)
	return it
}

func (d *Desk) forget(key string) {
	if it := d.items[key]; it != nil {
		it.cancel()
	}
	delete(d.items, key)
	d.order = slices.DeleteFunc(d.order, func(k string) bool { return k == key })
}

func (d *Desk) run(ctx context.Context, a Ask, it *item) {
	var once sync.Once
	tell := func(change func(*Status)) {
		d.mu.Lock()
		defer d.mu.Unlock()
		change(&it.status)
	}
	err := func() (err error) {
		// A fault of the calculation must not take the server with it.
		defer func() {
			if p := recover(); p != nil {
				err = fmt.Errorf("film: %v", p)
			}
		}()
		select {
		case d.turn <- struct{}{}:
			defer func() { <-d.turn }()
		case <-ctx.Done():
			return ctx.Err()
		}
		return compute(ctx, a, tell, func() { once.Do(func() { close(it.films) }) })
	}()
	tell(func(s *Status) {
		s.Running = false
		if errors.Is(err, context.Canceled) {
			s.Stopped = true
		} else {
			s.Err = err
		}
	})
	it.cancel()
	once.Do(func() { close(it.films) })
	close(it.done)
}

// compute goes through the stages and tells what is there after each.
func compute(ctx context.Context, a Ask, tell func(func(*Status)), films func()) error {
	m, missing, err := newModel(a.Sheet)
	if err != nil {
		return err
	}
	if len(missing) > 0 || !a.measured() {
		tell(func(s *Status) {
			s.Result = &Result{Missing: missing, Oils: []Oil{}, Positions: []PositionFilm{}, Assumed: []string{}}
		})
		return nil
	}
	j := &job{ctx: ctx, ask: a, m: m, step: func(n int) { tell(func(s *Status) { s.Done += n }) }}
	tell(func(s *Status) { s.Total = j.pieces() })
	if j.hot, err = m.engine.Cycle(m.rated); err != nil {
		return err
	}
	if j.warmUp, err = m.engine.Cycle(m.warmUp); err != nil {
		return err
	}
	res, err := j.films()
	if err != nil {
		return err
	}
	show := func() {
		copied := res.copied()
		tell(func(s *Status) { s.Result = copied })
	}
	show()
	films()
	for _, stage := range []func(*Result) error{j.spreads, j.shapes, j.sweep} {
		if err := stage(res); err != nil {
			return err
		}
		show()
	}
	return nil
}

// copied is the result as it stands, for readers, while the next stage writes
// on.
func (r *Result) copied() *Result {
	c := *r
	c.Positions = slices.Clone(r.Positions)
	for i := range c.Positions {
		p := &c.Positions[i]
		for _, x := range []**PhaseFilm{&p.Found, &p.Fitted} {
			if *x != nil {
				own := **x
				*x = &own
			}
		}
	}
	return &c
}

// WithoutCycle is the result without every instant of the cycles.
func (r *Result) WithoutCycle() *Result {
	c := r.copied()
	for _, p := range c.Positions {
		for _, x := range []*PhaseFilm{p.Found, p.Fitted} {
			if x != nil {
				x.Cycle = nil
			}
		}
	}
	return c
}

// pieces is how many steps the whole takes.
func (j *job) pieces() int {
	oils := len(j.m.oils)
	n := oils + oils*mapClearances*mapSpeeds
	for _, p := range j.ask.Positions {
		for _, c := range []*Clearance{p.Found, p.Fitted} {
			if c != nil {
				n += oils
			}
		}
		if p.Found != nil || p.Fitted != nil {
			n++
			if p.Shape != nil {
				n++
			}
		}
	}
	return n
}
