// SPDX-License-Identifier: Apache-2.0

// Package browsertest drives a real headless Chromium in tests of pages.
//
// A test package says so once and then opens pages:
//
//	func TestMain(m *testing.M) { browsertest.Main(m) }
//
//	func TestJobs(t *testing.T) {
//		p := browsertest.Open(t, browsertest.Options{})
//		p.Goto(server.URL + "/jobs")
//		...
//	}
//
// One browser serves the whole test binary; every [Page] has cookies and
// storage of its own, as a tablet of its own would. A step that fails ends the
// test and says which step it was.
//
// Without Chromium a test is left out with a plain reason, unless
// WITNESSMARK_REQUIRE_ALL is 1: then it fails. The accessibility check reads
// axe-core from the file that WITNESSMARK_AXE names, under the same rule.
package browsertest

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
)

// browser is the one process of this test binary.
var browser struct {
	once   sync.Once
	ctx    context.Context
	stop   func()
	err    error
	inMain bool
}

var errNoChromium = errors.New("chromium is not installed (apt-get install chromium)")

// Main runs a package's tests and stops the browser afterwards.
func Main(m *testing.M) {
	browser.inMain = true
	code := m.Run()
	if browser.stop != nil {
		browser.stop()
	}
	os.Exit(code)
}

// shared starts the browser on first use.
func shared(t testing.TB) context.Context {
	t.Helper()
	if !browser.inMain {
		t.Fatal("browsertest: the package needs func TestMain(m *testing.M) { browsertest.Main(m) }")
	}
	browser.once.Do(start)
	if errors.Is(browser.err, errNoChromium) {
		leaveOut(t, browser.err.Error())
	}
	if browser.err != nil {
		t.Fatalf("browsertest: %v", browser.err)
	}
	return browser.ctx
}

// leaveOut skips a test, or fails it where nothing may be left out.
func leaveOut(t testing.TB, reason string) {
	t.Helper()
	if os.Getenv("WITNESSMARK_REQUIRE_ALL") == "1" {
		t.Fatalf("nothing may be left out, and %s", reason)
	}
	t.Skip("left out: " + reason)
}

func start() {
	path, err := exec.LookPath("chromium")
	if err != nil {
		browser.err = errNoChromium
		return
	}
	profile, err := os.MkdirTemp("", "witnessmark-browser-")
	if err != nil {
		browser.err = err
		return
	}
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), flags(path, profile)...)
	ctx, _ := chromedp.NewContext(alloc, chromedp.WithErrorf(quiet))
	browser.ctx = ctx
	browser.stop = func() {
		_ = chromedp.Cancel(ctx) // what is left of it goes with the allocator
		stopAlloc()
		os.RemoveAll(profile)
	}
	if err := chromedp.Do(ctx); err != nil {
		browser.err = fmt.Errorf("starting %s: %w", path, err)
	}
}

// quiet drops what the library logs about protocol events it does not know.
func quiet(string, ...any) {}

// flags make the browser keep to itself: a fresh profile and no traffic of its
// own.
func flags(path, profile string) []chromedp.ExecAllocatorOption {
	o := append([]chromedp.ExecAllocatorOption{}, chromedp.DefaultExecAllocatorOptions[:]...)
	o = append(o, chromedp.ExecPath(path), chromedp.UserDataDir(profile), chromedp.DisableGPU)
	for _, name := range strings.Fields("disable-quic disable-component-update disable-domain-reliability no-pings") {
		o = append(o, chromedp.Flag(name, true))
	}
	if os.Geteuid() == 0 {
		o = append(o, chromedp.NoSandbox) // Chromium's sandbox refuses to run as root
	}
	return o
}
