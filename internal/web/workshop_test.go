// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"context"
	"io/fs"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"witnessmark/internal/browsertest"
	"witnessmark/internal/demo"
	"witnessmark/internal/filmwork"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/internal/web"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

// films of the demonstration are computed once for all tests.
var films = filmwork.NewDesk()

// file is one file of a folder, in memory.
type file struct {
	mode fs.FileMode
	data []byte
}

// told is a folder with the demonstration in it, written once; every test has
// a copy.
var told = sync.OnceValues(func() (map[string]file, error) {
	dir, err := os.MkdirTemp("", "witnessmark-told-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	ctx := context.Background()
	r := demo.EndingBefore(time.Now())
	f, err := store.Init(ctx, dir, demo.Config(), store.Options{Clock: r.Now, NeedSaw: shop.NeedSaw})
	if err != nil {
		return nil, err
	}
	s, err := shop.New(shop.Options{Folder: f, Program: "test", Clock: r.Now, Rand: r})
	if err != nil {
		return nil, err
	}
	if _, err := demo.Fill(ctx, s, demo.Options{Replay: r}); err != nil {
		return nil, err
	}
	if err := f.Close(); err != nil {
		return nil, err
	}
	return readFolder(dir)
})

func readFolder(dir string) (map[string]file, error) {
	files := map[string]file{}
	return files, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		name, err := filepath.Rel(dir, path)
		files[name] = file{info.Mode().Perm(), data}
		return err
	})
}

// workshop is the demonstration behind a server of the test's own.
type workshop struct {
	*testing.T
	dir  string
	url  string
	shop *shop.Shop
	cast demo.Cast
	away atomic.Bool // the server answers nobody: connections break off
}

func newWorkshop(t *testing.T) *workshop {
	t.Helper()
	files, err := told()
	if err != nil {
		t.Fatal(err)
	}
	w := &workshop{T: t, dir: t.TempDir(), cast: demo.TheCast()}
	for name, f := range files {
		path := filepath.Join(w.dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, f.data, f.mode); err != nil {
			t.Fatal(err)
		}
	}
	w.shop = w.openShop(store.Options{Server: true})
	ctx, stop := context.WithCancel(context.Background())
	var people []web.DemoPerson
	for _, m := range w.cast.People {
		people = append(people, web.DemoPerson{Name: m.Name, Role: m.Role, PIN: m.PIN})
	}
	pages := web.New(w.shop, web.Options{Demo: people})
	server := httptest.NewUnstartedServer(http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
		if w.away.Load() {
			panic(http.ErrAbortHandler)
		}
		pages.ServeHTTP(rw, r)
	}))
	server.Config.BaseContext = func(net.Listener) context.Context { return ctx }
	server.Start()
	w.url = server.URL
	t.Cleanup(func() {
		stop() // streams end with it
		server.Close()
	})
	return w
}

// openShop opens the folder once more, as another process would.
func (w *workshop) openShop(o store.Options) *shop.Shop {
	w.Helper()
	o.NeedSaw = shop.NeedSaw
	f, err := store.Open(context.Background(), w.dir, o)
	if err != nil {
		w.Fatal(err)
	}
	w.Cleanup(func() {
		if err := f.Close(); err != nil {
			w.Error(err)
		}
	})
	s, err := shop.New(shop.Options{Folder: f, Program: "test", Films: films})
	if err != nil {
		w.Fatal(err)
	}
	return s
}

// member is somebody of the demonstration with this role.
func (w *workshop) member(role string) demo.Member {
	w.Helper()
	for _, m := range w.cast.People {
		if m.Role == role {
			return m
		}
	}
	w.Fatalf("nobody is %s", role)
	return demo.Member{}
}

// tablet is a browser at which somebody has logged in.
func (w *workshop) tablet(o browsertest.Options, role string) *browsertest.Page {
	w.Helper()
	p := browsertest.Open(w.T, o)
	w.logIn(p, w.member(role), "/")
	return p
}

func (w *workshop) logIn(p *browsertest.Page, m demo.Member, next string) {
	w.Helper()
	p.Goto(w.url + "/login?person=" + m.ID + "&next=" + next)
	p.Fill("input[name=pin]", m.PIN)
	p.Follow("form[action='/login'] button")
}
