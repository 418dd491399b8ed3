// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"testing"

	"witnessmark/internal/job"
)

// A grid that holds inches is questioned with what was typed, and counts only
// with a reason; a bore needs its cap tight.
func TestGridIsQuestioned(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.get("/jobs/0500/measure/2?of=journal")
	page.says("#grid", "in line with the throw")
	again := page.press("#grid button.go", "front_0", "2.0469", "front_1", "51.991", "part_temperature", "24")
	if again.status != http.StatusUnprocessableEntity {
		t.Fatalf("status %d", again.status)
	}
	again.says(".problem", "this looks like inches")
	if got := again.Find("[name=front_1]").AttrOr("value", ""); got != "51.991" {
		t.Errorf("%q is left of what was typed", got)
	}
	kept := again.press("#grid button.go", "reason", "a model").follow()
	kept.says(".kept", "kept although questioned, because a model")
	kept.says(".result", "24 °C")
	kept.says(".result", "kept all the same")

	bore := b.get("/jobs/0500/measure/2?of=housing_bore").press("#grid button.go", "front_0", "56.008")
	bore.says(".problem", "cap on and fully tightened")
}

// Roughness of a journal and its shells is read on the measure page, refused
// with what was typed, and stands on the page and in the record.
func TestRoughnessIsRead(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.get("/jobs/0500/measure/2?of=journal")
	page.says("#rough", "The sheet has Ra")
	again := page.press("#rough button.go", "trace_0", "180", "trace_1", "0.18", "rough_phase", "found")
	if again.status != http.StatusUnprocessableEntity {
		t.Fatalf("status %d", again.status)
	}
	again.says(".problem", "check the unit")
	if got := again.Find("#rough [name=trace_1]").AttrOr("value", ""); got != "0.18" {
		t.Errorf("%q is left of what was typed", got)
	}
	kept := again.press("#rough button.go", "trace_0", "0.20", "parameter", "Rq").follow()
	kept.says(".kept", "roughness Rq 0.20 µm, 0.18 µm")
	kept.says("#rough", "counts as Ra 0.15 µm") // 0.19 √(2/π), by hand
	b.get("/jobs/0500/measure/2?of=upper_wall").press("#rough button.go", "rough_phase", "found").says(".problem", "enter at least one trace")
	shells := b.get("/jobs/0500/measure/2?of=upper_wall").press("#rough button.go", "trace_0", "0.4", "rough_phase", "found").follow()
	shells.says("#rough", "Measured as found: Ra 0.4 µm")
	if n := b.get("/jobs/0500/measure/2?of=housing_bore").Find("#rough").Length(); n != 0 {
		t.Error("a housing bore has no running surface")
	}
}

// A single reading of a part and a clearance are questioned alike.
func TestSingleReadingsAreQuestioned(t *testing.T) {
	b := newKit(t).as(job.Technician)
	again := b.get("/jobs/0500/wear/3").press("#parts button.go", "of", "upper_wall", "value", "0")
	again.says("#parts .problem", "a wall of 0 mm is impossible")
	again.press("#parts button.go", "of", "upper_wall", "reason", "no shell there").follow().says(".kept", "kept although questioned, because no shell there")

	typed := b.get("/jobs/0500/position/3/found").press("#keep", "typed", "44")
	typed.says(".problem", "this looks like micrometres")
	typed.press("#keep", "typed", "44", "reason", "pounded out").says("#readback", "44 mm")
}

// What is said of a gauge stands on its page and comes back in the form.
func TestDescribeATool(t *testing.T) {
	b := newKit(t).as(job.Manager)
	page := b.get("/tools/DI-1").press("#describe button.go", "low", "0 mm", "high", "10 mm", "resolution", "0.01 mm", "expansion", "10.5", "set_with", "", "interval", "12").follow()
	page.says("main", "from 0 mm to 10 mm")
	page.says("main", "repeatability 10.0 µm, assumed")
	page.says("main", "scale expands 10.5")
	if got := page.Find("#describe [name=interval]").AttrOr("value", ""); got != "12" {
		t.Errorf("the form has %q months", got)
	}
	b.get("/tools/DI-1").press("#describe button.go", "low", "10 mm", "high", "1 mm").says(".problem", "lower end first")
}
