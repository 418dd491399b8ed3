// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"strings"
	"testing"
	"time"

	"witnessmark/internal/browsertest"
	"witnessmark/internal/job"
)

// One part of the demonstration is on back order: the page says which operation
// waits for it, how far the car can go, and which start keeps the risk within
// the limit. One tap when it comes, and nothing holds the start any more.
func TestBackOrderHoldsTheStart(t *testing.T) {
	w := newWorkshop(t)
	p := w.tablet(browsertest.Tablet, job.Office)
	p.Goto(w.url + "/jobs/" + w.cast.Agreed + "/parts")
	const shells = `[data-part="shell_pair"]`
	for _, want := range []string{"back order, 3 short", "Waits for it: Rod bearings and bolts, eight positions.", "h can be done, up to and with: "} {
		if got := p.Text(shells); !strings.Contains(got, want) {
			t.Errorf("the shells say %q, want %q in it", got, want)
		}
	}
	p.Goto(w.url + "/jobs/" + w.cast.Agreed + "/dates")
	day, err := time.Parse(time.DateOnly, p.Attr("[data-start]", "data-start"))
	if err != nil || !day.After(w.shop.Today().Time) {
		t.Errorf("the start is %s, which is not ahead: %v", day, err)
	}
	if got := p.Text("main"); !strings.Contains(got, "The workshop’s limit is 5 %") || !strings.Contains(got, "Rod bearing shells, pair paces the job") {
		t.Errorf("the dates say %q", got)
	}
	p.Goto(w.url + "/jobs/" + w.cast.Agreed + "/parts")
	p.Follow(shells + ` button[aria-label^="Arrived, 3"]`)
	if got := p.Text("main"); !strings.Contains(got, "Arrived: 3 × shell_pair.") {
		t.Errorf("after the tap the page says %q", got)
	}
	if got := p.Text(shells); strings.Contains(got, "Waits for it") {
		t.Errorf("the shells are here and still hold something: %q", got)
	}
}
