// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"net/http"
	"strings"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/sheets"
	"witnessmark/units"
)

func TestArrival(t *testing.T) {
	b := newKit(t).as(job.Office)
	page := b.page("/arrival").press("button.go", "odometer", "a lot", "noises", "knock under load")
	if page.status != http.StatusUnprocessableEntity {
		t.Fatalf("status %d", page.status)
	}
	// What was typed stays after an error.
	page.count(`input[name="odometer"][value="a lot"]`, 1)
	page.says(`textarea[name="noises"]`, "knock under load")
	page.press("button.go", "odometer", "118240 km", "pressure", "1.4").follow().says(".kept", "odometer 118240 km")
	if a := b.state().State.Arrival; a == nil || a.Body.OilPressureHot.String() != "1.4 bar" {
		t.Errorf("arrival = %+v", a)
	}
	b.page("/arrival").says(".is-fits", "knock under load")
}

// What comes off goes back in the other order, with one tap each.
func TestStripAndRefit(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.page("/strip")
	page.says(".caution", "rated equipment")
	for _, what := range []string{"undertray", "Oil drained", "sump"} {
		page = page.press(`form:has([name="form"][value="strip"]) button`, "title", what).follow()
	}
	page.says(".work li:first-child", "sump")
	page.count(".work li", 3)
	page = page.press(".work li:first-child button").follow()
	page.count(".work li", 2)
	page.says(".lines li:last-child", "Refitted: sump")
	a := page.press(`form:has([name="form"][value="strip"]) button`)
	if a.status != http.StatusUnprocessableEntity {
		t.Errorf("an operation without words: %d", a.status)
	}
}

func TestDebris(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.page("/debris")
	page.says(".open-here", "filter and sump")
	page = page.press(`.work button[aria-label="None found: sump"]`).follow()
	page.says(".open-here", "not looked for in the filter")
	page = page.press("#found button", "place", "filter", "amount", "some")
	page.says(".problem", "say what it was")
	page = page.press("#found button", "place", "filter", "amount", "some", "kind", "copper", "kind", "steel").follow()
	page.says(".is-out", "some, copper and steel")
	page.says("#circuit", "Metal was found")
	for _, part := range []string{"oil cooler: cleaned", "oil lines: renewed", "filter housing: found clean", "oil pick-up: cleaned"} {
		page = page.press(`#circuit button[aria-label="` + part + `"]`).follow()
	}
	page.count(".open-here", 0)
	page.press("#mains button", "bearings", "2 and 3", "finding", "as new").follow().says("#mains", "Main bearings 2 and 3: as new")
}

func TestAssembleShowsWhatIsMissing(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.page("/assemble")
	page.count(".byposition tbody tr", 8)
	page.says(".byposition tbody tr:nth-child(3) th", "5") // as the throws come round
	page.says(".work", "The last look inside")
	page.count(`[data-check="close-up"]`, 1)
	page.says(".work", "End float, side clearance")
	b.page("/assemble").press("#part button", "title", "sump gasket", "quantity", "1").follow().says("#part", "1 × sump gasket")
}

func TestSettings(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.page("/settings")
	page.count(".setting", 4)
	page.says("#balance_backlash-0", "0.06 to 0.08 mm set to 0.07 mm, at the pitch circle")
	page.says("#balance_backlash-0", "The limit holds at the pitch circle, radius 34.0 mm.")
	page = page.press("#balance_backlash-0 button", "value", "0.12", "tool", "DI-1").follow()
	page.says("#balance_backlash-0 .word", "out of limits")
	page.press("#balance_backlash-0 button", "value", "0.070").follow().says("#balance_backlash-0 .word", "within")
	page = page.press("#chain_slack-0 button", "value", "1,000")
	page.says(".problem", "Oil pump chain slack")
	page.count(`#chain_slack-0 input[value="1,000"]`, 1)
	page.count(`#crank_sensor-0 input[value="1,000"]`, 0)
}

func TestLastLook(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.page("/close").press("button.go", "nothing_left", "1", "tools_counted", "1").follow()
	page.says(".is-unproven", "rags counted")
	a := page.press("button.go", "nothing_left", "1", "tools_counted", "1", "rags_counted", "1", "passages_clear", "1")
	if !strings.HasPrefix(a.to, "/jobs/0500/run") {
		t.Errorf("a full look leads to %q", a.to)
	}
}

func TestRun(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.page("/run")
	page.says(".cures", "Sump bolt, silicone bead 2 mm: cures 2 h, and is not tightened yet")
	page.says(`[data-step="prime"]`, "Oil waits: what seals has not cured yet")
	page.says(".notice", "not ready to be closed up")
	page.says(`[data-step="first_start"] .caution`, "Without oil pressure after 5 s: stop the engine at once")
	page.says(`[data-step="prime"] .caution`, "Starting is disabled")
	page.count(`[data-step="oil_pressure_hot"]`, 2) // each point of the sheet
	page.count(".step.now", 1)
	page.says(".step.now h2", "Prime")
	page = page.press("#prime- button", "value", "1.8").follow()
	page.says(".step.now h2", "First start")
	page = page.press("#first_start- button").follow()
	// A pressure without a number is not understood; one too low stops it.
	page.press("#oil_pressure_cold-cold_idle button").says(".problem", "what the gauge showed")
	page = page.press("#oil_pressure_cold-cold_idle button", "value", "4.2").follow()
	page = page.press("#oil_pressure_hot-hot_idle button", "value", "0.4").follow()
	page.says("#oil_pressure_hot-hot_idle", "Stop the engine")
	page.count("#oil_pressure_hot-hot_3000 .is-out", 0)
	page = page.press("#oil_pressure_hot-hot_idle button", "value", "1.6").follow()
	page = page.press("#oil_pressure_hot-hot_3000 button", "value", "4.8").follow()
	page = page.press("#heat_cycle- button").follow()
	page.says("#heat_cycle-", "1 more heat cycle")
	page = page.press("#heat_cycle- button").follow().press("#leak_check- button").follow().press("#level- button", "after", "heat cycle 2").follow()
	page.count(".step.now", 0)
	page.count(".step h2 .is-fits", 8)
	page.press(`#leak_check- [value="no"]`).follow().says("#leak_check- .is-out", "not in order")
}

func TestHandover(t *testing.T) {
	k := newKit(t)
	office := k.as(job.Office).page("/handover")
	office.count(`form[action$="/handover"]`, 0)
	office.press("#fate button", "parts", "sixteen shells", "fate", "returned").follow().says("#fate", "returned to the owner")

	b := k.as(job.Technician)
	page := b.page("/handover")
	page.says("#handover", "Main bearings not inspected")
	page.says("#handover .headline", "still stand in the way")
	// Something was added since the page was opened: look again first.
	b.add("job/0500", "last_look", job.LastLook{})
	if a := page.press("#handover button"); a.status != http.StatusConflict {
		t.Errorf("a handover of what nobody saw: %d", a.status)
	}
	page = b.page("/handover")
	v, action := page.fill("#handover button")
	done := b.send(action, v).follow()
	if b.send(action, v).status != http.StatusSeeOther { // a queue sends twice
		t.Error("the same handover, sent again, is refused")
	}
	done.says(".handed-over h1", "Handed over")
	done.says(".handed-over", "comes out as it did at handover")
	done.count(`.handed-over a[href$="/report"], .handed-over a[href$="/bundle.zip"]`, 2)

	sealed := done.press("#seal button").follow()
	sealed.count(".seals code", 1)
	sealed.says("#seals", "Every entry is sealed")
	after := sealed.press(`#follow [value="yes"]`, "what", "oil_change", "odometer", "119700", "finding", "filter clean").follow()
	after.says("#follow", "first oil and filter change at 119700 km: filter clean")
	after.says("#seals", "1 entry came after the last seal")
	again := after.press("#seal button").follow()
	again.count(".seals code", 2)

	// What differs from what the handover rested on stands beside it.
	b.add("job/0500", "arrival", job.Arrival{Noises: "none"})
	b.page("/handover").says(".differences", "condition on arrival is not on record")
}

// A setting that is a bare number, and one in revolutions, are read and
// decided; a value of another kind, sent past the page, does not count.
func TestSettingsOfEveryKind(t *testing.T) {
	b := newKit(t).as(job.Manager)
	sheet, err := sheets.Named(sheets.V8)
	b.must(err)
	more := "settings:\n" +
		"  - {id: links, title: Links between the marks, kind: other, source: book p. 55, limit: {quantity: number, min: 21, max: 23}}\n" +
		"  - {id: idle, title: Idling speed, kind: other, source: book p. 55, limit: {quantity: rotational speed, min: 700 rpm, max: 800 rpm}}\n"
	info, err := b.shop.AddSheet(t.Context(), "more.yaml", bytes.Replace(sheet.Bytes(), []byte("settings:\n"), []byte(more), 1))
	b.must(err)
	b.add("job/0500", "sheet_adopted", job.SheetAdopted{Sheet: info.Hash, Family: "AV34", Reason: "more settings"})
	page := b.page("/settings")
	page.press(`[data-setting="links"] button`, "value", "22").follow()
	page.press(`[data-setting="idle"] button`, "value", "750").follow()
	page = b.page("/settings")
	page.says(`[data-setting="links"]`, "On record: 22")
	page.says(`[data-setting="links"] .word`, "within")
	page.says(`[data-setting="idle"]`, "On record: 750 rpm")
	r, err := units.Parse(units.KindTorque, "22 Nm", units.Unit{})
	b.must(err)
	b.add("job/0500", "setting_made", job.SettingMade{Setting: "links", Value: r})
	page = b.page("/settings")
	if got := page.Find(`[data-setting="links"] .word`).Text(); strings.Contains(got, "within") {
		t.Errorf("a torque is taken as a number of links: %q", got)
	}
}
