// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"witnessmark/internal/api"
	"witnessmark/internal/api/client"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/sheets"
	"witnessmark/units"
)

const kitPIN = "1234"

// clock is a clock that a test puts forward.
type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) forward(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

// kit is a workshop of its own with somebody of every role, a job on the
// invented V8 and a server.
type kit struct {
	testing.TB
	shop   *shop.Shop
	folder *store.Folder
	server *httptest.Server
	clock  *clock
	sheet  string // hash of the V8's
	job    string
}

func newKit(t testing.TB) *kit {
	t.Helper()
	ctx := t.Context()
	k := &kit{TB: t, job: "0500", clock: &clock{now: time.Now().UTC().Truncate(time.Millisecond)}}
	var err error
	k.folder, err = store.Init(ctx, t.TempDir(), store.Config{WorkshopID: "test", Name: "Test"}, store.Options{NeedSaw: shop.NeedSaw, Clock: k.clock.Now})
	k.must(err)
	t.Cleanup(func() { _ = k.folder.Close() })
	k.shop, err = shop.New(shop.Options{Folder: k.folder, Program: "test", Clock: k.clock.Now})
	k.must(err)
	for _, role := range job.Roles {
		k.must(k.shop.AddPerson(ctx, "p-manager", shop.NewPerson{ID: "p-" + role, Name: "Some " + role, Role: role, PIN: kitPIN}))
	}
	v8, err := sheets.Named(sheets.V8)
	k.must(err)
	info, err := k.shop.AddSheet(ctx, "v8.yaml", v8.Bytes())
	k.must(err)
	k.sheet = info.Hash
	_, err = k.shop.OpenJob(ctx, "p-manager", shop.NewJob{Number: k.job, Vehicle: "Invented", Sheet: k.sheet, Invented: true})
	k.must(err)
	k.server = httptest.NewServer(api.New(k.shop, api.Options{}))
	t.Cleanup(k.server.Close)
	return k
}

func (k *kit) must(err error) {
	k.Helper()
	if err != nil {
		k.Fatal(err)
	}
}

// as is a device at which somebody of a role has logged in, nobody for "". It
// holds every answer against the description.
func (k *kit) as(role string) *client.Client {
	k.Helper()
	c := client.New(k.server.URL)
	c.HTTP = &http.Client{Transport: described{k.TB, http.DefaultTransport}}
	if role != "" {
		_, err := c.LogIn(k.Context(), "p-"+role, kitPIN, "tablet of a "+role)
		k.must(err)
	}
	return c
}

// refused holds an error against the status and a word of what it says.
func (k *kit) refused(err error, status int, says string) *api.Problem {
	k.Helper()
	var p *api.Problem
	if !errors.As(err, &p) {
		k.Fatalf("got %v, want a problem with status %d", err, status)
	}
	if p.Status != status || !strings.Contains(p.Title+" "+p.Detail+" "+p.Next, says) {
		k.Errorf("got %d %q %q %q, want %d and %q", p.Status, p.Title, p.Detail, p.Next, status, says)
	}
	if p.Title == "" || !strings.HasSuffix(p.Detail, ".") || !strings.HasSuffix(p.Next, ".") {
		k.Errorf("%+v lacks one of its parts", p)
	}
	return p
}

func length(t testing.TB, text string) *units.Read {
	t.Helper()
	r, err := units.Parse(units.KindLength, text, units.UnitMillimetre)
	if err != nil {
		t.Fatal(err)
	}
	return &r
}

func clearance(t testing.TB, phase string, position int, value string) job.Reading {
	t.Helper()
	return job.Reading{Of: job.OfClearance, Phase: phase, Position: position, Gauge: "BG-1", Value: length(t, value), U: length(t, "0.001")}
}
