// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"witnessmark/internal/browsertest"
	"witnessmark/internal/job"
	"witnessmark/internal/web"
)

// screenshots is the folder for a picture of every page; scripts/screenshots
// sets it.
var screenshots = os.Getenv("WITNESSMARK_SCREENSHOTS")

// sizes are what every page is looked at with, light and dark.
var sizes = []struct {
	name string
	browsertest.Options
}{{"tablet", browsertest.Tablet}, {"phone", browsertest.Phone}}

func dark(o browsertest.Options) browsertest.Options {
	o.Dark = true
	return o
}

var placeholder = regexp.MustCompile(`\{[^}]+\}`)

// everyPage is an address for every page of the routes, and further states of
// some.
func (w *workshop) everyPage(p *browsertest.Page) []string {
	w.Helper()
	p.Goto(w.url + "/jobs/" + w.cast.HandedOver + "/photos")
	photo := p.Attr("a[href*='/photo/']", "href")
	p.Goto(w.url + "/sheets")
	sheet := p.Attr("a[href^='/sheets/']", "href")
	p.Goto(w.url + "/plans")
	plan := p.Attr("a[href^='/plans/']", "href")
	p.Goto(w.url + "/tools/DI-1/study")
	study := p.Attr("a[href^='/studies/']", "href")
	values := map[string]string{"{$}": "", "{job}": w.cast.HalfWay, "{position}": "4", "{phase}": job.AsFitted, "{seq}": "20", "{tool}": "DI-1", "{batch}": "INV-2409", "{study}": filepath.Base(study),
		"{hash}": filepath.Base(sheet), "{plan}": filepath.Base(plan), "{photo}": filepath.Base(photo)}
	var out []string
	for _, path := range web.PagePaths() {
		if strings.Contains(path, "{photo}") {
			path = strings.Replace(path, "{job}", w.cast.HandedOver, 1)
		}
		out = append(out, placeholder.ReplaceAllStringFunc(path, func(name string) string {
			v, ok := values[name]
			if !ok {
				w.Fatalf("no value for %s of %s", name, path)
			}
			return v
		}))
	}
	agreed := "/jobs/" + w.cast.Agreed
	half, over, opened := "/jobs/"+w.cast.HalfWay, "/jobs/"+w.cast.HandedOver, "/jobs/"+w.cast.Opened
	return append(out, over, over+"/record", over+"/handover", over+"/bolts", over+"/photos", opened, opened+"/position/1/found", half+"/position/8/found?gauge=BG-1",
		"/tools/TW-2", half+"/bolts?tightening=final", agreed+"/parts", agreed+"/account", "/jobs/"+w.cast.Estimate+"/agree", agreed+"/dates", agreed+"/strip", "/jobs/"+w.cast.Refit+"/refit", "/jobs/"+w.cast.Refit, half+"/concede?obstacle=too_wide/position-4", "/nowhere")
}

// shorten leaves out what a content hash adds to a name.
func shorten(path string) string { return hashes.ReplaceAllString(path, "$1") }

var hashes = regexp.MustCompile(`(sheet|blob):[0-9a-f]+`)

var notInAName = regexp.MustCompile(`[^a-z0-9]+`)

// Every page, light and dark, on tablet and phone: axe finds nothing, nothing
// is wider than the screen, and the browser has nothing to complain about.
func TestEveryPageIsLookedAt(t *testing.T) {
	for _, size := range sizes {
		t.Run(size.name, func(t *testing.T) {
			t.Parallel()
			w := newWorkshop(t)
			p := w.tablet(size.Options, job.Manager)
			for i, path := range w.everyPage(p) {
				p.Look(size.Options)
				p.Goto(w.url + path)
				w.looksWell(p, path, size.name+"-light")
				w.picture(p, i, path, size.name+"-light")
				p.Look(dark(size.Options))
				w.looksWell(p, path, size.name+"-dark")
				w.picture(p, i, path, size.name+"-dark")
				if screenshots != "" && size.name == "tablet" {
					p.Look(browsertest.Options{Print: true, Width: 794, Height: 1123}) // A4 at 96 dots an inch
					w.picture(p, i, path, "print")
				}
			}
			if got := p.ConsoleErrors(); len(got) != 1 || !strings.Contains(got[0], "/nowhere") {
				t.Errorf("complaints beside the page that is not there: %q", got)
			}
		})
	}
}

// picture takes one where pictures are wanted.
func (w *workshop) picture(p *browsertest.Page, i int, path, look string) {
	w.Helper()
	if screenshots == "" {
		return
	}
	name := fmt.Sprintf("%02d-%s", i+1, strings.Trim(notInAName.ReplaceAllString(strings.ToLower(shorten(path)), "-"), "-"))
	p.Screenshot(filepath.Join(screenshots, name+"-"+look+".png"))
}

func (w *workshop) looksWell(p *browsertest.Page, path, look string) {
	w.Helper()
	if n := p.Overflow(); n != 0 {
		w.Errorf("%s on %s is %d px too wide: %s", path, look, n, p.Eval(`[...document.querySelectorAll("body *")].filter(e=>e.getBoundingClientRect().right>innerWidth+1&&!e.closest(".scroll,.tabs")).slice(0,4).map(e=>e.tagName+"."+e.className).join(" ")`))
	}
	if screenshots != "" {
		return // pictures need no axe-core
	}
	var only []string
	if strings.HasSuffix(look, "dark") {
		only = []string{"color-contrast"} // nothing else of a page hangs on its colours
	}
	for _, fault := range p.Axe(only...) {
		w.Errorf("%s on %s: %s", path, look, fault)
	}
}

// What waits for the network and what just went out are looked at too.
func TestWaitingIsLookedAt(t *testing.T) {
	w := newWorkshop(t)
	p := w.tablet(browsertest.Phone, job.Technician)
	p.Goto(w.url + "/jobs/" + w.cast.HalfWay + "/position/7/fitted")
	p.Offline(true)
	for range 2 {
		p.Click(barOf("0.038"))
		p.Click("#keep")
	}
	p.WaitText("[data-at=after]", "Every position is entered")
	for _, state := range []string{"waiting", "sent"} {
		for _, look := range []browsertest.Options{browsertest.Phone, dark(browsertest.Phone)} {
			p.Look(look)
			w.looksWell(p, state, map[bool]string{false: "phone-light", true: "phone-dark"}[look.Dark])
			w.picture(p, 90, state, fmt.Sprintf("dark-%t", look.Dark))
		}
		p.Offline(false)
		p.WaitText("#waiting", "2 entries went out.")
	}
}

// README shows the job page as it is on a tablet, down to where the finding
// ends.
func TestReadmePicture(t *testing.T) {
	w := newWorkshop(t)
	p := w.tablet(browsertest.Tablet, job.Technician)
	p.Goto(w.url + "/jobs/" + w.cast.HalfWay)
	p.Wait(".strip.wide svg")
	if p.Overflow() != 0 || !strings.Contains(p.Text(".finding"), "too wide") {
		t.Errorf("the job half-way shows %q", p.Text(".finding"))
	}
	if screenshots != "" {
		bottom, err := strconv.Atoi(p.Eval(`Math.ceil(document.querySelector(".finding").getBoundingClientRect().bottom)+18`))
		if err != nil {
			t.Fatal(err)
		}
		p.ScreenshotTop(filepath.Join(screenshots, "readme.png"), bottom)
	}
}
