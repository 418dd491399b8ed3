// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"strings"
	"testing"

	"witnessmark/internal/browsertest"
	"witnessmark/internal/job"
)

// Two fingers bring a photo nearer about the place between them, a double tap
// brings it back, and full screen fills the window.
func TestPhotoUpClose(t *testing.T) {
	w := newWorkshop(t)
	p := w.tablet(browsertest.Phone, job.Technician)
	p.Goto(w.url + "/jobs/" + w.cast.HandedOver + "/photos")
	p.Goto(w.url + p.Attr("a[href*='/photo/']", "href"))
	p.Wait("[data-zoom-keys]")
	p.Eval(`{
		const view = document.querySelector("[data-zoom]"), box = view.getBoundingClientRect();
		const touch = (i, x) => new Touch({ identifier: i, target: view, clientX: box.left + x, clientY: box.top + 60 });
		const fire = (type, ...touches) => view.dispatchEvent(new TouchEvent(type, { bubbles: true, cancelable: true, touches, changedTouches: touches }));
		globalThis.pinch = () => { fire("touchstart", touch(1, 100), touch(2, 200)); fire("touchmove", touch(1, 50), touch(2, 250)); fire("touchend") };
		globalThis.tap = () => view.dispatchEvent(new TouchEvent("touchend", { bubbles: true, touches: [], changedTouches: [touch(1, 150)] }));
		0 }`)
	p.Eval("pinch(),0")
	if got := p.Attr("[data-zoom]", "data-zoom"); got != "2.00" {
		t.Errorf("two fingers, twice as far apart, zoom to %s", got)
	}
	// What was between the fingers, 150 px from the left, is still there.
	if got := p.Eval(`Math.round((document.querySelector("[data-zoom]").scrollLeft+150)/2)`); got != "150" {
		t.Errorf("the place between the fingers moved to %s px", got)
	}
	p.Eval("tap(),tap(),0")
	if got := p.Attr("[data-zoom]", "data-zoom"); got != "1.00" {
		t.Errorf("a double tap leaves it at %s", got)
	}
	p.Click("[data-full]")
	p.WaitText("[data-full]", "Leave full screen")
	if got := p.Eval(`(r=>r.top<=0&&r.left<=0&&r.right>=innerWidth-1)(document.querySelector("[data-stage]").getBoundingClientRect())`); got != "true" {
		t.Error("full screen leaves room beside the photo")
	}
	if got := p.ConsoleErrors(); len(got) > 0 {
		t.Errorf("complaints: %s", strings.Join(got, "; "))
	}
}
