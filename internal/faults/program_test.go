// SPDX-License-Identifier: Apache-2.0

package faults

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// unprivileged is the user "nobody": root would not notice a folder that can't
// be written.
const unprivileged = 65534

// longest is how long anything may take on a machine that has much else to do.
const longest = 2 * time.Minute

// made is what all tests share: the program, and a workshop to copy.
var made struct {
	sync.Once
	dir, program, workshop string
	err                    error
}

func TestMain(m *testing.M) {
	code := m.Run()
	if made.dir != "" {
		_ = os.RemoveAll(made.dir)
	}
	os.Exit(code)
}

// program builds the program, once for all tests, and the invented workshop.
func program(t testing.TB) string {
	t.Helper()
	made.Do(func() { made.err = makeProgram() })
	if made.err != nil {
		t.Fatal(made.err)
	}
	return made.program
}

func makeProgram() (err error) {
	if made.dir, err = os.MkdirTemp("", "faults-"); err != nil {
		return err
	}
	if err := os.Chmod(made.dir, 0o755); err != nil {
		return err
	}
	made.program, made.workshop = filepath.Join(made.dir, "witnessmark"), filepath.Join(made.dir, "workshop")
	if out, err := exec.Command("go", "build", "-ldflags=-s -w", "-o", made.program, "witnessmark/cmd/witnessmark").CombinedOutput(); err != nil {
		return fmt.Errorf("%w\n%s", err, out)
	}
	if out, err := exec.Command(made.program, "demo", "--no-serve", "--dir", made.workshop).CombinedOutput(); err != nil {
		return fmt.Errorf("%w\n%s", err, out)
	}
	return nil
}

// place is a new folder that the unprivileged user owns.
func place(t testing.TB) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "faults-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := os.RemoveAll(dir); err != nil {
			t.Error(err)
		}
	})
	own(t, dir)
	return dir
}

// workshop is a copy of the invented workshop in a place of its own.
func workshop(t testing.TB) string {
	t.Helper()
	return workshopIn(t, place(t))
}

func workshopIn(t testing.TB, dir string) string {
	t.Helper()
	program(t)
	dir = filepath.Join(dir, "workshop")
	if err := os.CopyFS(dir, os.DirFS(made.workshop)); err != nil {
		t.Fatal(err)
	}
	own(t, dir)
	return dir
}

// own gives a folder with all in it to the unprivileged user, if there is
// another one to take it from, with the modes that the program keeps.
func own(t testing.TB, dir string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		mode := fs.FileMode(0o600)
		if d.IsDir() {
			mode = 0o700
		}
		if err := os.Chmod(path, mode); err != nil || os.Geteuid() != 0 {
			return err
		}
		return os.Chown(path, unprivileged, unprivileged)
	})
	if err != nil {
		t.Fatal(err)
	}
}

// command is the program as the unprivileged user.
func command(t testing.TB, ctx context.Context, args ...string) *exec.Cmd {
	t.Helper()
	c := exec.CommandContext(ctx, program(t), args...)
	asNobody(c)
	c.Dir = "/"
	c.WaitDelay = 10 * time.Second
	return c
}

func asNobody(c *exec.Cmd) {
	c.SysProcAttr = &syscall.SysProcAttr{}
	if os.Geteuid() == 0 {
		c.SysProcAttr.Credential = &syscall.Credential{Uid: unprivileged, Gid: unprivileged}
	}
}

// leaveOut skips a test, or fails it where nothing may be left out.
func leaveOut(t testing.TB, reason string) {
	t.Helper()
	if os.Getenv("WITNESSMARK_REQUIRE_ALL") == "1" {
		t.Fatalf("nothing may be left out, and %s", reason)
	}
	t.Skip("left out: " + reason)
}

// run runs a command of the program to its end.
func run(t testing.TB, args ...string) (code int, out, said string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	c := command(t, ctx, args...)
	var stdout, stderr bytes.Buffer
	c.Stdout, c.Stderr = &stdout, &stderr
	err := c.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatalf("%v: %v", args, err)
	}
	noStack(t, stdout.String()+stderr.String())
	return c.ProcessState.ExitCode(), stdout.String(), stderr.String()
}

// must runs a command that has to succeed.
func must(t testing.TB, args ...string) string {
	t.Helper()
	code, out, said := run(t, args...)
	if code != 0 {
		t.Fatalf("%v: exit code %d: %s%s", args, code, out, said)
	}
	return out
}

// server is the program serving a folder.
type server struct {
	t    testing.TB
	cmd  *exec.Cmd
	url  string
	code string // for the first manager
	said *output
	done chan error
}

// output is what a process wrote.
type output struct {
	mu  sync.Mutex
	buf bytes.Buffer
}

func (o *output) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.buf.Write(p)
}

func (o *output) String() string {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.buf.String()
}

// serve starts a server and returns once it listens.
func serve(t testing.TB, dir string, args ...string) *server {
	t.Helper()
	c := command(t, context.WithoutCancel(t.Context()), append([]string{"serve", "--dir", dir, "--addr", "127.0.0.1:0", "--json"}, args...)...)
	return listening(t, c)
}

func listening(t testing.TB, c *exec.Cmd) *server {
	t.Helper()
	s := &server{t: t, cmd: c, said: &output{}, done: make(chan error, 1)}
	c.Stderr = s.said
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.end)
	var first struct {
		Address   string `json:"address"`
		SetUpCode string `json:"set_up_code"`
	}
	if err := json.NewDecoder(out).Decode(&first); err != nil {
		t.Fatalf("%v: it did not listen: %v\n%s", c.Args, err, s.said)
	}
	go func() { // standard output is read to its end first, as Wait asks
		_, _ = io.Copy(io.Discard, out)
		s.done <- c.Wait()
	}()
	s.url, s.code = strings.TrimSuffix(first.Address, "/"), first.SetUpCode
	return s
}

// end kills what still runs and looks at what it said.
func (s *server) end() {
	_ = s.cmd.Process.Kill()
	s.wait(10 * time.Second)
	noStack(s.t, s.said.String())
}

// wait returns how the process ended, if it does within d.
func (s *server) wait(d time.Duration) (err error, ended bool) {
	select {
	case err := <-s.done:
		s.done <- err
		return err, true
	case <-time.After(d):
		return nil, false
	}
}

// kill ends it as a power switch does: nothing is tidied up.
func (s *server) kill() {
	s.t.Helper()
	_ = s.cmd.Process.Signal(syscall.SIGKILL)
	if _, ended := s.wait(10 * time.Second); !ended {
		s.t.Fatal("the server outlived SIGKILL")
	}
}

// stop asks it to end and returns how long that took.
func (s *server) stop() time.Duration {
	s.t.Helper()
	began := time.Now()
	if err := s.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		s.t.Fatal(err)
	}
	err, ended := s.wait(20 * time.Second)
	if err != nil || !ended {
		s.t.Fatalf("after SIGTERM: ended %v, %v\n%s", ended, err, s.said)
	}
	return time.Since(began)
}
