// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"time"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/plans"
	"witnessmark/sheets"
	"witnessmark/units"
)

// The engine that was finished: ordinary wear, one position near its limit.
var finished = []bigEnd{
	{position: 1, found: "0.051", upper: wear(1), lower: wear(0), fitted: "0.038", shells: [2]string{"U21", "L18"}},
	{position: 2, found: "0.051", upper: wear(1), lower: wear(1), fitted: "0.038-0.051", shells: [2]string{"U22", "L12"}},
	{position: 5, found: "0.064", upper: wear(2), lower: wear(1), fitted: "0.051-0.064", shells: [2]string{"U25", "L21"}},
	{position: 6, found: "0.051", upper: wear(1), lower: wear(0), fitted: "0.038", shells: [2]string{"U26", "L16"}},
	{position: 3, found: "0.051-0.064", upper: wear(1), lower: wear(1), fitted: "0.038-0.051", shells: [2]string{"U23", "L13"}},
	{position: 4, found: "0.051", upper: wear(1), lower: wear(0), fitted: "0.038/0.038-0.051", shells: [2]string{"U24", "L14"}},
	{position: 7, found: "0.051-0.064", upper: wear(2), lower: wear(1), fitted: "0.038-0.051", shells: [2]string{"U27", "L17"}},
	{position: 8, found: "0.051", upper: wear(1), lower: wear(1), fitted: "0.038", shells: [2]string{"U28", "L19"}},
}

// handedOver tells the job that was finished: handed over, sealed, followed up
// and sealed again.
func (t *teller) handedOver() {
	t.on(1, "08:10", tove)
	t.open(shop.NewJob{Number: handedOver, Vehicle: "Averland Tarn 3.4", Purpose: "Big-end bearings renewed before they fail",
		Sheet: t.hashes[sheets.V8], Plate: "INV 398",
		Owner: shop.Contact{Name: "Owner of job 0398 (invented)", Address: "1 Nowhere Row", Phone: "000 398"}})
	t.arrival(job.Arrival{Noises: "none", Leaks: "damp at the rear of the sump joint", Faults: "none"}, "118240 km", "1.4 bar")
	want := []string{"rod_bearings", "engine_mounts"}
	t.adopt(plans.V8, want)
	t.signed(job.AuthorityGiven{Want: want, Total: t.total, Refused: []string{"balance_bearings"}}, "3500")
	t.finishedOrder()
	call := t.note(job.Note{Open: true}, "Owner wants a call before anything beyond the agreed work is done.")
	t.finishedStrip()
	t.finishedMeasure(call.Seq)
	t.finishedAssemble()
	t.finishedRun()
	t.finishedPapers()
}

func (t *teller) finishedStrip() {
	t.on(1, "09:00", odda)
	t.planned("strip", apart...)
	t.add("bagged", job.Bagged{Operation: "subframe", What: "four bolts, to be scrapped; two washers", Bag: "3"})
	t.debris(job.DebrisFound{Kinds: []string{"grey_overlay"}, Amount: "trace"}, job.DebrisFound{Kinds: []string{"none"}, Amount: "none"})
	t.on(1, "11:00", odda)
	for _, b := range finished {
		t.asFound(b)
	}
	t.on(1, "17:00", odda)
	t.worked([]spell{{"battery", "0.4 h"}, {"drain_oil", "0.8 h"}, {"engine_support", "1.0 h"}})
}

func (t *teller) finishedMeasure(call int64) {
	t.on(2, "08:00", odda)
	t.by(tove)
	t.add("note_resolved", job.NoteResolved{Note: call, How: "Called: the owner agrees to new sump and subframe bolts, nothing else."})
	t.by(odda)
	for _, b := range finished {
		t.asFitted(b)
		if b.position == 6 {
			t.mistyped()
		}
	}
	t.on(2, "15:00", odda)
	// Position 5 was too near its limit for a strip: the parts say more.
	t.add("reading", job.Reading{Of: job.OfHousingBore, Phase: job.AsFitted, Position: 5, Gauge: "BG-1", Value: t.length("56.014 mm")})
	t.add("reading", job.Reading{Of: job.OfJournal, Phase: job.AsFitted, Position: 5, Gauge: "MM-1", Value: t.length("51.985 mm")})
	t.add("reading", job.Reading{Of: job.OfUpperWall, Phase: job.AsFitted, Position: 5, Gauge: "TM-1", Value: t.length("1.990 mm")})
	t.add("reading", job.Reading{Of: job.OfLowerWall, Phase: job.AsFitted, Position: 5, Gauge: "TM-1", Value: t.length("1.990 mm")})
	t.add("journal_seen", job.JournalSeen{Position: 5, Features: []string{"polished_line"},
		Photos: t.photo(journal{line: true}, "Journal of position 5: a polished line")})
	for _, p := range []int{1, 3, 5, 7} {
		t.add("reading", job.Reading{Of: job.OfSideClearance, Phase: job.AsFitted, Position: p, Gauge: "FG-1", Value: t.length("0.35 mm")})
	}
	t.add("reading", job.Reading{Of: job.OfEndFloat, Phase: job.AsFitted, Gauge: "DI-1", Value: t.length("0.14 mm")})
}

// mistyped enters a reading with two digits swapped, and corrects it.
func (t *teller) mistyped() {
	side := job.Reading{Of: job.OfSideClearance, Phase: job.AsFitted, Position: 6, Gauge: "FG-1", Value: t.length("0.53 mm")}
	e := t.add("reading", side)
	side.Value = t.length("0.35 mm")
	t.correct(e, side, "Two digits swapped: the feeler was 0.35 mm.")
}

func (t *teller) finishedAssemble() {
	t.on(3, "08:00", odda)
	t.dealt("cleaned", "cooler", "lines", "pickup")
	t.dealt("found_clean", "housing")
	for _, b := range finished {
		t.final(b.position, "TW-1")
	}
	t.on(3, "11:30", perrin)
	key := string(job.NotProven) + "/position-5"
	t.do("concession", func() error {
		_, err := t.shop.Concede(t.ctx, perrin.ID, shop.Concession{Job: t.id(), Obstacle: key,
			Reason: "Strip and parts agree on 0.059 mm, well inside the in-service limit of 0.080 mm; the owner was told."})
		return err
	})
	for _, b := range finished {
		t.witness(b.position)
	}
	t.on(3, "13:00", odda)
	t.around("balance_backlash", "DI-1", "0.002 mm", "0.077", "0.079", "0.080", "0.079", "0.078", "0.076", "0.075", "0.076")
	t.setting("chain_slack", "3.0 mm", "")
	t.setting("pump_end_play", "0.05 mm", "FG-1")
	t.setting("crank_sensor", "0.9 mm", "FG-1")
	t.tighten("pickup_bolt", "TW-4", "final")
	t.on(3, "14:10", perrin)
	t.add("last_look", job.LastLook{NothingLeft: true, ToolsCounted: true, RagsCounted: true, PassagesClear: true})
	t.on(3, "14:20", odda)
	t.tighten("sump_bolt", "TW-4", "seat", "final")
	t.wheels(true, "Wheels on, let down to the floor, rolled once to and fro.")
	t.tighten("subframe_bolt", "TW-3", "seat", "turn")
	t.add("witness_seen", job.WitnessSeen{Fastener: "subframe_bolt", Bolts: []job.BoltAt{{Bolt: job.AllBolts}}})
	t.wheels(false, "On the lift for the first start.")
	t.finishedRefit()
}

func (t *teller) finishedRun() {
	t.on(4, "08:30", odda)
	level := func(after string) { t.run(job.RunStep{Step: job.StepLevel, After: after}, "") }
	t.run(job.RunStep{Step: job.StepPrime, Remark: "Starting disabled; pressure after 6 s."}, "2.1 bar")
	level("priming")
	t.run(job.RunStep{Step: job.StepFirstStart, Remark: "Pressure within 1 s."}, "")
	t.run(job.RunStep{Step: job.StepPressureCold, Point: "cold_idle"}, "5.2 bar")
	level("the first start")
	for _, c := range []string{"the first heat cycle", "the second heat cycle"} {
		t.replay.pass(50 * time.Minute)
		t.run(job.RunStep{Step: job.StepHeatCycle}, "")
		level(c)
	}
	t.run(job.RunStep{Step: job.StepPressureHot, Point: "hot_idle"}, "1.9 bar")
	t.run(job.RunStep{Step: job.StepPressureHot, Point: "hot_3000"}, "4.8 bar")
	t.run(job.RunStep{Step: job.StepLeakCheck}, "")
	t.wheelsOn()
}

func (t *teller) finishedPapers() {
	t.on(5, "10:00", tove)
	t.add("old_parts", job.OldParts{Parts: "sixteen shells, sixteen rod bolts", Fate: "shown"})
	t.add("old_parts", job.OldParts{Parts: "sixteen shells, in a marked box", Fate: "returned"})
	t.on(5, "10:30", lio)
	t.do("hand over", func() error {
		_, err := t.shop.HandOver(t.ctx, lio.ID, t.id(), "Running-in explained; first oil change at 1500 km.", 0)
		return err
	})
	t.seal()
	t.on(26, "16:00", tove)
	t.add("follow_up", job.FollowUp{What: "call", OK: true, Finding: "Runs quietly, no oil used."})
	t.on(29, "09:00", odda)
	back := t.read(units.KindDistance, "119710 km")
	t.add("follow_up", job.FollowUp{What: "oil_change", OK: true, Odometer: back, Finding: "Filter clean."})
	t.add("follow_up", job.FollowUp{What: "torque_recheck", OK: true, Odometer: back, Finding: "Witness marks of the subframe unbroken."})
	t.on(29, "10:00", lio)
	t.seal()
}

func (t *teller) seal() {
	t.do("seal", func() error {
		_, err := t.shop.Seal(t.ctx, t.person.ID, t.id(), "", 0)
		return err
	})
}
