// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bufio"
	"context"
	"encoding/json"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
)

// heard is one event of a stream.
type heard struct{ id, event, data string }

// listen opens the job's stream after a change and returns its events; the
// channel closes with the stream.
func (b *tablet) listen(lastEventID string) (events <-chan heard, stop func()) {
	b.Helper()
	ctx, cancel := context.WithCancel(b.Context())
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, b.url+"/jobs/"+b.job+"/events", nil)
	b.must(err)
	if lastEventID != "" {
		r.Header.Set("Last-Event-ID", lastEventID)
	}
	res, err := b.client.Do(r)
	b.must(err)
	if got := res.Header.Get("Content-Type"); got != "text/event-stream" {
		b.Fatalf("the stream is %d %s", res.StatusCode, got)
	}
	out := make(chan heard, 1000)
	go func() {
		defer close(out)
		defer res.Body.Close()
		var h heard
		for lines := bufio.NewScanner(res.Body); lines.Scan(); {
			name, value, _ := strings.Cut(lines.Text(), ": ")
			switch name {
			case "id":
				h.id = value
			case "event":
				h.event = value
			case "data":
				h.data = value
			case "":
				if h.event != "" {
					out <- h
				}
				h = heard{}
			}
		}
	}()
	b.Cleanup(cancel)
	return out, cancel
}

// next is the next event of a kind.
func (b *tablet) next(events <-chan heard, event string) heard {
	b.Helper()
	for {
		select {
		case h, ok := <-events:
			if !ok {
				b.Fatal("the stream ended")
			}
			if h.event == event {
				return h
			}
		case <-time.After(10 * time.Second):
			b.Fatalf("no %s event came", event)
		}
	}
}

func TestEventsResumeWithoutLosingOne(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	newest, err := k.shop.Store().LastChange(t.Context())
	k.must(err)
	first, stop := b.listen(strconv.FormatInt(newest, 10))
	k.add("job/0500", "operation_done", job.OperationDone{Operation: "sump", Title: "sump", Direction: "strip"})
	h := b.next(first, "entry")
	var c change
	k.must(json.Unmarshal([]byte(h.data), &c))
	if c.Seq != k.last().Seq || c.Kind != "operation_done" {
		t.Errorf("heard of %+v", c)
	}
	stop()
	const missed = 3 * maxAtATime // more than is read at a time
	for range missed {
		k.add("job/0500", "operation_done", job.OperationDone{Operation: "sump", Title: "sump", Direction: "refit"})
	}
	again, _ := b.listen(h.id)
	last := h.id
	for i := range missed {
		h := b.next(again, "entry")
		if a, z := number(t, last), number(t, h.id); z <= a {
			t.Fatalf("event %d has id %d after %d", i, z, a)
		}
		last = h.id
	}
	// Tools bear on every job; another job does not.
	_, err = k.shop.OpenJob(t.Context(), "p-manager", shopJob("0501"))
	k.must(err)
	k.add("tool/TW-1", "tool_retired", job.ToolRetired{Reason: "dropped"})
	h = b.next(again, "entry")
	if !strings.Contains(h.data, "tool_retired") {
		t.Errorf("heard of %s", h.data)
	}
}

func number(t *testing.T, text string) int64 {
	t.Helper()
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// A page from before a restore saw more than there is now: it looks again.
func TestEventsAfterARestore(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	events, _ := b.listen("999999")
	b.next(events, "entry")
}

func TestWhoIsHere(t *testing.T) {
	k := newKit(t)
	b, other := k.as(job.Technician), k.as(job.Inspector)
	events, _ := b.listen("0")
	at := func() (list []presence) {
		k.must(json.Unmarshal([]byte(b.next(events, "here").data), &list))
		return list
	}
	if got := at(); len(got) != 0 {
		t.Errorf("here at first: %+v", got)
	}
	say := func(want int, fields url.Values) {
		t.Helper()
		if a := other.send("/jobs/0500/here", fields); a.status != want {
			t.Errorf("%v is answered with %d", fields, a.status)
		}
	}
	say(http.StatusNoContent, url.Values{"page": {"one"}, "position": {"4"}, "phase": {job.AsFitted}})
	if got := at(); len(got) != 1 || got[0].Position != 4 || got[0].Name != "Some inspector" {
		t.Errorf("here: %+v", got)
	}
	say(http.StatusNoContent, url.Values{"page": {"one"}, "position": {"4"}, "phase": {job.AsFitted}}) // said again: no news
	say(http.StatusNoContent, url.Values{"page": {"one"}, "position": {"5"}, "phase": {job.AsFitted}})
	if got := at(); len(got) != 1 || got[0].Position != 5 {
		t.Errorf("here after moving on: %+v", got)
	}
	say(http.StatusNotFound, url.Values{"page": {"one"}, "position": {"99"}})
	say(http.StatusNotFound, url.Values{"position": {"4"}})
	say(http.StatusNoContent, url.Values{"page": {"one"}, "gone": {"1"}})
	if got := at(); len(got) != 0 {
		t.Errorf("here after leaving: %+v", got)
	}
}

// clock is set by hand.
type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) add(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

type noLog struct{}

func (noLog) LastChange(context.Context) (int64, error) { return 0, nil }
func (noLog) ChangesAfter(context.Context, int64, int) ([]store.Change, error) {
	return nil, nil
}

func TestSilenceMeansGone(t *testing.T) {
	c := &clock{now: time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)}
	l := newLive(noLog{}, c.Now)
	l.hear(presence{job: "0500", Page: "one", Position: 4})
	c.add(silence)
	if len(l.at("0500")) != 1 || l.lapse() {
		t.Errorf("gone after %v", silence)
	}
	c.add(time.Second)
	if len(l.at("0500")) != 0 || !l.lapse() || l.lapse() {
		t.Errorf("not gone, once, after %v", silence+time.Second)
	}
}

// A stream ends with the server's context and takes its goroutine along.
func TestStreamsEndWithTheServer(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	events, stop := b.listen("0")
	b.next(events, "here")
	stop()
	for range events { // closes
	}
	// The server notices that nobody listens any more.
	l := newLive(k.shop.Store(), k.shop.Now)
	me, _, err := l.join(t.Context())
	k.must(err)
	stopped := l.stop
	l.leave(me)
	select {
	case <-stopped:
	case <-time.After(10 * time.Second):
		t.Error("it goes on asking although nobody listens")
	}
}

func shopJob(number string) shop.NewJob { return shop.NewJob{Number: number} }
