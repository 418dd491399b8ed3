// SPDX-License-Identifier: Apache-2.0

package browsertest

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// patience is how long one step may take on a busy machine.
const patience = 60 * time.Second

// Options say what the page is looked at with. The zero value is a tablet on
// its side, light, with script.
type Options struct {
	Width, Height int  // CSS pixels; 1180 by 820 if zero
	Mobile        bool // a touch screen that heeds the viewport tag
	Dark          bool
	NoScript      bool
	Print         bool // the print style sheet
}

// Tablet and Phone are the two sizes at which pages are looked at.
var (
	Tablet = Options{Width: 1180, Height: 820, Mobile: true}
	Phone  = Options{Width: 390, Height: 844, Mobile: true}
)

// Page is one tab with cookies and storage of its own.
type Page struct {
	t   testing.TB
	ctx context.Context

	mu      sync.Mutex
	errors  []string
	dialogs []string
	width   int // of the screen
}

// Open opens an empty page, which closes with the test.
func Open(t testing.TB, o Options) *Page {
	t.Helper()
	ctx, cancel := chromedp.NewContext(shared(t), chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	p := &Page{t: t, ctx: ctx}
	p.must("open a page", chromedp.Do(ctx))
	p.listen()
	p.answer()
	p.set(o)
	return p
}

// Look changes what the page is looked at with, without loading it anew.
func (p *Page) Look(o Options) {
	p.t.Helper()
	p.set(o)
}

func (p *Page) set(o Options) {
	p.t.Helper()
	if o.Width == 0 {
		o.Width, o.Height = Tablet.Width, Tablet.Height
	}
	p.width = o.Width
	scheme, media := "light", "screen"
	if o.Dark {
		scheme = "dark"
	}
	if o.Print {
		media = "print"
	}
	call(p, "set the size", emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: int64(o.Width), Height: int64(o.Height), DeviceScaleFactor: 1, Mobile: o.Mobile})
	call(p, "set touch", emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: o.Mobile})
	call(p, "set the scheme", emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: media, Features: []*emulation.MediaFeature{
		{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"}}})
	if o.NoScript {
		call(p, "switch script off", emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
	}
}

// listen keeps what the page complains about.
func (p *Page) listen() {
	messages := chromedp.Console(p.ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			if m.Type == "error" || m.Type == chromedp.ConsoleException || m.Type == "assert" {
				p.mu.Lock()
				p.errors = append(p.errors, strings.TrimSpace(m.Text+" "+m.URL))
				p.mu.Unlock()
			}
		}
	}()
}

// answer says yes to whatever the page asks in a dialog, such as whether to
// leave it, and keeps what it asked.
func (p *Page) answer() {
	opened := chromedp.Events(p.ctx, cdppage.JavascriptDialogOpening)
	go func() {
		for d, err := range opened {
			if err != nil {
				return
			}
			p.mu.Lock()
			p.dialogs = append(p.dialogs, string(d.Type))
			p.mu.Unlock()
			// A dialog that cannot be answered ends the step that waits for it.
			_, _ = chromedp.Call(p.ctx, cdppage.HandleJavaScriptDialog, cdppage.HandleJavaScriptDialogParams{Accept: true})
		}
	}()
}

// Dialogs returns the kinds of the dialogs that came up so far: alert,
// confirm, prompt or beforeunload. Each was answered with yes.
func (p *Page) Dialogs() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]string(nil), p.dialogs...)
}

// ConsoleErrors returns what the page complained about so far: exceptions,
// console errors, what the security policy stopped and what did not load.
func (p *Page) ConsoleErrors() []string {
	p.t.Helper()
	// Messages come in the order of the protocol: after this answer the
	// browser has sent every one that was due.
	p.Eval("0")
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]string(nil), p.errors...)
}

// must ends the test if a step failed.
func (p *Page) must(step string, err error) {
	p.t.Helper()
	if err == nil {
		return
	}
	ctx, cancel := context.WithTimeout(p.ctx, 5*time.Second)
	defer cancel()
	where, _ := chromedp.Run(ctx, chromedp.Location())
	text, _ := chromedp.Run(ctx, chromedp.Evaluate[string](`(document.body?.innerText||"").slice(0,1500)`))
	p.t.Fatalf("browser: %s: %v\non %s, which says:\n%s", step, err, where, text)
}

// do runs steps with the patience that one step gets.
func (p *Page) do(step string, steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	p.must(step, chromedp.Do(ctx, steps...))
}

// Goto loads an address and waits until it has loaded.
func (p *Page) Goto(url string) {
	p.t.Helper()
	p.do("go to "+url, chromedp.Navigate(url))
}

// Reload loads the page anew.
func (p *Page) Reload() {
	p.t.Helper()
	p.do("reload", chromedp.Reload())
}

// URL is where the page is.
func (p *Page) URL() string {
	p.t.Helper()
	return run(p, "read the address", chromedp.Location())
}

// Click clicks the first element that sel selects, as a person would: it waits
// until it is to be seen. It does not wait for what comes of it.
func (p *Page) Click(sel string) {
	p.t.Helper()
	p.do("click "+sel, chromedp.Click(chromedp.CSS(sel)))
}

// Follow clicks and waits until the page that comes of it has loaded.
func (p *Page) Follow(sel string) {
	p.t.Helper()
	run(p, "follow "+sel, chromedp.WaitEvent(cdppage.LoadEventFired, nil, chromedp.Click(chromedp.CSS(sel))))
}

// Type types into a field, after what stands there.
func (p *Page) Type(sel, text string) {
	p.t.Helper()
	p.do("type into "+sel, chromedp.SendKeys(chromedp.CSS(sel), text))
}

// Fill empties a field and types into it.
func (p *Page) Fill(sel, text string) {
	p.t.Helper()
	p.do("fill "+sel, chromedp.Clear(chromedp.CSS(sel)), chromedp.SendKeys(chromedp.CSS(sel), text))
}

// Choose sets the value of a select and tells the page so.
func (p *Page) Choose(sel, value string) {
	p.t.Helper()
	p.Wait(sel)
	got := run(p, "choose "+value+" in "+sel, chromedp.Evaluate[string](fmt.Sprintf(
		`(()=>{const e=document.querySelector(%s);e.value=%s;e.dispatchEvent(new Event("input",{bubbles:true}));e.dispatchEvent(new Event("change",{bubbles:true}));return e.value})()`, quote(sel), quote(value))))
	if got != value {
		p.t.Fatalf("browser: %s has no choice %q", sel, value)
	}
}

// Upload puts files into a file field.
func (p *Page) Upload(sel string, files ...string) {
	p.t.Helper()
	p.do("put files into "+sel, chromedp.SetUploadFiles(chromedp.CSS(sel), files))
}

// Press presses one key by its name, such as Enter, Tab, Escape or ArrowDown,
// or types text where the focus is, as a gauge that acts as a keyboard does.
func (p *Page) Press(key string) {
	p.t.Helper()
	p.do("press "+key, chromedp.KeyEvent(keyName(key)))
}

// PressAndLoad presses a key and waits until the page that comes of it has
// loaded.
func (p *Page) PressAndLoad(key string) {
	p.t.Helper()
	run(p, "press "+key, chromedp.WaitEvent(cdppage.LoadEventFired, nil, chromedp.KeyEvent(keyName(key))))
}

// Offline cuts the page and its service worker off from the network, or
// connects them again.
func (p *Page) Offline(off bool) {
	p.t.Helper()
	var all []*network.Conditions
	if off {
		all = []*network.Conditions{{Offline: true, DownloadThroughput: -1, UploadThroughput: -1}}
	}
	worker := off
	call(p, "watch the network", network.Enable, network.EnableParams{})
	call(p, "cut the requests", network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{EmulateOfflineServiceWorker: &worker, MatchedNetworkConditions: all})
	// The state is what navigator.onLine and the page's events go by.
	call(p, "change the network", network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: off, DownloadThroughput: -1, UploadThroughput: -1})
}

// Screenshot writes the whole page as a PNG, making the folder if need be.
func (p *Page) Screenshot(file string) {
	p.t.Helper()
	p.write(file, run(p, "take a picture", chromedp.FullScreenshot(100)))
}

// ScreenshotTop writes the uppermost part of the page as a PNG.
func (p *Page) ScreenshotTop(file string, height int) {
	p.t.Helper()
	p.do("make room for a picture", chromedp.EmulateViewport(int64(p.width), int64(height)))
	data := run(p, "take a picture", chromedp.CaptureScreenshot())
	p.write(file, data)
}

func (p *Page) write(file string, data []byte) {
	p.t.Helper()
	if err := os.MkdirAll(filepath.Dir(file), 0o777); err != nil {
		p.t.Fatal(err)
	}
	if err := os.WriteFile(file, data, 0o666); err != nil {
		p.t.Fatal(err)
	}
}

// Download clicks and returns the file that the browser then saved.
func (p *Page) Download(sel string) string {
	p.t.Helper()
	dir := p.t.TempDir()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	on := true
	c := chromedp.FromContext(p.ctx)
	_, err := chromedp.CallBrowser(ctx, cdpbrowser.SetDownloadBehavior, cdpbrowser.SetDownloadBehaviorParams{
		Behavior: cdpbrowser.SetDownloadBehaviorBehaviorAllowAndName, BrowserContextID: c.BrowserContextID, DownloadPath: dir, EventsEnabled: &on})
	p.must("allow downloads", err)
	events := chromedp.BrowserEvents(ctx, cdpbrowser.DownloadProgress)
	p.Click(sel)
	for e, err := range events {
		p.must("download by "+sel, err)
		file := filepath.Join(dir, e.GUID)
		if _, err := os.Stat(file); err == nil && e.State == cdpbrowser.DownloadProgressStateCompleted {
			return file
		}
	}
	p.t.Fatalf("browser: nothing was downloaded by %s", sel)
	return ""
}
