// SPDX-License-Identifier: Apache-2.0

package web

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/record"
)

// entryOf decodes an entry's body.
func entryOf[T any](t *testing.T, e record.Entry, kind string) T {
	t.Helper()
	var body T
	if e.Kind != kind {
		t.Fatalf("the last entry is a %s, want a %s", e.Kind, kind)
	}
	if err := json.Unmarshal(e.Body, &body); err != nil {
		t.Fatal(err)
	}
	return body
}

// One tap is one stage on both bolts, and the page then offers the next.
func TestOneTapDoesBothBolts(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.page("/bolts?tightening=measuring")
	page.says("#position-4 .do button", "both bolts, stage 1 of 3, 20 Nm")
	kept := page.press("#position-4 .do button").follow()
	done := entryOf[job.StageDone](t, b.last(), "stage_done")
	if len(done.Bolts) != 2 || done.Tightening != job.Measuring || done.Set != job.OldSet || done.Stage != "snug" || done.Tool != "TW-1" {
		t.Errorf("kept %+v", done)
	}
	kept.says(".kept", "measuring tightening, stage snug")
	if href := kept.Find(".kept a").AttrOr("href", ""); !strings.HasSuffix(href, "/correct") {
		t.Errorf("undo leads to %q", href)
	}
	kept.count("#position-4 .bolt-measuring", 2)
	kept.says("#position-4 .do button", "stage 2 of 3, 30 Nm")
	kept.says("#position-3 .do button", "stage 1 of 3, 20 Nm")

	// One bolt apart: the other is behind then.
	kept = kept.press(`#position-4 form:has(input[value="4:a"]):not(:has(input[value="4:b"])) button`).follow()
	kept.says("#position-4 .do button", "bolt b, stage 2 of 3, 30 Nm")
	kept = kept.press("#position-4 .do button").follow()
	kept = kept.press("#position-4 .do button").follow()
	if tool := entryOf[job.StageDone](t, b.last(), "stage_done").Tool; tool != "AG-1" {
		t.Errorf("the angle was turned with %q", tool)
	}
	kept.says("#position-4 .do a", "Read position 4")
}

func TestAllPositionsOfAStage(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.page("/bolts?tightening=final")
	all := `#bolts > form.tap button`
	page.says(all, "8 positions at once")
	page = page.press(all).follow()
	if n := len(entryOf[job.StageDone](t, b.last(), "stage_done").Bolts); n != 16 {
		t.Errorf("%d bolts, want 16", n)
	}
	page.count(".walk .bolt-partial", 16)
	// Two more taps, then nothing begins anew by one tap.
	page = page.press(all).follow().press(all).follow()
	page.count(".walk .bolt-final", 16)
	page.count(".walk .do button", 0)
	page.count(all, 0)
	b.page("/bolts?tightening=measuring").count(".walk .do button", 0)

	// Witness marks in one walk round.
	page.count("#witness .tap", 9)
	page = page.press(`#witness button:contains("All 8 positions")`).follow()
	page.says("#witness", "No position waits for its mark")
	for _, o := range b.state().Assessment.Obstacles {
		if o.Of == "rod_bolt" {
			t.Errorf("still in the way: %s at %d", o.Code, o.Position)
		}
	}
}

func TestWhichBoltsMayMeasure(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.page("/bolts?tightening=measuring")
	page.says(".brief", "the ones that came out, or a marked set kept for measuring")
	page.count(`.chooser [name="set"]`, 2) // old and marked, never new ones
	page = b.page("/bolts?tightening=final")
	page.says(".chooser", "new set N1")
	// Chosen once, remembered afterwards.
	page = b.page("/bolts?tightening=final&set=N1&other_set=N7&torque=TW-2")
	page.says(".notice", "TW-2 is overdue")
	page.press("#position-1 .do button")
	if done := entryOf[job.StageDone](t, b.last(), "stage_done"); done.Set != "N7" || done.Tool != "TW-2" {
		t.Errorf("kept %+v", done)
	}
	page = b.page("/bolts")
	page.says(".chooser summary", "new set N7")
	page.says(".chooser summary", "TW-1") // one past its calibration is not offered by itself
}

func TestLoosenedBeginsAnew(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.page("/bolts?tightening=measuring").press("#position-2 .do button").follow()
	page = page.press(`#position-2 form[action$="/loosen"] button`, "why", "strip out").follow()
	entryOf[job.Loosened](t, b.last(), "fastener_loosened")
	page.count("#position-2 .bolt-none", 2)
	page.says("#position-2 .do button", "stage 1 of 3")
}

func TestOtherFasteners(t *testing.T) {
	b := newKit(t).as(job.Technician)
	sump := `[data-fastener="sump_bolt"] button.go`
	page := b.page("/bolts")
	page.says(`[data-fastener="sump_bolt"]`, "lubricant: the sheet does not say")
	page.says(`[data-fastener="subframe_bolt"]`, "only with the vehicle’s weight on its wheels")
	page = page.press(sump).follow().press(sump).follow()
	page.says(`[data-fastener="sump_bolt"] .word`, "finally tightened")
	page.count(sump, 0)
	page.says(`[data-fastener="sump_bolt"] .cures`, "Silicone bead 2 mm cures until 20")
	page.says(`[data-fastener="sump_bolt"] .cures`, "no oil before that")
	page.count(`[data-fastener="pickup_bolt"] .cures`, 0)
}

// The same button sent twice, as a queue does, is one entry; a wrong value
// comes back in words with the page.
func TestTapsCountOnce(t *testing.T) {
	b := newKit(t).as(job.Technician)
	v, action := b.page("/bolts").fill("#position-1 .do button")
	b.send(action, v)
	before := b.last().Seq
	if a := b.send(action, v); a.status != http.StatusSeeOther || b.last().Seq != before {
		t.Errorf("sent again: %d, entry %d after %d", a.status, b.last().Seq, before)
	}
	v.Set("at", "nonsense")
	v.Set("id", "")
	if a := b.send(action, v); a.status != http.StatusUnprocessableEntity {
		t.Errorf("nonsense: %d", a.status)
	}
	if a := b.send(action, url.Values{"fastener": {"rod_bolt"}}); a.status != http.StatusUnprocessableEntity {
		t.Errorf("no bolt: %d", a.status)
	}
	if b.last().Seq != before {
		t.Error("something was kept all the same")
	}
}

// What the sheet has tightened on the wheels is held back until one tap says
// that they are loaded; what is tightened before all the same is kept, and
// stands in the way.
func TestListWaitsForTheWheels(t *testing.T) {
	b := newKit(t).as(job.Technician)
	sub := `[data-fastener="subframe_bolt"] `
	page := b.page("/bolts")
	page.says(sub+".notice", "Waits for the wheels to be loaded")
	page.count(sub+"button.go", 0)
	page.says("#wheels", "They wait for the wheels to be loaded")
	b.page("/assemble").says(".work", "they wait for the wheels to be loaded")

	page = page.press(sub + "details button").follow()
	if done := entryOf[job.StageDone](t, b.last(), "stage_done"); done.Fastener != "subframe_bolt" || done.Stage != "seat" {
		t.Errorf("kept %+v", done)
	}
	b.page("/run").says(`li[data-code="wheels_not_loaded"]`, "seat · 80 Nm while the record did not have the wheels loaded")
	page = page.press(sub + `form[action$="/loosen"] button`).follow()

	page = page.press("#wheels > form button").follow()
	if said := entryOf[job.WheelsLoaded](t, b.last(), "wheels_loaded"); said.Loaded == nil || !*said.Loaded {
		t.Errorf("kept %+v", said)
	}
	page.says(".kept", "Wheels loaded")
	page.says("#wheels", "the vehicle stands on its wheels. Some technician, 20")
	page.count(sub+".notice", 0)
	page = page.press(sub + "button.go").follow().press(sub + "button.go").follow()
	page.says(sub+".word", "finally tightened")
	page = page.press("#wheels details button").follow()
	page.says("#wheels", "the wheels hang free")
	page.count(sub+".notice", 0) // it is tight: nothing waits
	b.page("/run").count(`li[data-code="wheels_not_loaded"]`, 0)
}
