// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"fmt"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/plans"
	"witnessmark/record"
	"witnessmark/scope"
	"witnessmark/sheets"
)

// supplier of the parts, invented.
const harbour = "Harbour Street Parts (invented)"

// hours sets the working calendar: two lifts, two people.
func (t *teller) hours() {
	t.on(0, "08:30", lio)
	t.subject = record.Workshop
	set := job.UsualCalendar()
	set.Lifts, set.People = 2, 2
	t.add("calendar_set", set)
}

// agreed tells the job whose work is agreed and whose parts are ordered.
func (t *teller) agreed() {
	t.on(29, "14:00", tove)
	t.open(shop.NewJob{Number: agreedJob, Vehicle: "Averland Tarn 3.4", Purpose: "Big-end bearings renewed before they fail",
		Sheet: t.hashes[sheets.V8], Plate: "INV 416", Owner: shop.Contact{Name: "Owner of job 0416 (invented)", Phone: "000 416"}})
	t.arrival(job.Arrival{Noises: "none", Leaks: "none", Faults: "none"}, "92400 km", "1.6 bar")
	want := []string{"rod_bearings", "engine_mounts"}
	t.parts = t.adopt(plans.V8, want).Parts
	t.signed(job.AuthorityGiven{Want: want, Total: t.total, Refused: []string{"relief_valve"}, Reason: "Not this year."}, "4200")
	t.order(t.parts)
	t.add("tool_reserved", job.ToolReserved{Tool: "subframe cradle", From: t.date(38), To: t.date(52), Of: "the workshop next door (invented)"})
}

// partsCome goes on with that job: most parts come, one stays on back order, so
// that the vehicle does not come in yet.
func (t *teller) partsCome() {
	t.subject = shop.Subject(agreedJob)
	t.on(33, "15:40", tove)
	t.add("part_back_ordered", job.PartBackOrdered{Part: "shell_pair", Short: 3, Until: t.date(45), Remark: "Five of eight were on the shelf."})
	t.arrive(t.parts, 30, "drain_washer", "filter_element", "oil_5w40")
	t.arrive(t.parts, 31, "rod_bolt", "clearance_strip", "column_bolt", "link_nut", "mount_nut", "sealant")
	t.arrive(t.parts, 33, "subframe_bolt", "engine_mount")
	t.add("part_arrived", job.PartArrived{Part: "shell_pair", Quantity: 5, On: t.date(33), Number: "shell_pair_old"})
	t.add("part_arrived", job.PartArrived{Part: "pickup_seal", Quantity: 1, On: t.date(33), Number: "pump_seal"})
}

// adopt pins a plan of the program and returns what the work takes.
func (t *teller) adopt(name string, want []string) (e scope.Estimate) {
	t.do("adopt plan", func() error {
		data, err := plans.Bytes(name)
		if err != nil {
			return err
		}
		hash, plan, err := t.shop.AddPlan(t.ctx, name+".yaml", data)
		if err != nil {
			return err
		}
		if e, err = plan.Estimate(scope.Request{Want: want}); err != nil {
			return err
		}
		t.plan, t.total = plan, e.Total.String()
		return t.shop.AdoptPlan(t.ctx, t.person.ID, t.id(), hash, "")
	})
	return e
}

// order orders all parts, promised for the next day.
func (t *teller) order(parts []scope.PartLine) {
	for _, p := range parts {
		n, _ := p.Quantity.Float64()
		t.add("part_ordered", job.PartOrdered{Part: p.ID, Title: p.Title, Quantity: n, Supplier: harbour, On: t.date(29), Promised: t.date(30)})
	}
}

// arrive takes in parts whole.
func (t *teller) arrive(parts []scope.PartLine, day int, ids ...string) {
	for _, id := range ids {
		n := 0.0
		for _, p := range parts {
			if p.ID == id {
				n, _ = p.Quantity.Float64()
			}
		}
		if n == 0 && t.err == nil {
			t.err = fmt.Errorf("demo: %s: the agreed work takes no %s", t.subject, id)
		}
		t.add("part_arrived", job.PartArrived{Part: id, Quantity: n, On: t.date(day)})
	}
}
