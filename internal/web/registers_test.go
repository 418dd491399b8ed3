// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/sheets"
)

func TestJobSheet(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.page("/sheet")
	page.says("h1", "AV34")
	page.says(`tr[id="big_end.clearance.new"] td:nth-child(2)`, "min 0.030 mm, max 0.060 mm, confidence 0.80")
	page.says(`tr[id="big_end.clearance.new"]`, "book p. 41")
	page.says(`tr[id="big_end.clearance.new"] .is-fits`, "demonstration desk")
	page.says("details", "Everything is reassessed")
	// Another one in the middle of a job needs a reason.
	refused := page.press("details button")
	refused.says(".problem", "say why another one is adopted")
	page = page.press("details button", "reason", "wrong family at first").follow()
	page.says("h1", "AL19")
	if n := len(b.state().Assessment.Positions); n != 4 {
		t.Errorf("%d positions after it was adopted, want 4", n)
	}
}

func TestSheets(t *testing.T) {
	k := newKit(t)
	k.as(job.Technician).get("/sheets").count("form[enctype]", 0)
	b := k.as(job.Manager)
	page := b.get("/sheets")
	page.count(".list tbody tr", 2)
	sheet, err := sheets.Named(sheets.V8)
	k.must(err)
	text := strings.Replace(string(sheet.Bytes()), "edition: 2026-01", "edition: 2026-09", 1)
	added := page.press("form[enctype] button", "text", text).follow()
	added.says("p.soft", "Edition 2026-09")
	file := b.get(added.Find(".head a[href$='/file']").AttrOr("href", ""))
	if !bytes.Equal([]byte(file.body), []byte(text)) {
		t.Errorf("the bytes that come down are not the ones that went up: %d, %.80q", file.status, file.body)
	}
	// What is wrong comes back with its line, and the text stays.
	broken := b.get("/sheets").press("form[enctype] button", "text", strings.Replace(text, "kind: vee", "kind: star", 1))
	if broken.status != http.StatusUnprocessableEntity {
		t.Errorf("a broken sheet: %d", broken.status)
	}
	broken.says(".problems", "star")
	broken.says("textarea", "kind: star")
	b.get("/sheets").press("form[enctype] button").says(".problem", "choose a file")
}

func TestTools(t *testing.T) {
	k := newKit(t)
	inspector := k.as(job.Inspector)
	list := inspector.get("/tools")
	list.says(".notice", "1 tool is past its date")
	list.says(".list tbody tr:first-child", "TW-2") // what needs attention first
	tool := inspector.get("/tools/TW-2")
	tool.says(".headline", "Overdue since 2021-01-01")
	tool.count("#calibrate", 0)
	tool.press(`#test [value="yes"]`, "remark", "29.6 at 30").follow().says(".headline", "tested inside its tolerance")
	inspector.get("/tools/TW-2").press(`#test [value="no"]`).follow().says(".headline", "outside")

	b := k.as(job.Manager)
	calibrated := b.get("/tools/TW-2").press("#calibrate button", "due", "2020-01-01")
	calibrated.says(".problem", "is not after the calibration")
	calibrated.press("#calibrate button", "due", "2999-01-01").follow().says(".headline", "In calibration until 2999-01-01")
	b.get("/tools/TW-2").press(`form[action$="/retire"] button`, "reason", "worn out").follow().says(".headline", "Retired")
	b.page("/bolts").count(`.chooser option[value="TW-2"]`, 0)
}

func TestAddTool(t *testing.T) {
	b := newKit(t).as(job.Manager)
	page := b.get("/tools/new")
	page.count(`[name="kind"]`, len(job.ToolKinds))
	page = page.press("button.go", "tool", "SG-2", "title", "Strip gauge, wide", "kind", "strip_gauge")
	page.says(".problem", "needs its scale")
	page.count(`[name="title"][value="Strip gauge, wide"]`, 1)
	page = page.press("button.go", "graduations", "0.051 0.076 0,102 0.127").follow()
	page.says(".soft", "scale 0.051, 0.076, 0.102 and 0.127 mm")
	page = b.get("/tools/new").press("button.go", "tool", "SG-2", "title", "Another", "kind", "other")
	page.says(".problem", "in the register already")
	page.press("button.go", "tool", "TW 9/4").says(".problem", "letters, digits")
	b.get("/tools/new").press("button.go", "tool", "TW-9", "title", "Wrench", "kind", "torque_wrench", "low", "5", "high", "50 Nm", "tolerance", "4 %",
		"needs_calibration", "1").follow().says(".headline", "Never calibrated")
}

func TestPeople(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Manager)
	page := b.get("/people")
	page.count(".people > li", 4)
	page.press(`form[action="/people"] button`, "name", "New Person", "pin", "12", "role", job.Technician).says(".problem", "4 to 12 digits")
	page = page.press(`form[action="/people"] button`, "name", "New Person", "pin", "777777", "role", job.Technician).follow()
	page.count(".people > li", 5)
	id := page.Find(`.people > li:contains("New Person")`).AttrOr("data-person", "")
	row := `[data-person="` + id + `"] `
	try := func(pin string) int {
		return k.as("").send("/login", url.Values{"person": {id}, "pin": {pin}}).status
	}
	if got := try("777777"); got != http.StatusSeeOther {
		t.Errorf("the new person's log-in: %d", got)
	}
	page.press(row+`form[action$="/pin"] button`, "pin", "888888").follow()
	if got := try("777777"); got != http.StatusUnauthorized {
		t.Errorf("the old PIN still opens: %d", got)
	}
	for range 8 { // far too many, at once
		_, err := k.shop.Store().AddFailure(t.Context(), "pin/"+id)
		k.must(err)
	}
	page = b.get("/people")
	page.says(row, "locked after too many wrong PINs")
	page.press(row+`form[action$="/unlock"] button`).follow().count(row+".is-out", 0)
	if got := try("888888"); got != http.StatusSeeOther {
		t.Errorf("after unlocking: %d", got)
	}
	page = b.get("/people").press(row + `form[action$="/left"] button`).follow()
	page.count(".people > li", 4)
	if got := try("888888"); got != http.StatusUnauthorized {
		t.Errorf("somebody who left still gets in: %d", got)
	}
	page.press(`[data-person="p-manager"] form[action$="/left"] button`).says(".problem", "the last manager")
}

func TestWorkshopSettings(t *testing.T) {
	b := newKit(t).as(job.Manager)
	page := b.get("/settings")
	page.says("small", "80 %, assumed")
	page.press("button.go", "confidence", "20 %").says(".problem", "50 % to 99.99 %")
	page = page.press("button.go", "confidence", "95 %", "units", "inch", "one", "yes", "reason", "as agreed").follow()
	page.count(`[name="units"][value="inch"][checked]`, 1)
	page.says("small", "Now 95 %.")
	l := b.state()
	if w := l.Basis.Workshop; w.Confidence != 0.95 || w.Units != "inch" || !w.One() {
		t.Errorf("workshop = %+v", w)
	}
	b.page("/settings").says("#balance_backlash-0 .big", "in")
}
