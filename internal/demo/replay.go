// SPDX-License-Identifier: Apache-2.0

package demo

import (
	crand "crypto/rand"
	"math/rand/v2"
	"sync"
	"time"
)

// Replay is the clock and the randomness of a scenario. The shop that is
// filled and its store must be opened with both: Clock: r.Now, Rand: r. Once
// the scenario has been told it is live: the real clock and real randomness.
type Replay struct {
	mu   sync.Mutex
	now  time.Time
	rand *rand.ChaCha8
	live bool
}

// Days is how long the scenario goes on, in days after the start.
const Days = 34

// NewReplay makes a replay that starts on the day of start, in UTC.
func NewReplay(start time.Time) *Replay {
	day := start.UTC().Truncate(24 * time.Hour)
	return &Replay{now: day, rand: rand.NewChaCha8([32]byte{'w', 'i', 't', 'n', 'e', 's', 's'})}
}

// EndingBefore makes a replay whose scenario ends the day before now.
func EndingBefore(now time.Time) *Replay {
	return NewReplay(now.UTC().AddDate(0, 0, -Days))
}

// Now is the time in the scenario, the real time once it is live.
func (r *Replay) Now() time.Time {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.live {
		return time.Now()
	}
	return r.now
}

// Read fills p with the scenario's randomness, with real randomness once it is
// live.
func (r *Replay) Read(p []byte) (int, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.live {
		return crand.Read(p)
	}
	return r.rand.Read(p)
}

// set moves the clock on; it never goes back.
func (r *Replay) set(t time.Time) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if t.After(r.now) {
		r.now = t
	}
}

func (r *Replay) pass(d time.Duration) { r.set(r.Now().Add(d)) }

func (r *Replay) end() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.live = true
}
