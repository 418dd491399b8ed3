// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/govalues/decimal"

	"witnessmark/internal/job"
	"witnessmark/plans"
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

// One offer is refused by itself, with its reason; what the plan does not have
// can't be.
func TestOneOfferNotWanted(t *testing.T) {
	b := newKit(t).as(job.Office)
	b.send("/jobs/0500/plan", url.Values{})
	a := b.page("/agree").press("#refuse button", "work", "relief_valve", "reason", "next year").follow()
	a.says(`[data-work="relief_valve"]`, "Not wanted: next year")
	if got := a.Find(`#refuse option[value="relief_valve"]`).Length(); got != 0 {
		t.Error("it may be refused again")
	}
	a = b.send("/jobs/0500/agree", url.Values{"form": {"refuse"}, "step": {"refuse"}, "work": {"nothing"}, "reason": {"dear"}})
	a.says(".problem", `no work "nothing"`)
	if got := a.Find(`#refuse [name="reason"]`).AttrOr("value", ""); got != "dear" {
		t.Errorf("the reason came back as %q", got)
	}
}

// A change shows the photo of what was found.
func TestChangeWithPhoto(t *testing.T) {
	b := newKit(t).as(job.Technician)
	b.send("/jobs/0500/plan", url.Values{})
	a := b.photo("/jobs/0500/agree", photoOf(t, "x"), "form", "change", "step", "change", "title", "Oil cooler renewed", "why", "copper in it", "currency", "EUR")
	if a.status != http.StatusSeeOther {
		t.Fatalf("change: %d %s", a.status, a.Find(".problem").Text())
	}
	a = b.get("/jobs/0500/agree")
	a.says(".change h3", "Oil cooler renewed")
	a.count(".change img", 1)
}

// A plan that was changed while a job uses it is offered; the job keeps what it
// pinned until somebody takes the other.
func TestNewerPlanIsOffered(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Manager)
	b.send("/jobs/0500/plan", url.Values{})
	b.send("/jobs/0500/scope", url.Values{"want": {"rod_bearings"}})
	pinned := k.state().State.Plan.Body.Plan
	own, err := plans.Bytes(plans.V8)
	k.must(err)
	hash, plan, err := k.shop.AddPlan(t.Context(), "plan.yaml", bytes.Replace(own, []byte("price: 6.15"), []byte("price: 7.15"), 1))
	k.must(err)
	b.get("/jobs/0500/agree").count(`[action$="/plan"] [name=hash]`, 0)
	k.add("job/0501", "job_opened", job.Opened{Number: "0501"})
	k.add("job/0501", "plan_adopted", job.PlanAdopted{Plan: hash, Family: plan.Family})
	a := b.page("/agree")
	if got := k.state().State.Plan.Body.Plan; got != pinned {
		t.Fatalf("the job uses %s, it pinned %s", got, pinned)
	}
	// By hand: sixteen bolts at 1.00 more, and 20 % on it, are 19.20.
	total, err := decimal.Parse(strings.TrimSuffix(strings.TrimSpace(a.Find("#total").Text()), " EUR"))
	k.must(err)
	more, err := total.Add(decimal.MustParse("19.20"))
	k.must(err)
	a.says("main", "This job keeps the plan that it pinned. By that one the same work comes to "+more.String()+" EUR, by the pinned one to "+total.String()+" EUR.")
	a = b.send("/jobs/0500/plan", url.Values{"hash": {plan.Hash}}).follow()
	a.says("#total", more.String())
	if got := k.state().State.Plan.Body.Plan; got != hash {
		t.Errorf("the job uses %s, want %s", got, hash)
	}
}
