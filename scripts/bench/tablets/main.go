// SPDX-License-Identifier: Apache-2.0

// Command tablets loads the program with simulated tablets, each with a
// person, an open job and its event stream, and prints how long answers took
// and whether anything that was acknowledged is missing. It also weighs the
// page of a job and times a cold start.
//
//	go build -o witnessmark ./cmd/witnessmark
//	go run ./scripts/bench/tablets -program ./witnessmark
//	go run ./scripts/bench/tablets -program ./witnessmark -for 10s
//
// A tablet opens the page of a position, thinks, and posts a reading with an
// id of its own; every fifth entry is a note, which is kept beside the log as
// well. Thinking takes 1 s on average, exponentially spread: faster than
// anybody works.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"witnessmark/internal/store"
)

// load is what is asked for.
type load struct {
	program string
	tablets int
	jobs    int
	length  time.Duration
	think   time.Duration
}

func main() {
	var l load
	flag.StringVar(&l.program, "program", "./witnessmark", "the program, as built")
	flag.IntVar(&l.tablets, "tablets", 50, "how many tablets")
	flag.IntVar(&l.jobs, "jobs", 10, "how many jobs they work on")
	flag.DurationVar(&l.length, "for", 2*time.Minute, "how long they enter")
	flag.DurationVar(&l.think, "think", time.Second, "how long a tablet waits between its page and its entry, on average")
	flag.Parse()
	if err := l.run(); err != nil {
		fmt.Fprintln(os.Stderr, "tablets:", err)
		os.Exit(1)
	}
}

func (l load) run() (err error) {
	base, err := os.MkdirTemp("", "tablets-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(base)) }()
	dir := filepath.Join(base, "workshop")
	if err := l.cold(dir); err != nil {
		return err
	}
	s, err := start(l.program, dir)
	if err != nil {
		return err
	}
	defer s.kill()
	if err := s.pageOfJob(); err != nil {
		return err
	}
	jobs, err := s.openJobs(l.jobs)
	if err != nil {
		return err
	}
	all, err := l.enter(s, jobs)
	if err != nil {
		return err
	}
	if err := s.stop(); err != nil {
		return err
	}
	return all.report(l, dir)
}

// enter lets all tablets enter at once.
func (l load) enter(s *server, jobs []string) (*tally, error) {
	all := &tally{acked: map[string]bool{}}
	tablets := make([]*tablet, l.tablets)
	for i := range tablets {
		t, err := s.logIn(jobs[i%len(jobs)])
		if err != nil {
			return nil, err
		}
		tablets[i] = t
	}
	ctx, cancel := context.WithTimeout(context.Background(), l.length)
	defer cancel()
	var wg sync.WaitGroup
	for _, t := range tablets {
		wg.Go(func() { all.heard.Add(t.listen(ctx)) })
		wg.Go(func() { t.work(ctx, l.think, all) })
	}
	wg.Wait()
	return all, nil
}

// report prints the figures and looks for what was acknowledged.
func (a *tally) report(l load, dir string) error {
	f, err := store.Open(context.Background(), dir, store.Options{})
	if err != nil {
		return err
	}
	defer f.Close()
	checks, err := f.Check(context.Background())
	if err != nil {
		return err
	}
	for _, v := range checks {
		if !v.OK {
			return fmt.Errorf("%s", v)
		}
	}
	found := map[string]int{}
	subjects, err := f.Subjects(context.Background(), "job/")
	if err != nil {
		return err
	}
	for _, s := range subjects {
		entries, err := f.Entries(context.Background(), s.Subject, 0)
		if err != nil {
			return err
		}
		for _, e := range entries {
			found[e.ID]++
		}
	}
	lost := 0
	for id := range a.acked {
		if found[id] != 1 {
			lost++
		}
	}
	fmt.Printf("%d tablets on %d jobs for %v\n", l.tablets, l.jobs, l.length)
	fmt.Printf("entries acknowledged: %d, lost or doubled: %d, failed: %d\n", len(a.acked), lost, a.failed)
	fmt.Printf("entry, ms: %s\n", spread(a.posts))
	fmt.Printf("page of a position, ms: %s\n", spread(a.pages))
	fmt.Printf("events heard on the streams: %d\n", a.heard.Load())
	if lost > 0 || a.failed > 0 {
		return errors.New("not everything was kept")
	}
	return nil
}

// spread is the middle and the tail of some times.
func spread(ds []time.Duration) string {
	if len(ds) == 0 {
		return "none"
	}
	slices.Sort(ds)
	at := func(q float64) float64 { return float64(ds[int(q*float64(len(ds)-1))].Microseconds()) / 1000 }
	return fmt.Sprintf("p50 %.1f, p90 %.1f, p99 %.1f, most %.1f of %d", at(0.5), at(0.9), at(0.99), at(1), len(ds))
}
