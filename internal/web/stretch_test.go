// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/sheets"
)

// limitBolts adopts a sheet whose rod bolts may be used five times and grow to
// 60.05 mm.
func (b *tablet) limitBolts() {
	b.Helper()
	sheet, err := sheets.Named(sheets.V8)
	b.must(err)
	text := bytes.Replace(sheet.Bytes(), []byte("    use: single\n    lubricant"), []byte("    use: 5 uses\n    stretch: {free_length: {value: 60.00 mm, max: 60.05 mm}}\n    lubricant"), 1)
	info, err := b.shop.AddSheet(b.Context(), "limited.yaml", text)
	b.must(err)
	b.add("job/0500", "sheet_adopted", job.SheetAdopted{Sheet: info.Hash, Family: "AV34", Reason: "bolts that may be used again"})
}

// A bolt's lengths are entered as they come to be read; it says preload,
// growth and uses left, and stands in the way when it is used again too long.
func TestLengthsOfABolt(t *testing.T) {
	b := newKit(t).as(job.Technician)
	b.limitBolts()
	const keep = "#lengths button.go"
	page := b.page("/clamp")
	page.says("#lengths .empty", "No bolt’s length is on record")
	page.says("#lengths", "Rod bolt: free length 60.00 mm")
	bad := page.press(keep, "bolt", "rod_bolt/4:a", "set", "N1", "before", "1,000")
	if bad.status != http.StatusUnprocessableEntity {
		t.Errorf("1,000: %d", bad.status)
	}
	bad.count(`#lengths input[name=before][value="1,000"]`, 1)
	bad.count(`#lengths option[value="rod_bolt/4:a"][selected]`, 1)
	page.press(keep, "bolt", "rod_bolt/4:a", "set", "N1").says(".problem", "No length of the bolt")

	page = page.press(keep, "bolt", "rod_bolt/4:a", "set", "N1", "before", "60.000").follow()
	bolts := b.page("/bolts?tightening=final&set=N1")
	for range 3 {
		bolts = bolts.press("#position-4 .do button").follow()
	}
	page = page.press(keep, "bolt", "rod_bolt/4:a", "set", "N1", "tight", "60.150", "u", "0.002").follow()
	page.says("#lengths .lengths", "150 µm")
	page.says("#lengths .lengths", "4 left")
	page.says("#lengths .lengths", "kN (k = 2)")
	page = page.press(keep, "bolt", "rod_bolt/4:a", "set", "N1", "after", "60.060").follow()
	page.says("#lengths .lengths", "none left")
	page.says("#lengths .lengths", "60.05 mm allowed")
	over := func() (n int) {
		for _, o := range b.state().Assessment.Standing(job.CloseUp) {
			if o.Code == job.BoltGrown {
				n++
			}
		}
		return n
	}
	if over() != 0 {
		t.Error("it is not used again yet")
	}
	// Loosened, measured and used again all the same.
	b.page("/bolts").press(`#position-4 form[action$="/loosen"] button`).follow()
	for range 3 {
		b.page("/bolts?tightening=final&set=N1").press("#position-4 .do button").follow()
	}
	if over() != 1 {
		t.Error("used again over its length, and nothing stands in the way")
	}
	b.page("/clamp").says("#lengths", "over its limit, and used again")
	b.get("/jobs/0500").says(`[data-check="close-up"] [data-code=bolt_over_length]`, "over its length, and used again")
	b.get("/jobs/0500/report").says("body", "over its limit, and used again")

	raw, err := json.Marshal(b.state().Assessment)
	b.must(err)
	for _, key := range []string{`"stretch_um"`, `"preload_kN"`, `"permanent_growth_um"`, `"uses_left":0`, `"used_again":true`} {
		if !strings.Contains(string(raw), key) {
			t.Errorf("the assessment has no %s", key)
		}
	}
}

// Readings around the gear come to least, mean and greatest at the pitch
// circle, with run-out, verdict and what moving the centres would do.
func TestBacklashAroundTheGear(t *testing.T) {
	b := newKit(t).as(job.Technician)
	const keep = "#balance_backlash-0 .around button.go"
	page := b.page("/settings")
	page.says("#balance_backlash-0 .around", "pitch radius 34.0 mm, pressure angle 20° in the normal plane, helix 15°, 34 teeth; read at radius 38.0 mm")
	page.says("#balance_backlash-0 .around", "p. 52")
	page.count("#balance_backlash-0 .place", 8)
	b.page("/settings?around=12").count("#balance_backlash-0 .place", 12)
	page.count("#chain_slack-0 .around", 0)
	page.press(keep).says(".problem", "No readings")
	bad := page.press(keep, "reading_0", "0.07", "reading_1", "O.08")
	bad.says(".problem", "reading 2")
	bad.count(`#balance_backlash-0 input[name=reading_1][value="O.08"]`, 1)
	bad.count("#balance_backlash-0 details.around[open]", 1)

	page = page.press(keep, "reading_0", "0,077", "reading_1", "0.079", "reading_2", "0.080", "reading_3", "0.079", "reading_4", "0.078", "reading_5", "0.076", "reading_6", "0.075", "reading_7", "0.076", "tool", "DI-1").follow()
	read := entryOf[job.GearRead](t, b.last(), "gear_read")
	if len(read.Readings) != 8 || read.Tool != "DI-1" || read.Measured != "" || read.Readings[2].Angle.Value != 90 {
		t.Errorf("kept %+v", read)
	}
	page.says("#balance_backlash-0 .word", "within")
	page.says("#balance_backlash-0 .backlash", "0.067 to 0.072 mm")
	page.says("#balance_backlash-0 .backlash", "greatest at 9")
	page.says("#balance_backlash-0", "No uncertainty of a reading was given")
	if back := b.state().Assessment.Settings[0].Backlash; back == nil || back.Readings != 8 {
		t.Errorf("assessment %+v", back)
	}
	b.get("/jobs/0500/report").says("body", "run-out ±0.002 mm")
	// Two places of which one is too wide, read square to the flank.
	page = page.press(keep, "reading_0", "0.07", "reading_4", "0.09", "measured", "normal").follow()
	page.says("#balance_backlash-0 .word", "out of limits")
	page.says("#balance_backlash-0 .backlash", "needs readings at three different angles")
}
