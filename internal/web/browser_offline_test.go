// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"context"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"witnessmark/internal/browsertest"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// One tablet loses the network, enters three readings in a row, and comes
// back: all three are in the record once, in order.
func TestThreeReadingsOffline(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	p := w.tablet(browsertest.Phone, job.Technician)
	p.Goto(w.url + "/jobs/0500/position/1/fitted")
	p.Wait("html[data-live]")
	p.Offline(true)
	order := w.load("0500").Basis.Sheet.AccessOrder()
	for i, bars := range [][]string{{"0.038"}, {"0.038", "0.051"}} {
		p.WaitText("h1", fmt.Sprintf("%d · as fitted", order[i]))
		for _, b := range bars {
			p.Click(barOf(b))
		}
		p.Click("#keep")
		p.WaitFor(fmt.Sprintf(`document.querySelectorAll("#waiting li").length===%d`, i+1))
		if got := chosen(p); got != "" {
			t.Errorf("%s is still tapped at the next position", got)
		}
	}
	p.WaitText("h1", "5 · as fitted")
	p.Press("0.064") // the third one typed, as a gauge would
	p.WaitText("#readback", "Position 5, as fitted: 0.064, as typed.")
	p.Press("Enter")
	p.WaitText("#waiting", "3 entries wait for the network. Nothing is lost.")
	for i, want := range []string{"Position 1 as fitted 0.038 mm · Odda Brenk", "Position 2 as fitted between 0.038 and 0.051 mm", "Position 5 as fitted 0.064, as typed"} {
		if got := strings.Join(strings.Fields(p.Texts("#waiting li")[i]), " "); !strings.HasPrefix(got, want) {
			t.Errorf("waiting: %q, want %s", got, want)
		}
	}
	if got := w.clearances("0500"); len(got) != 0 {
		t.Fatalf("kept without the network: %q", got)
	}
	p.Offline(false)
	p.WaitText("#waiting", "3 entries went out. Nothing waits any more.")
	want := []string{"1 fitted 0.038 mm", "2 fitted between 0.038 and 0.051 mm", "5 fitted 0.064 mm"}
	if got := w.clearances("0500"); !slices.Equal(got, want) {
		t.Errorf("kept %q, want %q", got, want)
	}
	p.Click(barOf("0.038")) // and it goes on where it was
	p.Follow("#keep")
	if got := w.clearances("0500"); len(got) != 4 || got[3] != "6 fitted 0.038 mm" {
		t.Errorf("kept: %q", got)
	}
}

// What waits outlives the page, its photo too; a second page of the same
// browser sends it.
func TestWhatWaitsOutlivesThePage(t *testing.T) {
	w := newWorkshop(t)
	p := w.tablet(browsertest.Tablet, job.Technician)
	p.Goto(w.url + "/jobs/0412/wear/8")
	w.away.Store(true)
	p.Click("form[action$='/journal'] input[value=clean]")
	p.Upload("form[action$='/journal'] input[type=file]", pictureFile(t))
	p.Click("form[action$='/journal'] button.go")
	p.WaitText("#waiting", "Journal at position 8")
	p.WaitText("#waiting", "with 1 photo")
	p.WaitText("#waiting", "1 entry waits for the network.")
	if n := p.Count("form[action$='/journal'] :checked"); n != 0 {
		t.Errorf("%d boxes are still ticked: it would be kept twice", n)
	}
	p.Goto("about:blank")
	w.away.Store(false)
	p.Goto(w.url + "/jobs/0412")
	p.WaitText("#waiting", "1 entry went out.")
	p.Reload()
	if j := w.load("0412").State.Positions[8].Journal; len(j) != 1 || len(j[0].Body.Photos) != 1 {
		t.Errorf("it is there as %+v", j)
	}
}

// A double tap, and a request whose answer was lost, count once.
func TestSentTwiceCountsOnce(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	p := w.tablet(browsertest.Tablet, job.Technician)
	p.Goto(w.url + "/jobs/0500/position/1/found")
	p.Click(barOf("0.038"))
	p.Eval(`(() => { const real = fetch; let lost = false;
		window.fetch = async (...a) => { const r = await real(...a); if (a[1]?.method === "POST" && !lost && String(a[0]).endsWith("/reading")) { lost = true; throw new TypeError("the answer was lost"); } return r; }; })()`)
	p.Eval(`(() => { const k = document.getElementById("keep"); k.click(); k.click(); })()`)
	p.WaitText("#waiting", "1 entry waits")
	if got := w.clearances("0500"); len(got) != 1 {
		t.Fatalf("the server has %q", got)
	}
	p.Eval(`void dispatchEvent(new Event("online"))`)
	p.WaitText("#waiting", "1 entry went out.")
	if got := w.clearances("0500"); len(got) != 1 {
		t.Errorf("kept: %q", got)
	}
}

// queue puts an entry into the browser's list as if it had waited.
func queue(p *browsertest.Page, item string) {
	p.Eval(`localStorage.setItem("witnessmark.waiting", JSON.stringify([` + item + `]))`)
	p.Reload()
}

// What is refused stays, with the reason, until somebody opens it again or
// takes it out.
func TestRefusedStays(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	p := w.tablet(browsertest.Tablet, job.Technician)
	p.Goto(w.url + "/jobs/0500/position/1/found")
	const item = `{id: "01JZZZZZZZZZZZZZZZZZZZZZZZ", url: "/jobs/0500/reading", body: "id=01JZZZZZZZZZZZZZZZZZZZZZZZ&position=1&phase=found&gauge=SG-1&typed=1%2C000",
		label: "Position 1 as found", said: "1,000", time: "2026-03-02T10:00:00+00:00", person: "p-2", name: "Odda Brenk", page: "/jobs/0500/position/1/found", state: "waits", reason: ""}`
	queue(p, item)
	p.WaitText("#waiting", "1 entry was not taken.")
	if got := p.Text("#waiting .reason"); !strings.Contains(got, "1,000") {
		t.Errorf("the reason is %q", got)
	}
	p.Follow("#waiting li button")
	if got := p.Value("#typed"); got != "1,000" {
		t.Errorf("opened again, %q is typed", got)
	}
	retype(p, "#typed", "0.042")
	p.WaitText("#readback", "0.042 mm")
	p.PressAndLoad("Enter")
	p.WaitFor(`document.getElementById("waiting").hidden`)
	if got := w.clearances("0500"); len(got) != 1 || got[0] != "1 found 0.042 mm" {
		t.Errorf("kept: %q", got)
	}
	queue(p, item)
	p.WaitText("#waiting", "1 entry was not taken.")
	p.Click("#waiting li button:last-child")
	p.WaitText("#waiting li button:last-child", "for good")
	p.Click("#waiting li button:last-child")
	p.WaitFor(`document.getElementById("waiting").hidden`)
}

// An entry belongs to whoever made it. When that person has not given the PIN
// on this tablet it waits for them, and is never the other's.
func TestWaitsForItsMaker(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	p := w.tablet(browsertest.Tablet, job.Inspector)
	p.Goto(w.url + "/jobs/0500")
	maker := w.member(job.Technician)
	queue(p, fmt.Sprintf(`{id: "01JZZZZZZZZZZZZZZZZZZZZZZY", url: "/jobs/0500/reading", body: "id=01JZZZZZZZZZZZZZZZZZZZZZZY&as=%s&position=1&phase=found&gauge=SG-1&bar=0.051",
		label: "Position 1 as found", said: "", time: "2026-03-02T10:00:00+00:00", person: %q, name: %q, page: "/jobs/0500/position/1/found", state: "waits", reason: ""}`, maker.ID, maker.ID, maker.Name))
	p.WaitText("#waiting a.button", "Log in as "+maker.Name)
	if got := w.clearances("0500"); len(got) != 0 {
		t.Fatalf("kept as somebody else's: %q", got)
	}
	p.Follow("#waiting a.button")
	p.Fill("input[name=pin]", maker.PIN)
	p.Follow("form[action='/login'] button")
	p.WaitText("#waiting", "1 entry went out.")
	l := w.load("0500")
	if n := len(l.State.Readings); n != 1 || l.State.Readings[0].At.Person != maker.ID {
		t.Errorf("%d readings: %+v", n, l.State.Readings)
	}
}

// After the last position offline there is nothing left to tap.
func TestOfflineToTheEnd(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	order := w.load("0500").Basis.Sheet.AccessOrder()
	for _, n := range order[:7] {
		body := job.Reading{Of: job.OfClearance, Phase: job.AsFound, Position: n, Gauge: "SG-1", Strip: w.load("0412").State.Readings[0].Body.Strip}
		if _, _, err := w.shop.Append(context.Background(), w.member(job.Technician).ID, shop.Input{Subject: "job/0500", Kind: "reading", Body: body}); err != nil {
			t.Fatal(err)
		}
	}
	p := w.tablet(browsertest.Phone, job.Technician)
	p.Goto(fmt.Sprintf("%s/jobs/0500/position/%d/found", w.url, order[7]))
	p.Offline(true)
	p.Click(barOf("0.038"))
	p.Click("#keep")
	p.WaitText("[data-at=after]", "Every position is entered")
	if p.Eval(`document.getElementById("reading").hidden`) != "true" {
		t.Error("the form is still there")
	}
}

// inTime waits until a promise of the page, made again and again, comes true.
func inTime(p *browsertest.Page, promise string) {
	p.Eval(`(async () => { while (!(await ` + promise + `)) await new Promise(requestAnimationFrame); return true; })()`)
}

// With the server away, a reload brings the last copy of the page with what
// waits, and goes on from there. The copies go with the person.
func TestReloadWithoutTheServer(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0500")
	p := w.tablet(browsertest.Phone, job.Technician)
	p.Goto(w.url + "/jobs/0500/position/1/fitted")
	p.Eval("navigator.serviceWorker.ready.then(() => true)")
	p.Reload() // from now on copies are kept
	inTime(p, `caches.open("witnessmark-copies").then(c=>c.match("/jobs/0500/position/1/fitted"))`)
	w.away.Store(true)
	p.Click(barOf("0.038"))
	p.Click("#keep")
	p.WaitText("h1", "2 · as fitted")
	p.Reload()
	p.WaitText("main", "This is the last copy on this tablet")
	p.WaitText("h1", "2 · as fitted")
	p.WaitText("#waiting", "1 entry waits for the network.")
	p.Click(barOf("0.051"))
	p.Click("#keep")
	p.WaitText("#waiting", "2 entries wait")
	w.away.Store(false) // nothing tells the page: it tries again by itself
	p.WaitText("#waiting", "2 entries went out.")
	want := []string{"1 fitted 0.038 mm", "2 fitted 0.051 mm"}
	if got := w.clearances("0500"); !slices.Equal(got, want) {
		t.Errorf("kept %q, want %q", got, want)
	}
	p.Goto(w.url + "/person")
	p.Follow("form[action='/logout'] button")
	inTime(p, `caches.has("witnessmark-copies").then(has=>!has)`)
}

// pictureFile is a small picture on the disk.
func pictureFile(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "journal.jpg")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(jpeg.Encode(f, image.NewGray(image.Rect(0, 0, 60, 40)), nil), f.Close()); err != nil {
		t.Fatal(err)
	}
	return path
}
