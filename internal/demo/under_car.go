// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/plans"
)

// refitApart is what came off for the mounts and the rack, in order.
var refitApart = []string{"lift", "battery", "engine_support", "steering_joint", "anti_roll_bar", "mounts", "subframe"}

// underCar tells the job of mounts and rack gaiters: the engine stays shut, so
// it has no engine sheet. It comes apart before the others.
func (t *teller) underCar() {
	t.on(29, "15:10", tove)
	t.open(shop.NewJob{Number: refitJob, Vehicle: "Averland Tarn 3.4", Purpose: "Engine mounts and rack gaiters; the engine stays shut", Plate: "INV 414",
		Owner: shop.Contact{Name: "Owner of job 0414 (invented)", Phone: "000 414"}})
	t.arrival(job.Arrival{Noises: "thud when load changes", Leaks: "grease at the left rack gaiter", Faults: "none"}, "136800 km", "")
	want := []string{"engine_mounts", "rack_gaiters"}
	t.adopt(plans.V8, want)
	t.signed(job.AuthorityGiven{Want: want, Total: t.total}, "1900")
	t.on(29, "15:40", perrin)
	t.planned("strip", refitApart...)
	t.add("bagged", job.Bagged{Operation: "subframe", What: "four bolts, to be scrapped", Bag: "1"})
	t.add("work_found", job.WorkFound{Work: "engine_mounts", Title: t.titleOf("engine_mounts"), Needed: true, Remark: "Both sagged."})
	t.add("work_found", job.WorkFound{Work: "rack_gaiters", Title: t.titleOf("rack_gaiters"), Needed: true, Remark: "Left one split at a fold."})
}

// halfBack goes on with it: the new parts are in, the subframe is up, and a
// part of what was disturbed is still to be proved.
func (t *teller) halfBack() {
	t.subject = shop.Subject(refitJob)
	t.on(33, "16:40", perrin)
	for _, p := range []job.PartFitted{
		{Part: "engine_mount", Title: "engine mount", Quantity: 2}, {Part: "gaiter_kit", Title: "rack gaiters, pair with clips", Quantity: 1},
		{Part: "subframe_bolt", Title: "subframe bolt, rear", Quantity: 4}, {Part: "mount_nut", Title: "engine mount nut", Quantity: 2},
		{Part: "column_bolt", Title: "column joint bolt", Quantity: 1},
	} {
		t.add("part_fitted", p)
	}
	t.planned("work", "engine_mounts", "rack_gaiters")
	t.planned("refit", "subframe", "mounts", "steering_joint")
	t.proved(
		job.RefitProved{Operation: "subframe", Thing: "subframe_bolt", Title: "Subframe bolts, rear", Tool: "TW-3", Stage: "turn", Witness: true},
		job.RefitProved{Operation: "mounts", Thing: "mount_nut", Title: "Mount nuts", Tool: "TW-3"},
	)
	t.add("faults_read", job.FaultsRead{Stored: "steering angle sensor: zero not taught", Remark: "Read with the ignition on; the battery was connected for it and taken off again."})
}
