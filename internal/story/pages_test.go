// SPDX-License-Identifier: Apache-2.0

package story

import (
	"flag"
	"path/filepath"
	"strings"
	"testing"

	"witnessmark/internal/browsertest"
)

// shots is where scripts/screenshots wants the pictures.
var (
	shots  = flag.String("shots", "", "folder for a picture of every page in every look")
	readme = flag.String("readme", "", "file for the picture that the README shows")
)

// pages is every page of the demonstration that a person can come to.
var pages = []string{
	"/", "/jobs/new", "/sheets", "/tools", "/tools/TW-2", "/help", "/person",
	"/jobs/0412", "/jobs/0412/position/7/fitted", "/jobs/0412/position/4/found", "/jobs/0412/position/1/fitted?gauge=BG-1",
	"/jobs/0412/wear/3", "/jobs/0412/shells/7", "/jobs/0412/bolts", "/jobs/0412/assemble", "/jobs/0412/settings", "/jobs/0412/debris",
	"/jobs/0412/arrival", "/jobs/0412/strip", "/jobs/0412/close", "/jobs/0412/run", "/jobs/0412/handover", "/jobs/0412/sheet",
	"/jobs/0412/record", "/jobs/0412/record/3/correct", "/jobs/0412/note", "/jobs/0412/photos", "/jobs/0412/concede",
	"/jobs/0398", "/jobs/0398/handover", "/jobs/0398/photos/3", "/jobs/0415", "/jobs/none",
}

// managers' pages, and those before anybody is logged in.
var managersPages = []string{"/people", "/settings"}

// looks are what pages are looked at with.
var looks = []struct {
	name string
	o    browsertest.Options
}{
	{"tablet-light", browsertest.Tablet},
	{"phone-dark", dark(browsertest.Phone)},
	{"tablet-dark", dark(browsertest.Tablet)},
	{"phone-light", browsertest.Phone},
}

func dark(o browsertest.Options) browsertest.Options { o.Dark = true; return o }

// TestEveryPage goes to every page: nothing runs off the screen, the
// accessibility rules find nothing, and the browser does not complain. Without
// -shots two of the four looks are enough: colours and widths differ in both.
func TestEveryPage(t *testing.T) {
	url, _ := demoServer(t)
	taken := looks[:2]
	if *shots != "" {
		taken = looks
	}
	for _, look := range taken {
		t.Run(look.name, func(t *testing.T) {
			b := &teller{T: t, Page: browsertest.Open(t, look.o), url: url}
			b.Goto(url + "/login")
			b.look(look.name, "/login")
			b.logIn("p-2", "1042")
			for _, path := range pages {
				b.Goto(url + path)
				b.look(look.name, path)
			}
			b.logIn("p-1", "4075")
			for _, path := range managersPages {
				b.Goto(url + path)
				b.look(look.name, path)
			}
		})
	}
	if *shots != "" || *readme != "" {
		printed(t, url)
	}
}

func (b *teller) look(name, path string) {
	b.T.Helper()
	if *shots != "" {
		b.Screenshot(filepath.Join(*shots, name, strings.Trim(strings.NewReplacer("/", "_", "?", "_", "=", "_").Replace(path), "_")+".png"))
	}
	if over := b.Overflow(); over > 0 {
		b.Errorf("%s: %d pixels wider than the screen", path, over)
	}
	for _, v := range b.Axe() {
		b.Errorf("%s: %s", path, v)
	}
	all := b.ConsoleErrors()
	for _, c := range all[b.told:] {
		if path != "/jobs/none" { // the browser tells of the 404 that is wanted
			b.Errorf("%s: the browser says %s", path, c)
		}
	}
	b.told = len(all)
}

// printed takes the pages as they are printed, the report, and the picture of
// the README.
func printed(t *testing.T, url string) {
	b := &teller{T: t, Page: browsertest.Open(t, browsertest.Options{Width: 800, Height: 1100, Print: true}), url: url}
	b.logIn("p-2", "1042")
	for _, path := range []string{"/jobs/0412", "/jobs/0398/report", "/jobs/0412/record"} {
		b.Goto(url + path)
		if *shots != "" {
			b.Screenshot(filepath.Join(*shots, "print", strings.Trim(strings.ReplaceAll(path, "/", "_"), "_")+".png"))
		}
	}
	if *readme == "" {
		return
	}
	b = &teller{T: t, Page: browsertest.Open(t, browsertest.Tablet), url: url}
	b.logIn("p-2", "1042")
	b.Goto(url + "/jobs/0412")
	b.Screenshot(*readme)
}
