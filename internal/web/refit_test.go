// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"testing"

	"witnessmark/internal/job"
)

// The plan makes the list: off in its order, back in reverse, each thing proved
// by one tap.
func TestStripAndRefitByPlan(t *testing.T) {
	b := newKit(t).as(job.Technician)
	a := b.page("/parts").press(`form[action$="/plan"] button`).follow()
	refused := a.press(`form[action$="/scope"] button`)
	refused.says(".problem", "No work is ticked")
	a = a.press(`form[action$="/scope"] button`, "want", "rod_bearings").follow()
	a.says("main", "Start on")
	a.count(".parts > li", 12)
	a = b.page("/strip")
	if got := a.Find(".planned > li").First().AttrOr("data-operation", ""); got != "lift" {
		t.Errorf("the list begins with %q", got)
	}
	a = a.press(`button[aria-label^="Off: Vehicle on the lift"]`).follow()
	a.says("#operation-lift .word", "off")
	a = a.press(`#operation-lift button[aria-label^="Bagged, marked"]`).follow()
	a.says("#operation-lift", "Bagged and marked")
	a.press(`button[aria-label^="Off: Steering column joint"]`).follow()
	r := b.page("/refit")
	if got := r.Find("section.operation").First().AttrOr("id", ""); got != "operation-steering_joint" {
		t.Errorf("under the car the list begins with %q: what came off last goes back first", got)
	}
	r = r.press(`button[aria-label^="Put back: Steering column joint"]`).follow()
	r = r.press(`#operation-steering_joint button[aria-label^="Tightened in its stages, and marked"]`).follow()
	r.says(`[data-thing="column_bolt"] .word`, "tightened and marked")
	bad := r.press(`[data-thing="column_joint"] form button`)
	if bad.status != http.StatusUnprocessableEntity {
		t.Errorf("a steering check without a result: %d", bad.status)
	}
	r = r.press(`[data-thing="column_joint"] form button`, "result", "wheel straight, toe 0°10′").follow()
	r.says(`[data-thing="column_joint"]`, "wheel straight, toe 0°10′")
	r = r.press(`#faults button[name="none"]`).follow()
	r.says("#faults", "Stored faults: none.")
	if left := standing(b.state(), job.SteeringUnchecked, job.FaultsStored, job.FaultsUnread); len(left) > 0 {
		t.Errorf("still in the way: %+v", left)
	}
}

// A day far ahead that was mistyped takes the dates away, not the pages.
func TestMistypedPromise(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	b.page("/parts").press(`form[action$="/plan"] button`).follow().press(`form[action$="/scope"] button`, "want", "rod_bearings").follow()
	k.add("job/0500", "part_ordered", job.PartOrdered{Part: "rod_bolt", Quantity: 16, On: "2026-03-02", Promised: "2226-03-09"})
	b.page("/parts").says(".open-here", "a digit may be wrong")
	b.page("/dates").says(".open-here", "a digit may be wrong")
	if a := b.get("/calendar"); a.status != http.StatusOK {
		t.Errorf("the calendar answers %d", a.status)
	}
}

// What moving a job costs is shown before it is kept.
func TestMoveShowsItsCost(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	b.page("/dates").press(`form[action$="/start"] button`, "hours", "12").follow()
	k.add("job/0501", "job_opened", job.Opened{Number: "0501"})
	k.add("job/0501", "start_planned", job.StartPlanned{Hours: 12})
	today := k.shop.Today()
	day := today.Add(7)
	for day.Weekday() == 0 || day.Weekday() == 6 {
		day = day.Add(1)
	}
	a := b.get("/calendar?job=0501&to=" + day.String())
	a.says(".moved", "of working time later")
	a = a.press(".moved form button").follow()
	a.says(`tr[data-job="0501"]`, "planned")
	b.get("/calendar?job=0501&to=2020-01-06").says(".problem", "is past")
}
