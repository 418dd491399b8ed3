// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"net/http"
	"net/url"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

func (k *kit) arrived(id, odometer string) {
	k.Helper()
	r, err := units.Parse(units.KindDistance, odometer, units.UnitKilometre)
	k.must(err)
	k.add(shop.Subject(id), "arrival", job.Arrival{Odometer: &r})
}

// A chance says whether it is the engine sheet's, the plan's or a guess; the
// owner's horizon is a distance or years, weighed by at once and kept for the
// job; what can't be understood is said, and what was typed stays.
func TestHorizonAndSourceOfChances(t *testing.T) {
	b := newKit(t).as(job.Office)
	b.send("/jobs/0500/plan", url.Values{})
	b.arrived("0500", "92400 km")
	a := b.page("/agree")
	a.says(`[data-work="engine_mounts"]`, "within 60000 km")
	a.says(`[data-work="engine_mounts"]`, "It is put at 53 %")
	a.says(`[data-work="engine_mounts"]`, "Engine sheet: Averland AV34 workshop book")
	a.says(`[data-work="sump_baffle"]`, "Plan: a guess. ▲ assumed")
	a = b.page("/agree?horizon=5+years")
	a.says(".problem", "how far is driven in a year is missing")
	a.count(`#horizon [name="horizon"][value="5 years"]`, 1)
	b.page("/agree?horizon=forty").says(".problem", "forty")
	a = b.page("/agree?horizon=5+years&per_year=6000")
	a.says("#horizon", "within 5 years at 6000 km a year, 30000 km")
	a.says(`[data-work="engine_mounts"]`, "within 30000 km")
	a = a.press(`form[data-queue="How far it is kept"] button`).follow()
	a.says("#horizon", "within 5 years at 6000 km a year, 30000 km. This is on record.")
	a.says(`[data-work="engine_mounts"]`, "within 30000 km")
	if a := b.send("/jobs/0500/agree", url.Values{"step": {"horizon"}, "horizon": {"-3 km"}}); a.status != http.StatusUnprocessableEntity {
		t.Errorf("minus three kilometres: %d", a.status)
	}
}

// What was found worn or sound is one tap on the strip page; with nine sealed
// jobs of the engine family the workshop's own figures go before the sheet's.
func TestOwnLives(t *testing.T) {
	b := newKit(t).as(job.Technician)
	b.send("/jobs/0500/plan", url.Values{})
	b.arrived("0500", "92400 km")
	b.page("/strip").press(`[data-found="engine_mounts"] button[value="yes"]`).follow().says(`[data-found="engine_mounts"]`, "found worn")
	b.page("/strip").press(`[data-found="engine_mounts"] button[value="no"]`).follow().says(`[data-found="engine_mounts"]`, "found sound")
	sheet := b.state().State.Sheet.Sheet
	for i, x := range []struct {
		km   int
		worn bool
	}{{60, false}, {80, false}, {90, true}, {100, false}, {120, true}, {130, false}, {150, true}, {170, true}, {200, true}} {
		id := fmt.Sprintf("05%02d", i+1)
		_, err := b.shop.OpenJob(t.Context(), "p-manager", shop.NewJob{Number: id, Vehicle: "Invented", Sheet: sheet, Invented: true})
		b.must(err)
		b.arrived(id, fmt.Sprintf("%d000 km", x.km))
		b.add(shop.Subject(id), "work_found", job.WorkFound{Work: "engine_mounts", Needed: x.worn})
		if i == 8 { // not sealed yet: eight are enough all the same
			b.page("/agree").says(`[data-work="engine_mounts"]`, "This workshop, 8 jobs.")
		}
		_, err = b.shop.HandOver(t.Context(), "p-manager", id, "", 0)
		b.must(err)
		_, err = b.shop.Seal(t.Context(), "p-manager", id, "", 0)
		b.must(err)
		if i == 6 {
			b.page("/agree").says(`[data-work="engine_mounts"]`, "Engine sheet: ")
		}
	}
	b.page("/agree").says(`[data-work="engine_mounts"]`, "This workshop, 9 jobs.")
}
