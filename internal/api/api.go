// SPDX-License-Identifier: Apache-2.0

package api

import (
	"bytes"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"witnessmark/internal/shop"
)

// Prefix is where the interface is mounted.
const Prefix = "/api/v1"

// Options is what the interface needs beside the shop.
type Options struct {
	Log *slog.Logger
	// SetUpCode lets the first manager in on an empty workshop.
	SetUpCode string
}

// server holds what handlers share.
type server struct {
	shop   *shop.Shop
	opt    Options
	log    *slog.Logger
	schema []byte
}

// New makes the handler of all operations, to be mounted at [Prefix].
func New(s *shop.Shop, o Options) http.Handler {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	srv := &server{shop: s, opt: o, log: o.Log}
	mux := http.NewServeMux()
	schema, err := srv.mount(mux)
	if err != nil {
		panic(err) // the types of this package can't be described: a mistake in the program
	}
	srv.schema = schema
	mux.HandleFunc("/", srv.elsewhere(mux))
	return srv.guard(mux)
}

// Schema is the description of the interface, OpenAPI 3.1 as indented JSON.
func Schema() ([]byte, error) {
	return (&server{log: slog.New(slog.DiscardHandler)}).mount(http.NewServeMux())
}

// mount registers every operation of the table and returns the description.
func (s *server) mount(mux *http.ServeMux) ([]byte, error) {
	a := humago.NewWithPrefix(mux, Prefix, description())
	aliases(a.OpenAPI().Components.Schemas)
	for _, row := range operations {
		row.register(s, a, row)
	}
	describeBodies(a.OpenAPI())
	raw, err := json.Marshal(a.OpenAPI())
	if err != nil {
		return nil, fmt.Errorf("api: schema: %w", err)
	}
	var b bytes.Buffer
	if err := json.Indent(&b, raw, "", "  "); err != nil {
		return nil, fmt.Errorf("api: schema: %w", err)
	}
	b.WriteByte('\n')
	return b.Bytes(), nil
}

// description is the head of the schema. There is no page with documentation:
// it would load scripts from another host.
func description() huma.Config {
	return huma.Config{
		OpenAPI: &huma.OpenAPI{
			OpenAPI: "3.1.0",
			Info: &huma.Info{Title: "Witnessmark", Version: "1", Description: "Measured decisions and a sealed record for the bottom end of an engine. " +
				"Calculated figures are no approval: the manufacturer's current service information, local rules and licensed practice prevail.",
				License: &huma.License{Name: "Apache-2.0", Identifier: "Apache-2.0"}},
			Components: &huma.Components{
				Schemas: huma.NewMapRegistry("#/components/schemas/", huma.DefaultSchemaNamer),
				SecuritySchemes: map[string]*huma.SecurityScheme{
					"device": {Type: "http", Scheme: "bearer", Description: "The token of a device: see log-in."},
				},
			},
		},
		Formats:                      map[string]huma.Format{"application/json": huma.DefaultJSONFormat, "json": huma.DefaultJSONFormat},
		DefaultFormat:                "application/json",
		RejectUnknownQueryParameters: true,
	}
}

// guard sets the headers of every answer, keeps the access log and answers for
// a handler that panics.
func (s *server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began := time.Now()
		sw := &statusWriter{ResponseWriter: w, status: http.StatusOK}
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'; sandbox")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cache-Control", "no-store")
		defer func() {
			if p := recover(); p != nil {
				problem := s.problem(r.Context(), panicked{p})
				if !sw.written {
					problem.write(sw)
				}
			}
			s.log.Info("request", "method", r.Method, "route", r.Pattern, "status", sw.status, "ms", time.Since(began).Milliseconds())
		}()
		next.ServeHTTP(sw, r)
	})
}

// elsewhere answers for a path that is none, and for a method that the path
// does not have.
func (s *server) elsewhere(mux *http.ServeMux) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		for _, method := range []string{http.MethodGet, http.MethodPost, http.MethodPut, http.MethodDelete} {
			probe := r.Clone(r.Context())
			probe.Method = method
			if _, pattern := mux.Handler(probe); pattern != "/" {
				w.Header().Add("Allow", method)
			}
		}
		if allowed := w.Header().Values("Allow"); len(allowed) > 0 {
			(&Problem{Status: http.StatusMethodNotAllowed, Title: "Not this way", Detail: fmt.Sprintf("%s is not asked for with %s.", r.URL.Path, r.Method),
				Next: "Use a method that the header Allow names."}).write(w)
			return
		}
		(&Problem{Status: http.StatusNotFound, Title: "Not found", Detail: fmt.Sprintf("There is nothing at %s.", r.URL.Path),
			Next: "See " + Prefix + "/openapi.json for what there is."}).write(w)
	}
}

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
