// SPDX-License-Identifier: Apache-2.0

package web

import (
	"log/slog"
	"net/http"
	"time"

	"witnessmark/internal/api"
	"witnessmark/internal/shop"
)

// Options is what pages need beside the shop.
type Options struct {
	Log *slog.Logger
	// SetUpCode lets the first manager in on an empty workshop.
	SetUpCode string
	// Secure marks cookies for HTTPS only.
	Secure bool
	// Demo people and PINs are shown on the log-in page of a demonstration.
	Demo []DemoPerson
}

// DemoPerson is one line of a demonstration's log-in page.
type DemoPerson struct{ Name, Role, PIN string }

// server holds what handlers share.
type server struct {
	shop *shop.Shop
	opt  Options
	log  *slog.Logger
	live *live
}

// New makes the handler of all pages.
func New(s *shop.Shop, o Options) http.Handler {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	srv := &server{shop: s, opt: o, log: o.Log, live: newLive(s.Store(), s.Now)}
	mux := http.NewServeMux()
	for _, r := range routes {
		mux.Handle(r.method+" "+r.path, srv.serve(r))
	}
	mux.Handle(api.Prefix+"/", api.New(s, api.Options{Log: o.Log, SetUpCode: o.SetUpCode}))
	mux.Handle("/", srv.serve(route{role: anybody, do: (*server).notFound}))
	sameSite := http.NewCrossOriginProtection()
	sameSite.AddInsecureBypassPattern(api.Prefix + "/") // takes tokens alone, which no page of another site has
	sameSite.SetDenyHandler(srv.serve(route{path: "/", role: anybody, do: (*server).crossSite}))
	return headers(sameSite.Handler(mux))
}

// contentPolicy allows nothing from another host and no script or style within
// a page.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; " +
	"connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"

// headers are those of every answer.
func headers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", contentPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(self), microphone=(), geolocation=()")
		h.Set("Cache-Control", "no-store")
		next.ServeHTTP(w, r)
	})
}

// serve wraps one route: session, role, errors, panics, the access log.
func (s *server) serve(rt route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began := time.Now()
		sw := &statusWriter{ResponseWriter: w, status: http.StatusOK}
		q := &request{server: s, w: sw, Request: r}
		defer func() {
			if p := recover(); p != nil {
				s.fail(q, panicked{p})
			}
			s.log.Info("request", "method", r.Method, "route", rt.path, "status", sw.status, "ms", time.Since(began).Milliseconds())
		}()
		r.Body = http.MaxBytesReader(sw, r.Body, limitOf(r))
		if err := q.parse(); err != nil {
			q.session = &session{}
			s.fail(q, err)
			return
		}
		if err := q.open(); err != nil {
			s.fail(q, err)
			return
		}
		if err := q.admit(rt); err != nil {
			s.fail(q, err)
			return
		}
		if err := rt.do(s, q); err != nil {
			s.fail(q, err)
		}
	})
}

// maxForm is the most that a form without photos may send.
const maxForm = 1 << 20

// statusWriter remembers the status for the log.
type statusWriter struct {
	http.ResponseWriter
	status  int
	written bool
}

func (w *statusWriter) WriteHeader(status int) {
	w.status, w.written = status, true
	w.ResponseWriter.WriteHeader(status)
}

func (w *statusWriter) Write(b []byte) (int, error) {
	w.written = true
	return w.ResponseWriter.Write(b)
}

// Unwrap lets http.ResponseController reach the connection.
func (w *statusWriter) Unwrap() http.ResponseWriter { return w.ResponseWriter }
