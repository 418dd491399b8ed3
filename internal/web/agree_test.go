// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"witnessmark/internal/job"
)

// Without a script one tap fetches the page anew. A name
// and a tick stand for the drawn signature; without either nothing is signed,
// and what was typed comes back. What was offered and left out is refused.
func TestAgreeWithoutScript(t *testing.T) {
	b := newKit(t).as(job.Office)
	b.send("/jobs/0500/plan", url.Values{})
	total := func(query string) string {
		return strings.TrimSpace(b.get("/jobs/0500/agree?" + query).Find("#total").Text())
	}
	one, two := total("set=1&in=rod_bearings"), total("set=1&in=rod_bearings&flip=relief_valve")
	if one == "" || one == two || total("set=1&in=rod_bearings&in=relief_valve&flip=relief_valve") != one {
		t.Errorf("totals %q and %q", one, two)
	}
	form := url.Values{"form": {"authority"}, "step": {"authority"}, "id": {b.get("/jobs/0500/agree").Find(`#authority [name="id"]`).AttrOr("value", "")},
		"set": {"1"}, "in": {"rod_bearings"}, "on": {"2026-03-02"}, "how": {"signed"}, "name": {"A. Nobody"}, "ceiling": {"5000"}, "currency": {"EUR"}}
	a := b.send("/jobs/0500/agree", form)
	if a.status != http.StatusUnprocessableEntity || a.Find(`#authority [name="name"]`).AttrOr("value", "") != "A. Nobody" || !strings.Contains(a.Find(".problem").Text(), "no signature") {
		t.Errorf("without a signature: %d, %q", a.status, a.Find(".problem").Text())
	}
	form.Set("ticked", "1")
	for range 2 { // sent twice, it counts once
		if a := b.send("/jobs/0500/agree", form); a.status != http.StatusSeeOther {
			t.Fatalf("authority: %d, %q", a.status, a.Find(".problem").Text())
		}
	}
	a = b.get("/jobs/0500/agree")
	if got := a.Find("#agreed").Text(); strings.Count(got, "Authority given") != 1 || !strings.Contains(got, "A. Nobody") || !strings.Contains(got, "Not wanted: ") {
		t.Errorf("agreed: %q", got)
	}
	if got := a.Find(`[data-work="relief_valve"]`).Text(); !strings.Contains(got, "Not wanted") {
		t.Errorf("what was left out: %q", got)
	}
}
