// SPDX-License-Identifier: Apache-2.0

package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"

	"witnessmark/internal/store"
)

// heartbeat keeps a stream alive through proxies, and shows the server that a
// tablet is gone.
const heartbeat = 15 * time.Second

// events streams what happens on a job: an entry event per change that bears
// on it, with the number of the change as its id, and a here event whenever
// somebody comes to a position or leaves it. It begins after the change that
// the browser names, so that a tablet that slept misses none.
func (s *server) events(q *request) error {
	l, err := q.job()
	if err != nil {
		return err
	}
	me, newest, err := s.live.join(q.Context())
	if err != nil {
		return err
	}
	defer s.live.leave(me)
	st := &stream{request: q, out: http.NewResponseController(q.w), subject: l.Subject, job: l.ID, after: q.after(), pulse: time.NewTicker(heartbeat)}
	defer st.pulse.Stop()
	if st.after > newest {
		// The record is shorter than what the page saw: another one was put in
		// its place, and the page has to look again.
		st.after = 0
	}
	h := q.w.Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("X-Accel-Buffering", "no")
	q.w.WriteHeader(http.StatusOK)
	fmt.Fprint(q.w, "retry: 1000\n\n")
	for err == nil {
		if err = st.news(s.live); err == nil {
			err = st.rest(me)
		}
	}
	if errors.Is(err, errOver) {
		return nil
	}
	return err
}

// after is the change that the browser has seen: what it heard last, or what
// its page was made from.
func (q *request) after() int64 {
	for _, text := range []string{q.Header.Get("Last-Event-ID"), q.value("after")} {
		if n, err := strconv.ParseInt(text, 10, 64); err == nil && n >= 0 {
			return n
		}
	}
	return 0
}

// stream is one browser listening to one job.
type stream struct {
	*request
	out     *http.ResponseController
	job     string
	subject string
	after   int64
	pulse   *time.Ticker
	here    []presence
	told    bool // who is here was told once
}

var errOver = errors.New("web: the stream is over")

// news writes what came since the last time.
func (st *stream) news(l *live) error {
	changes, err := l.since(st.Context(), st.after)
	if err != nil {
		return st.over(err)
	}
	for _, c := range changes {
		st.after = c.number
		if c.concerns(st.subject) {
			if err := st.write("entry", c.number, c); err != nil {
				return err
			}
		}
	}
	if here := l.at(st.job); !st.told || !slices.EqualFunc(here, st.here, samePlace) {
		st.told, st.here = true, here
		if err := st.write("here", 0, here); err != nil {
			return err
		}
	}
	return st.flush()
}

func samePlace(a, b presence) bool {
	return a.Page == b.Page && a.Name == b.Name && a.Position == b.Position && a.Phase == b.Phase
}

// rest waits until there may be something new, and ends the stream with the
// server, the tablet or the log-in.
func (st *stream) rest(me *listener) error {
	for {
		select {
		case <-st.Context().Done():
			return errOver
		case <-me.wake:
			return nil
		case <-st.pulse.C:
			if _, err := st.server.shop.Store().Session(st.Context(), st.session.token); errors.Is(err, store.ErrNotFound) {
				return errOver
			}
			if _, err := fmt.Fprint(st.w, ": still here\n\n"); err != nil {
				return errOver
			}
			if err := st.flush(); err != nil {
				return err
			}
		}
	}
}

func (st *stream) write(event string, id int64, data any) error {
	text, err := json.Marshal(data)
	if err != nil {
		return err
	}
	if id > 0 {
		fmt.Fprintf(st.w, "id: %d\n", id)
	}
	if _, err := fmt.Fprintf(st.w, "event: %s\ndata: %s\n\n", event, text); err != nil {
		return errOver
	}
	return nil
}

func (st *stream) flush() error {
	if err := st.out.Flush(); err != nil {
		return errOver
	}
	return nil
}

// over tells a tablet that left from a store that failed.
func (st *stream) over(err error) error {
	if st.Context().Err() != nil {
		return errOver
	}
	return fmt.Errorf("web: live page: %w", err)
}
