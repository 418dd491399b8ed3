// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// output is a stream that a command writes and a test waits on.
type output struct {
	lines chan string
	buf   bytes.Buffer
}

func (o *output) Write(p []byte) (int, error) {
	o.buf.Write(p)
	if json.Valid(o.buf.Bytes()) {
		o.lines <- o.buf.String()
	}
	return len(p), nil
}

// running starts a command that serves and returns what it printed once it
// listened; stop ends it and returns what it said and how long that took.
func running(t *testing.T, args ...string) (result map[string]any, stop func() (time.Duration, string)) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	out := &output{lines: make(chan string, 1)}
	var said bytes.Buffer
	root := newRoot(&app{in: strings.NewReader(""), out: out, err: &said})
	root.SetArgs(append(args, "--json", "--addr", "127.0.0.1:0"))
	done := make(chan error, 1)
	go func() { done <- root.ExecuteContext(ctx) }()
	t.Cleanup(cancel)
	select {
	case line := <-out.lines:
		if err := json.Unmarshal([]byte(line), &result); err != nil {
			t.Fatal(err)
		}
	case err := <-done:
		t.Fatalf("%v ended: %v\n%s", args, err, &said)
	case <-time.After(30 * time.Second):
		t.Fatalf("%v did not listen within 30 s", args)
	}
	return result, func() (time.Duration, string) {
		began := time.Now()
		cancel()
		if err := <-done; err != nil {
			t.Errorf("%v: %v", args, err)
		}
		return time.Since(began), said.String()
	}
}

func TestServeSetsUp(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	r, stop := running(t, "serve", "--dir", dir, "--name", "Somebody's workshop")
	code, _ := r["set_up_code"].(string)
	if len(code) != 8 || r["workshop"] != "Somebody's workshop" {
		t.Errorf("printed %v, want a set-up code of 8 and the workshop's name", r)
	}
	addr, _ := r["address"].(string)
	if !strings.HasPrefix(addr, "http://127.0.0.1:") {
		t.Errorf("listens on %q, want loopback", addr)
	}
	resp, err := http.Get(addr)
	if err != nil {
		t.Fatal(err)
	}
	resp.Body.Close()
	if resp.StatusCode >= 400 {
		t.Errorf("/ answers %s", resp.Status)
	}
	// A second server is refused; the command line is not.
	if got := Main([]string{"serve", "--dir", dir, "--addr", "127.0.0.1:0"}, strings.NewReader(""), io.Discard, io.Discard); got != exitCouldNot {
		t.Errorf("a second server on the folder: exit code %d, want %d", got, exitCouldNot)
	}
	if got := Main([]string{"job", "list", "--dir", dir}, strings.NewReader(""), io.Discard, io.Discard); got != 0 {
		t.Errorf("job list beside the server: exit code %d", got)
	}
	took, said := stop()
	if took > 5*time.Second {
		t.Errorf("stopping took %v, want under 5 s", took)
	}
	if strings.Contains(said, code) || strings.Contains(said, "Somebody") {
		t.Errorf("the log holds what it should not: %s", said)
	}
}

func TestDemoAnswersAndStops(t *testing.T) {
	r, stop := running(t, "demo", "--dir", t.TempDir())
	resp, err := http.Get(r["address"].(string))
	if err != nil {
		t.Fatal(err)
	}
	page, err := io.ReadAll(resp.Body)
	resp.Body.Close()
	if err != nil || resp.StatusCode != http.StatusOK || !bytes.Contains(page, []byte("<html")) {
		t.Errorf("/ answers %s, %v: %.200s", resp.Status, err, page)
	}
	if people, _ := r["people"].([]any); len(people) != 4 {
		t.Errorf("printed %v, want four people", r["people"])
	}
	if took, _ := stop(); took > 5*time.Second {
		t.Errorf("stopping took %v, want under 5 s", took)
	}
}

// A stream ends with the server; what ignores that is cut off.
func TestServeOnStopsStreams(t *testing.T) {
	for name, until := range map[string]func(r *http.Request) <-chan struct{}{
		"that listens": func(r *http.Request) <-chan struct{} { return r.Context().Done() },
		"that doesn't": func(*http.Request) <-chan struct{} { return nil },
	} {
		t.Run(name, func(t *testing.T) {
			ln, err := net.Listen("tcp", "127.0.0.1:0")
			if err != nil {
				t.Fatal(err)
			}
			ctx, cancel := context.WithCancel(context.Background())
			gone := make(chan struct{})
			t.Cleanup(func() { close(gone) })
			h := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				io.WriteString(w, "data: 1\n\n")
				http.NewResponseController(w).Flush()
				select {
				case <-until(r):
				case <-gone:
				}
			})
			done := make(chan error, 1)
			go func() { done <- serveOn(ctx, ln, h, slog.New(slog.DiscardHandler)) }()
			resp, err := http.Get("http://" + ln.Addr().String())
			if err != nil {
				t.Fatal(err)
			}
			defer resp.Body.Close()
			if _, err := resp.Body.Read(make([]byte, 8)); err != nil {
				t.Fatal(err)
			}
			began := time.Now()
			cancel()
			if err := <-done; err != nil {
				t.Error(err)
			}
			if took := time.Since(began); took > 5*time.Second {
				t.Errorf("stopping took %v, want under 5 s", took)
			}
		})
	}
}

// Whoever comes before the curtain is up is told to ask again.
func TestCurtain(t *testing.T) {
	c := &curtain{up: make(chan struct{})}
	w := httptest.NewRecorder()
	c.ServeHTTP(w, httptest.NewRequest("GET", "/", nil))
	if w.Header().Get("Refresh") == "" || !strings.Contains(w.Body.String(), "asks again") {
		t.Errorf("before: %v %s", w.Header(), w.Body)
	}
	c.raise(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, "up") }))
	w = httptest.NewRecorder()
	if c.ServeHTTP(w, httptest.NewRequest("GET", "/", nil)); w.Body.String() != "up" {
		t.Errorf("after: %s", w.Body)
	}
}
