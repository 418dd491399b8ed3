// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"witnessmark/internal/job"
	"witnessmark/units"
)

// apart is what came off the finished engine, in order.
var apart = []string{"lift", "battery", "drain_oil", "engine_support", "steering_joint", "anti_roll_bar", "mounts", "subframe", "sump", "pickup"}

// planned records operations of the plan, in order.
func (t *teller) planned(direction string, ids ...string) {
	for _, id := range ids {
		t.add("operation_done", job.OperationDone{Operation: id, Title: t.titleOf(id), Direction: direction})
	}
}

// titleOf is the plan's title of an operation or of work.
func (t *teller) titleOf(id string) string {
	if t.plan == nil { // an error before
		return ""
	}
	if o, ok := t.plan.OperationByID(id); ok {
		return o.Title
	}
	w, _ := t.plan.WorkByID(id)
	return w.Title
}

// spell is time on an operation or work of the plan, or on anything in words.
type spell struct{ on, hours string }

func (t *teller) worked(spells []spell) {
	for _, s := range spells {
		t.add("time_spent", job.TimeSpent{On: s.on, Title: t.titleOf(s.on), Hours: t.read(units.KindHours, s.hours)})
	}
}

// finishedOrder gets the shells, whose number is the maker's, the mounts and
// the oil; the rest is on the shelf.
func (t *teller) finishedOrder() {
	for _, p := range []job.PartOrdered{
		{Part: "shell_pair", Title: "Rod bearing shells, pair", Number: "INV-34-BE", Quantity: 8},
		{Part: "engine_mount", Title: "Engine mount", Quantity: 2},
		{Part: "oil_5w40", Title: "Engine oil 5W-40, litre", Quantity: 10},
	} {
		p.Supplier, p.On, p.Promised = harbour, t.date(0), t.date(1)
		t.add("part_ordered", p)
		t.add("part_arrived", job.PartArrived{Part: p.Part, Quantity: p.Quantity, Number: p.Number, On: t.date(1)})
	}
}

// proved says that things are right again, in the order in which the car goes
// back together.
func (t *teller) proved(proofs ...job.RefitProved) {
	for _, p := range proofs {
		p.Done = true
		t.add("refit_proved", p)
	}
}

func (t *teller) finishedRefit() {
	t.planned("refit", "pickup", "sump", "subframe", "mounts", "anti_roll_bar", "steering_joint", "engine_support", "drain_oil")
	t.proved(
		job.RefitProved{Operation: "pickup", Thing: "pickup_seal", Title: "Pick-up seal ring"},
		job.RefitProved{Operation: "sump", Thing: "sump_sealant", Title: "Sump sealant"},
		job.RefitProved{Operation: "sump", Thing: "level_sensor", Title: "Oil level sensor plug"},
		job.RefitProved{Operation: "subframe", Thing: "rack_hose", Title: "Rack pressure hose"},
		job.RefitProved{Operation: "mounts", Thing: "mount_nut", Title: "Mount nuts", Tool: "TW-3", Witness: true},
		job.RefitProved{Operation: "anti_roll_bar", Thing: "link_nut", Title: "Link nuts", Tool: "TW-3", Witness: true},
		job.RefitProved{Operation: "steering_joint", Thing: "column_bolt", Title: "Column joint bolt", Tool: "TW-1", Witness: true},
		job.RefitProved{Operation: "drain_oil", Thing: "drain_washer", Title: "Drain plug washer"},
		job.RefitProved{Operation: "drain_oil", Thing: "oil_filter", Title: "Filter element and both seals"},
		job.RefitProved{Operation: "drain_oil", Thing: "engine_oil", Title: "Engine oil"},
	)
	t.finishedParts()
	t.add("work_found", job.WorkFound{Work: "engine_mounts", Title: t.titleOf("engine_mounts"), Needed: true, Remark: "Left mount sagged, rubber torn."})
	t.add("work_found", job.WorkFound{Work: "rack_gaiters", Title: t.titleOf("rack_gaiters")})
	t.worked([]spell{
		{"rod_bearings", "8.0 h"}, {"oil_pickup_check", "0.3 h"}, {"engine_mounts", "0.4 h"}, {"pickup", "0.7 h"}, {"sump", "2.6 h"}, {"subframe", "2.9 h"},
		{"mounts", "0.9 h"}, {"anti_roll_bar", "0.7 h"}, {"steering_joint", "0.7 h"}, {"seized link nut cut off", "0.5 h"},
	})
}

func (t *teller) finishedParts() {
	for _, p := range []job.PartFitted{
		{Part: "rod_bolt", Title: "rod bolt", Batch: "INV-B12", Quantity: 16},
		{Part: "clearance_strip", Title: "gauge strip, used up", Quantity: 3},
		{Part: "engine_mount", Title: "engine mount", Quantity: 2},
		{Part: "mount_nut", Title: "engine mount nut", Quantity: 2},
		{Part: "subframe_bolt", Title: "subframe bolt, rear", Quantity: 4},
		{Part: "column_bolt", Title: "column joint bolt", Quantity: 1},
		{Part: "link_nut", Title: "anti-roll bar link nut", Quantity: 2},
		{Part: "pickup_seal", Title: "pick-up seal ring", Quantity: 1},
		{Part: "sealant", Title: "sump sealant, tube", Quantity: 1},
		{Part: "drain_washer", Title: "drain plug washer", Quantity: 1},
		{Part: "filter_element", Title: "oil filter element with seals", Quantity: 1},
		{Part: "oil_5w40", Title: "engine oil 5W-40 (invented), litre", Quantity: 8.4},
	} {
		t.add("part_fitted", p)
	}
	t.add("part_returned", job.PartReturned{Part: "oil_5w40", Quantity: 1, Why: "not_needed", Remark: "Unopened can."})
}

// wheelsOn puts back what comes off first, and checks what can only be checked
// on its wheels.
func (t *teller) wheelsOn() {
	t.add("part_fitted", job.PartFitted{Part: "oil_5w40", Title: "engine oil 5W-40 (invented), litre", Quantity: 0.6})
	t.planned("refit", "battery", "lift")
	t.proved(
		job.RefitProved{Operation: "lift", Thing: "wheel_bolt", Title: "Wheel bolts", Tool: "TW-3", Witness: true},
		job.RefitProved{Operation: "steering_joint", Thing: "column_joint", Title: "Steering column joint", Result: "straight ahead, no play"},
		job.RefitProved{Operation: "subframe", Thing: "alignment", Title: "Wheel alignment", Result: "within the maker's limits, sheet INV-A398"},
		job.RefitProved{Operation: "battery", Thing: "window_teach", Title: "Window end stops"},
		job.RefitProved{Operation: "battery", Thing: "steering_zero", Title: "Steering angle zero"},
	)
	t.add("faults_read", job.FaultsRead{Remark: "All control units read."})
	t.worked([]spell{{"lift", "0.9 h"}})
}
