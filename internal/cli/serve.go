// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"context"
	"crypto/rand"
	"encoding/base32"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"os"
	"time"

	"github.com/spf13/cobra"

	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/internal/web"
)

// defaultAddr is loopback: other machines reach it only when told so.
const defaultAddr = "127.0.0.1:8417"

// serveResult is what `serve` prints once it listens.
type serveResult struct {
	Address   string `json:"address"`
	Dir       string `json:"dir"`
	Workshop  string `json:"workshop"`
	SetUpCode string `json:"set_up_code,omitempty"`
}

func newServeCommand(a *app) *cobra.Command {
	var addr, name, zone string
	c := example(&cobra.Command{
		Use:   "serve [--addr HOST:PORT] [--dir D]",
		Short: "Serve the pages of a workshop",
		Long: `Serve the pages of a workshop from its data folder. Where there is none yet, a
new one is made, and a set-up code is printed for the first manager.

Only this machine reaches it unless --addr says otherwise, such as
--addr 0.0.0.0:8417. On a network put HTTPS before it: without it others can
read the PINs on their way. It stops within 5 seconds of an interrupt or SIGTERM.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.serve(c.Context(), addr, store.Config{Name: name, TimeZone: zone})
		},
	}, "  witnessmark serve --dir /srv/workshop\n  witnessmark serve --dir /srv/workshop --addr 0.0.0.0:8417")
	c.Flags().StringVar(&addr, "addr", defaultAddr, "address to listen on")
	c.Flags().StringVar(&name, "name", "", "name of the workshop as it is printed, for a new data folder")
	c.Flags().StringVar(&zone, "time-zone", "", "time zone of the workshop, for a new data folder (UTC unless given)")
	return c
}

func (a *app) serve(ctx context.Context, addr string, conf store.Config) error {
	dir := a.folder()
	if err := makeFolder(ctx, dir, conf); err != nil {
		return err
	}
	folder, s, err := openShop(ctx, dir, store.Options{Server: true})
	if err != nil {
		return err
	}
	code, err := setUpCode(ctx, s)
	if err != nil {
		return errors.Join(couldNot(err), folder.Close())
	}
	tidied := make(chan struct{})
	go func() {
		defer close(tidied)
		a.tidy(ctx, folder, s)
	}()
	err = a.serveShop(ctx, addr, dir, s, code)
	<-tidied
	return errors.Join(err, couldNot(folder.Close()))
}

// unnamedFor is how long a photo may wait for its entry.
const unnamedFor = 30 * 24 * time.Hour

// tidy removes photos whose entry never came.
func (a *app) tidy(ctx context.Context, f *store.Folder, s *shop.Shop) {
	n, err := f.RemoveUnnamed(ctx, s.Now().Add(-unnamedFor))
	switch {
	case err != nil && ctx.Err() == nil:
		a.logger().Warn("photos that no entry names stay", "err", err.Error())
	case n > 0:
		a.logger().Info("removed photos that no entry had named for 30 days", "photos", n)
	}
}

func (a *app) serveShop(ctx context.Context, addr, dir string, s *shop.Shop, code string) error {
	ln, err := listen(addr)
	if err != nil {
		return err
	}
	log := a.logger()
	result := serveResult{Address: address(ln), Dir: dir, Workshop: s.Config().Name, SetUpCode: code}
	if err := a.emit(result, result.print); err != nil {
		return errors.Join(couldNot(err), ln.Close())
	}
	return serveOn(ctx, ln, web.New(s, web.Options{Log: log, SetUpCode: code}), log)
}

func (r serveResult) print(w io.Writer) {
	fmt.Fprintf(w, "%s: %s\nData folder: %s\n", r.Workshop, r.Address, r.Dir)
	if r.SetUpCode != "" {
		fmt.Fprintf(w, "Set-up code for the first manager: %s\nOpen the address in a browser and type the code there: it makes the first manager.\n", r.SetUpCode)
	}
}

// makeFolder makes a data folder where there is none.
func makeFolder(ctx context.Context, dir string, conf store.Config) error {
	files, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return couldNot(err)
	}
	if len(files) > 0 {
		return nil // there is something: it opens or says why not
	}
	var id [4]byte
	if _, err := rand.Read(id[:]); err != nil {
		return couldNot(err)
	}
	conf.WorkshopID = "w-" + hex.EncodeToString(id[:])
	if conf.Name == "" {
		conf.Name = "Workshop"
	}
	if conf.TimeZone != "" {
		if _, err := time.LoadLocation(conf.TimeZone); err != nil {
			return usagef("serve: --time-zone %q: this is not a time zone. Write one such as UTC or Europe/Berlin", conf.TimeZone)
		}
	}
	folder, err := store.Init(ctx, dir, conf, store.Options{NeedSaw: shop.NeedSaw})
	if err != nil {
		return openError(dir, err)
	}
	return couldNot(folder.Close())
}

// setUpCode is a new code while nobody is in the workshop.
func setUpCode(ctx context.Context, s *shop.Shop) (string, error) {
	people, err := s.People(ctx)
	if err != nil || len(people) > 0 {
		return "", err
	}
	var b [5]byte // 40 bits: eight letters and digits
	if _, err := rand.Read(b[:]); err != nil {
		return "", err
	}
	return base32.StdEncoding.EncodeToString(b[:]), nil
}

// logger writes to standard error what happened, without personal data.
func (a *app) logger() *slog.Logger { return slog.New(slog.NewTextHandler(a.err, nil)) }

func listen(addr string) (net.Listener, error) {
	if _, _, err := net.SplitHostPort(addr); err != nil {
		return nil, usagef("--addr %q: this is not HOST:PORT. Write it like %s, or :8417 for every network", addr, defaultAddr)
	}
	ln, err := net.Listen("tcp", addr)
	if err != nil {
		return nil, couldNotf("--addr %s: it can't be listened on. Is another server running there? Choose another port: %w", addr, err)
	}
	return ln, nil
}

func address(ln net.Listener) string {
	host, port, err := net.SplitHostPort(ln.Addr().String())
	if err != nil {
		return "http://" + ln.Addr().String() + "/"
	}
	if ip := net.ParseIP(host); ip != nil && ip.IsUnspecified() {
		host = "localhost"
	}
	return "http://" + net.JoinHostPort(host, port) + "/"
}

// stopWithin is how long requests have to end by themselves once it stops.
const stopWithin = 3 * time.Second

// serveOn serves until ctx ends. Streams end with it: their request's context
// does. What is still open after stopWithin is cut off.
func serveOn(ctx context.Context, ln net.Listener, h http.Handler, log *slog.Logger) error {
	srv := &http.Server{
		Handler:           h,
		BaseContext:       func(net.Listener) context.Context { return ctx },
		ReadHeaderTimeout: 10 * time.Second,
		IdleTimeout:       2 * time.Minute,
		ErrorLog:          slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	done := make(chan error, 1)
	go func() { done <- srv.Serve(ln) }()
	log.Info("listening", "addr", ln.Addr().String())
	select {
	case err := <-done:
		return couldNot(err)
	case <-ctx.Done():
	}
	log.Info("stopping")
	stop, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopWithin)
	defer cancel()
	if err := srv.Shutdown(stop); errors.Is(err, context.DeadlineExceeded) {
		return couldNot(srv.Close())
	} else if err != nil {
		return couldNot(err)
	}
	return nil
}
