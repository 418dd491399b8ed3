// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
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

// template is a folder with all of a kit in it, made once; every test has a
// copy.
var template = sync.OnceValues(func() (string, error) {
	dir := filepath.Join(scratch, "template")
	ctx := context.Background()
	f, err := store.Init(ctx, dir, store.Config{WorkshopID: "test", Name: "Test"}, store.Options{NeedSaw: shop.NeedSaw})
	if err != nil {
		return "", err
	}
	s, err := shop.New(shop.Options{Folder: f, Program: "test"})
	if err != nil {
		return "", err
	}
	for _, role := range job.Roles {
		if err := s.AddPerson(ctx, "p-manager", shop.NewPerson{ID: "p-" + role, Name: "Some " + role, Role: role, PIN: kitPIN}); err != nil {
			return "", err
		}
	}
	v8, err := sheets.Named(sheets.V8)
	if err != nil {
		return "", err
	}
	info, err := s.AddSheet(ctx, "v8.yaml", v8.Bytes())
	if err != nil {
		return "", err
	}
	if _, err := s.OpenJob(ctx, "p-manager", shop.NewJob{Number: "0500", Vehicle: "Invented", Sheet: info.Hash, Invented: true}); err != nil {
		return "", err
	}
	return dir, f.Close()
})

// scratch is where the template is, for as long as the tests run.
var scratch string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "witnessmark-api-")
	if err != nil {
		panic(err)
	}
	scratch = dir
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

func newKit(t testing.TB) *kit {
	t.Helper()
	ctx := t.Context()
	k := &kit{TB: t, job: "0500"}
	made, err := template()
	k.must(err)
	k.clock = &clock{now: time.Now().UTC().Truncate(time.Millisecond)}
	dir := filepath.Join(t.TempDir(), "workshop")
	k.must(os.CopyFS(dir, os.DirFS(made)))
	keys, err := filepath.Glob(filepath.Join(dir, "keys", "*"))
	k.must(err)
	for _, name := range keys { // the copy is readable by others, which a key must not be
		k.must(os.Chmod(name, 0o600))
	}
	k.folder, err = store.Open(ctx, dir, store.Options{NeedSaw: shop.NeedSaw, Clock: k.clock.Now})
	k.must(err)
	t.Cleanup(func() { _ = k.folder.Close() })
	k.shop, err = shop.New(shop.Options{Folder: k.folder, Program: "test", Clock: k.clock.Now})
	k.must(err)
	all, err := k.shop.Sheets(ctx)
	k.must(err)
	k.sheet = all[0].Hash
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
