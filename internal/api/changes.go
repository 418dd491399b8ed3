// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"fmt"
	"time"

	"witnessmark/internal/store"
)

type changesInput struct {
	After int64 `query:"after" minimum:"0" doc:"the last change that is known"`
	Wait  int   `query:"wait" minimum:"0" maximum:"30" doc:"seconds to wait for one when there is none"`
}

// Change is an entry that was kept, with its place in the order of all logs.
type Change struct {
	Number   int64     `json:"number"`
	Subject  string    `json:"subject"`
	Sequence int64     `json:"sequence" doc:"in its log"`
	Kind     string    `json:"kind"`
	Person   string    `json:"person" doc:"id"`
	Received time.Time `json:"received"`
}

// Changes is what was kept, in order.
type Changes struct {
	Changes []Change `json:"changes"`
	Last    int64    `json:"last" doc:"ask after this one the next time"`
}

type changesOutput struct {
	Body Changes
}

const (
	askEvery   = 250 * time.Millisecond
	maxAtATime = 500
)

// changes answers at once when there is something new, else when there is, or
// when the time is over. It sees what other processes keep too.
func (s *server) changes(ctx context.Context, in *changesInput) (*changesOutput, error) {
	after, err := s.startAfter(ctx, in.After)
	if err != nil {
		return nil, err
	}
	over := time.NewTimer(time.Duration(in.Wait) * time.Second)
	defer over.Stop()
	tick := time.NewTicker(askEvery)
	defer tick.Stop()
	for {
		found, err := s.since(ctx, after)
		if err != nil {
			return nil, err
		}
		if len(found) > 0 || in.Wait == 0 {
			return changesOf(found, after), nil
		}
		select {
		case <-ctx.Done():
			return changesOf(nil, after), nil
		case <-over.C:
			return changesOf(nil, after), nil
		case <-tick.C:
		}
	}
}

// startAfter is the change to begin after. A record that is shorter than what
// was seen is another one, put in its place: it is read from the beginning.
func (s *server) startAfter(ctx context.Context, after int64) (int64, error) {
	last, err := s.shop.Store().LastChange(ctx)
	if err != nil {
		return 0, fmt.Errorf("api: changes: %w", err)
	}
	if after > last {
		return 0, nil
	}
	return after, nil
}

// since reads only once the cheap question says that there is something.
func (s *server) since(ctx context.Context, after int64) ([]store.Change, error) {
	last, err := s.shop.Store().LastChange(ctx)
	if err != nil {
		return nil, fmt.Errorf("api: changes: %w", err)
	}
	if last <= after {
		return nil, nil
	}
	found, err := s.shop.Store().ChangesAfter(ctx, after, maxAtATime)
	if err != nil {
		return nil, fmt.Errorf("api: changes: %w", err)
	}
	return found, nil
}

func changesOf(found []store.Change, after int64) *changesOutput {
	out := &changesOutput{}
	out.Body.Changes, out.Body.Last = []Change{}, after
	for _, c := range found {
		e := c.Entry
		out.Body.Changes = append(out.Body.Changes, Change{Number: c.Number, Subject: e.Subject, Sequence: e.Seq, Kind: e.Kind, Person: e.Person, Received: e.Received})
		out.Body.Last = c.Number
	}
	return out
}
