// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"witnessmark/internal/demo"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/internal/web"
)

// demoResult is what `demo` prints.
type demoResult struct {
	Address string `json:"address,omitempty"`
	Dir     string `json:"dir"`
	Notice  string `json:"notice"`
	demo.Cast
}

func newDemoCommand(a *app) *cobra.Command {
	var addr string
	var noServe bool
	c := example(&cobra.Command{
		Use:   "demo [--dir D] [--addr HOST:PORT] [--no-serve]",
		Short: "Show an invented workshop with six jobs",
		Long: `Show an invented workshop with four people and six jobs: one half-way, one
handed over and followed up, one whose parts are coming, one whose estimate is to
be talked through, one half back under the car, one just opened. Nothing in it is
real.

It is written into an empty folder, or into a temporary one that is removed
afterwards. A folder with the demonstration in it is served as it is.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			dir := ""
			if c.Flags().Changed("dir") { // never the workshop's own, from the environment
				dir = a.dir
			}
			return a.demo(c.Context(), dir, addr, noServe)
		},
	}, "  witnessmark demo\n  witnessmark demo --dir try --no-serve\n  witnessmark job list --dir try")
	c.Flags().StringVar(&addr, "addr", "127.0.0.1:8410", "address to listen on")
	c.Flags().BoolVar(&noServe, "no-serve", false, "only write the folder")
	return c
}

func (a *app) demo(ctx context.Context, dir, addr string, noServe bool) (err error) {
	if dir == "" {
		if dir, err = os.MkdirTemp("", "witnessmark-demo-"); err != nil {
			return couldNot(err)
		}
		if !noServe {
			defer func() { err = errors.Join(err, couldNot(os.RemoveAll(dir))) }()
		}
	}
	result := demoResult{Dir: dir, Notice: job.InventedNotice}
	if noServe {
		folder, _, cast, err := openDemo(ctx, dir)
		if err != nil {
			return err
		}
		result.Cast = cast
		return errors.Join(couldNot(a.emit(result, result.print)), couldNot(folder.Close()))
	}
	return a.serveDemo(ctx, addr, result)
}

// serveDemo answers at once and raises the curtain when the demonstration is
// written.
func (a *app) serveDemo(ctx context.Context, addr string, result demoResult) error {
	ln, err := listen(addr)
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	log := a.logger()
	c := &curtain{up: make(chan struct{})}
	served := make(chan error, 1)
	go func() { served <- serveOn(ctx, ln, c, log) }()
	folder, s, cast, err := openDemo(ctx, result.Dir)
	if err != nil {
		stop()
		return errors.Join(err, <-served)
	}
	result.Address, result.Cast = address(ln), cast
	c.raise(web.New(s, web.Options{Log: log, Demo: demoPeople(cast)}))
	if err := a.emit(result, result.print); err != nil {
		stop()
		return errors.Join(couldNot(err), <-served, folder.Close())
	}
	return errors.Join(<-served, couldNot(folder.Close()))
}

// openDemo writes the demonstration into an empty folder, or opens one that
// was written before.
func openDemo(ctx context.Context, dir string) (*store.Folder, *shop.Shop, demo.Cast, error) {
	files, err := os.ReadDir(dir)
	if err == nil && len(files) > 0 {
		return reopenDemo(ctx, dir)
	}
	// The key is real randomness, made before the scenario's clock begins.
	made, err := store.Init(ctx, dir, demo.Config(), store.Options{NeedSaw: shop.NeedSaw})
	if err != nil {
		return nil, nil, demo.Cast{}, couldNotf("data folder %s: %w", dir, err)
	}
	if err := made.Close(); err != nil {
		return nil, nil, demo.Cast{}, couldNot(err)
	}
	r := demo.EndingBefore(time.Now())
	folder, s, err := openShop(ctx, dir, store.Options{Server: true, Clock: r.Now, Rand: r})
	if err != nil {
		return nil, nil, demo.Cast{}, err
	}
	cast, err := demo.Fill(ctx, s, demo.Options{Replay: r})
	if err != nil {
		return nil, nil, demo.Cast{}, couldNot(errors.Join(err, folder.Close()))
	}
	return folder, s, cast, nil
}

func reopenDemo(ctx context.Context, dir string) (*store.Folder, *shop.Shop, demo.Cast, error) {
	folder, s, err := openShop(ctx, dir, store.Options{Server: true})
	if errors.Is(err, store.ErrNotFound) {
		return nil, nil, demo.Cast{}, couldNot(&told{"demo: --dir " + dir + ": the folder is not empty and holds no demonstration. Give an empty one, or none.", err})
	}
	if err != nil {
		return nil, nil, demo.Cast{}, err
	}
	if s.Config().WorkshopID != demo.Config().WorkshopID {
		return nil, nil, demo.Cast{}, errors.Join(
			couldNotf("demo: --dir %s: the folder belongs to the workshop %q. Give an empty one, or none", dir, s.Config().Name), folder.Close())
	}
	return folder, s, demo.TheCast(), nil
}

func demoPeople(c demo.Cast) []web.DemoPerson {
	var out []web.DemoPerson
	for _, m := range c.People {
		out = append(out, web.DemoPerson{Name: m.Name, Role: m.Role, PIN: m.PIN})
	}
	return out
}

func (r demoResult) print(w io.Writer) {
	fmt.Fprintln(w, r.Workshop)
	fmt.Fprintln(w, r.Notice)
	if r.Address != "" {
		fmt.Fprintf(w, "\nOpen %s and log in as one of these:\n\n", r.Address)
	} else {
		fmt.Fprintf(w, "\nWritten to %s. The people:\n\n", r.Dir)
	}
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, m := range r.People {
		fmt.Fprintf(tw, "  %s\t%s\t%s\tPIN %s\n", m.Name, m.Role, m.ID, m.PIN)
	}
	tw.Flush()
	fmt.Fprintf(w, "\nJob %s is half-way, %s is handed over, %s waits for parts, %s is an estimate,\n%s is half back together under the car, %s was just opened.\n",
		r.HalfWay, r.HandedOver, r.Agreed, r.Estimate, r.Refit, r.Opened)
}

// curtain holds requests back until there is something to show. Whoever would
// wait too long gets a page that asks again.
type curtain struct {
	up chan struct{}
	h  http.Handler
}

const patience = 2 * time.Second

func (c *curtain) raise(h http.Handler) {
	c.h = h
	close(c.up)
}

func (c *curtain) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	select {
	case <-c.up:
		c.h.ServeHTTP(w, r)
	case <-r.Context().Done():
	case <-time.After(patience):
		w.Header().Set("Refresh", "1")
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		fmt.Fprint(w, "<!doctype html><html lang=en><meta charset=utf-8><title>Witnessmark</title><p>The demonstration is being written. This page asks again by itself.</p></html>")
	}
}
