// SPDX-License-Identifier: Apache-2.0

package web

import (
	"context"
	"slices"
	"strings"
	"sync"
	"time"

	"witnessmark/internal/store"
	"witnessmark/record"
)

// live tells open pages what was kept and who is at which position. One
// goroutine asks the store for all of them, so that entries of other processes
// are seen too, and only while somebody listens.
type live struct {
	log  changeLog
	now  func() time.Time
	stop chan struct{} // closed by the last listener

	mu        sync.Mutex
	listeners map[*listener]bool
	newest    int64    // the newest change that is known
	floor     int64    // recent holds what came after this change
	recent    []change // in order
	here      map[string]presence
}

// changeLog is what live needs of a store.
type changeLog interface {
	LastChange(ctx context.Context) (int64, error)
	ChangesAfter(ctx context.Context, change int64, limit int) ([]store.Change, error)
}

// change is an entry as far as a page needs to know of it.
type change struct {
	number  int64
	subject string
	Seq     int64  `json:"seq"`
	Kind    string `json:"kind"`
	Person  string `json:"person"`
}

// listener is one open stream. wake holds one signal: what is new is read from
// live, so that a slow listener misses nothing.
type listener struct{ wake chan struct{} }

const (
	askEvery   = 300 * time.Millisecond
	maxRecent  = 1024
	maxAtATime = 256
)

func newLive(log changeLog, now func() time.Time) *live {
	return &live{log: log, now: now, listeners: map[*listener]bool{}, here: map[string]presence{}}
}

// join adds a listener and returns the newest change; the first one starts the
// goroutine that asks.
func (l *live) join(ctx context.Context) (*listener, int64, error) {
	newest, err := l.log.LastChange(ctx)
	if err != nil {
		return nil, 0, err
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	me := &listener{wake: make(chan struct{}, 1)}
	if len(l.listeners) == 0 {
		l.newest, l.floor, l.recent = newest, newest, nil
		l.stop = make(chan struct{})
		go l.run(l.stop)
	}
	l.listeners[me] = true
	return me, newest, nil
}

func (l *live) leave(me *listener) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.listeners, me)
	if len(l.listeners) == 0 {
		close(l.stop)
	}
}

func (l *live) run(stop chan struct{}) {
	tick := time.NewTicker(askEvery)
	defer tick.Stop()
	for {
		select {
		case <-stop:
			return
		case <-tick.C:
			l.ask(stop)
		}
	}
}

// ask looks for new changes. A store that cannot answer now is asked again.
func (l *live) ask(stop chan struct{}) {
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	last, err := l.log.LastChange(ctx)
	l.mu.Lock()
	known := l.newest
	l.mu.Unlock()
	if err != nil || last == known && !l.lapse() {
		return
	}
	var found []change
	for last > known {
		more, err := l.log.ChangesAfter(ctx, known, maxAtATime)
		if err != nil || len(more) == 0 {
			break
		}
		for _, c := range more {
			found = append(found, changeOf(c))
		}
		known = found[len(found)-1].number
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.stop != stop {
		return // everybody left and somebody else came meanwhile
	}
	l.add(found)
	l.wakeAll()
}

// add keeps what was found, the newest part of it in memory.
func (l *live) add(found []change) {
	l.recent = append(l.recent, found...)
	if n := len(l.recent) - maxRecent; n > 0 {
		l.floor = l.recent[n-1].number
		l.recent = slices.Clone(l.recent[n:])
	}
	if len(l.recent) > 0 {
		l.newest = l.recent[len(l.recent)-1].number
	}
}

// wakeAll needs l.mu.
func (l *live) wakeAll() {
	for me := range l.listeners {
		select {
		case me.wake <- struct{}{}:
		default: // it has not looked since the last signal, and will see this too
		}
	}
}

func changeOf(c store.Change) change {
	return change{number: c.Number, subject: c.Entry.Subject, Seq: c.Entry.Seq, Kind: c.Entry.Kind, Person: c.Entry.Person}
}

// since returns what came after a change, in order: from memory, or from the
// store when a tablet slept through more than is there.
func (l *live) since(ctx context.Context, after int64) ([]change, error) {
	l.mu.Lock()
	newest, floor, recent := l.newest, l.floor, l.recent
	l.mu.Unlock()
	switch {
	case after >= newest:
		return nil, nil
	case after >= floor:
		i, _ := slices.BinarySearchFunc(recent, after+1, func(c change, n int64) int { return int(c.number - n) })
		return recent[i:], nil
	}
	var out []change
	for after < newest {
		more, err := l.log.ChangesAfter(ctx, after, maxAtATime)
		if err != nil {
			return nil, err
		}
		if len(more) == 0 {
			break
		}
		for _, c := range more {
			out = append(out, changeOf(c))
		}
		after = out[len(out)-1].number
	}
	return out, nil
}

// concerns reports whether a change bears on a job: its own log, the tools and
// the workshop's settings do.
func (c change) concerns(subject string) bool {
	return c.subject == subject || c.subject == record.Workshop || strings.HasPrefix(c.subject, "tool/")
}
