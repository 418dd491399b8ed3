// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"testing"

	"witnessmark/internal/job"
)

// End float as found, the washers that were in, a choice with the float that it
// would make, one tap, and the float read again.
func TestThrustWashersBringTheFloatRight(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.page("/play")
	page.says(".open-here", "The end float of the crankshaft is not read.")
	page.says("#end_float .big", "0.08 to 0.25 mm")
	page.says("#washers", "Which thrust washers are in is not on record.")
	page = page.press("#end_float button.go", "phase", "found", "value", "0,31", "u", "0.003").follow()
	page.says("#end_float .headline", "As found: 0.310 mm is too wide")
	page = page.press(`form:has([name="form"][value="thrust"]) button`, "washers", "2.310 2.310 mm").follow()
	page.says("#washers", "Thrust washers that were in: 2.310 mm and 2.310 mm.")
	page.count(".thrust tbody tr", 6)
	page.says(".thrust tbody tr:first-child th", "2.360 mm (first oversize) + 2.410 mm (second oversize)")
	page.says(".thrust tbody tr:first-child", "0.160 mm")
	page.says(".thrust tbody tr:first-child .word", "fits")
	page.says(".thrust tbody tr:last-child .word", "too wide")
	page = page.press(".thrust tbody tr:first-child button").follow()
	page.says(".kept", "Thrust washers fitted: 2.360 mm (first oversize) and 2.410 mm (second oversize).")
	page.says(".open-here", "The end float of the crankshaft is not read.")
	page = page.press("#end_float button.go", "value", "0.15", "u", "0.003").follow()
	page.says("#end_float", "As fitted: 0.150 mm fits")
}

// Thicknesses that were typed take the place of the sheet's; what is no
// thickness says so and stays in its field.
func TestThicknessesAtHand(t *testing.T) {
	b := newKit(t).as(job.Technician)
	b.page("/play").press(`form:has([name="form"][value="thrust"]) button`, "washers", "2.31 2.31").follow()
	b.page("/play").press("#end_float button.go", "phase", "found", "value", "0.31", "u", "0.003").follow()
	page := b.page("/play?at_hand=2.30+2.50+mm")
	page.count(".thrust tbody tr", 3)
	page.says(".thrust tbody tr:first-child th", "2.300 mm + 2.500 mm")
	page = b.page("/play?at_hand=thick")
	page.says("#washers .problem", "thick")
	page.count(`input[name="at_hand"][value="thick"]`, 1)
	page = b.page("/play").press(`form:has([name="form"][value="thrust"]) button`, "washers", "2.31 2.31 2.31")
	if page.status != http.StatusUnprocessableEntity {
		t.Errorf("three washers: %d", page.status)
	}
	page.says(".problem", "one or two")
	page.count(`input[name="washers"][value="2.31 2.31 2.31"]`, 1)
}

// One reading is that of a throw, the form goes on to the next throw, and a slip
// of the unit is asked about before it counts.
func TestSideClearanceThrowByThrow(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.page("/play")
	page.count(".sides tbody tr", 4)
	page.says(".open-here", "throws 1 to 4")
	page = page.press("#side_clearance button.go", "value", "0,30", "u", "0.01").follow()
	page.says(".sides tbody tr:nth-child(1)", "0.300 mm")
	page.says(".sides tbody tr:nth-child(1) .word", "fits")
	page.count(`#side_clearance option[value="3"][selected]`, 1)
	page = page.press("#side_clearance button.go", "value", "0.014")
	if page.status != http.StatusUnprocessableEntity {
		t.Fatalf("inches were kept: %d", page.status)
	}
	page.says("#side_clearance .problem", "inches")
	page.count("#end_float .problem", 0)
	page = page.press("#side_clearance button.go", "value", "wide")
	page.count(`#side_clearance input[value="wide"]`, 1)
	page.count(`#end_float input[value="wide"]`, 0)
	page = b.page("/play").press("#side_clearance button.go", "position", "5", "value", "0.60", "u", "0.01").follow()
	page.says(".sides tbody tr:nth-child(3) .word", "too wide")
	b.page("/assemble").says(".work", "End float, side clearance")
}
