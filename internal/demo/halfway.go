// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/sheets"
	"witnessmark/units"
)

// The engine that is open, in the order in which the throws come round.
var open = []bigEnd{
	{position: 1, found: "0.038-0.051", upper: wear(1), lower: wear(0), fitted: "0.038-0.051", shells: [2]string{"U07", "L03"}},
	{position: 2, found: "0.051", upper: wear(1), lower: wear(1), fitted: "0.038-0.051", shells: [2]string{"U02", "L11"}},
	{position: 5, found: "0.051", upper: wear(1), lower: wear(0), fitted: "0.038/0.038-0.051", shells: [2]string{"U01", "L09"}},
	{position: 6, found: "0.038-0.051", upper: wear(1), lower: wear(1), fitted: "0.051-0.064", shells: [2]string{"U06", "L02"}},
	{position: 3, found: "0.038-0.051", upper: flaked, lower: wear(1), fitted: "0.038", shells: [2]string{"U09", "L05"}},
	{position: 4, found: "0.076+", upper: wear(2), lower: wear(1), fitted: "0.064-0.076", shells: [2]string{"U04", "L08"}},
	{position: 7, found: "0.051-0.064", upper: wear(1), lower: wear(0)},
	{position: 8, found: "0.038-0.051", upper: wear(1), lower: edgeWorn},
}

var (
	flaked   = job.WearSeen{Severity: 3, Features: []string{"flaked"}, Extent: "spot", Place: "crown", Remark: "A flake of two by three millimetres."}
	edgeWorn = job.WearSeen{Severity: 1, Features: []string{"edge_loaded"}, Extent: "part", Place: "rear_edge"}
)

// halfWay tells the job that is on the lift.
func (t *teller) halfWay() {
	t.on(30, "08:20", tove)
	t.open(shop.NewJob{Number: halfWay, Vehicle: "Averland Tarn 3.4", Purpose: "Knock when hot; big-end bearings renewed",
		Sheet: t.hashes[sheets.V8], Plate: "INV 412",
		Owner: shop.Contact{Name: "Owner of job 0412 (invented)", Address: "12 Nowhere Row", Phone: "000 412"}})
	t.arrival(job.Arrival{Noises: "light knock at 2000 rpm when hot, gone under load", Leaks: "none", Faults: "none"}, "71300 km", "1.1 bar")
	t.signed(job.AuthorityGiven{Work: "Big-end bearings and bolts renewed, eight positions", Total: "3980.00"}, "4600")
	t.damagedJournal()
	t.on(30, "09:10", odda)
	t.add("decision", job.Decided{About: "if the crankshaft is damaged", Decision: "stop and call the owner with photos", Reason: "agreed when the job was opened"})
	t.off(undertray, oilOut, subframe, sump, pickup)
	t.debris(job.DebrisFound{Kinds: []string{"copper", "grey_overlay"}, Amount: "trace"}, job.DebrisFound{Kinds: []string{"grey_overlay"}, Amount: "trace"})
	t.note(job.Note{}, "Sump plug thread is worn: a new plug was ordered.")
	t.on(31, "08:00", odda)
	for _, b := range open {
		t.asFound(b)
		t.boreAndJournal(b.position)
		if b.position == 4 {
			t.beyondTheStrip()
		}
	}
	t.openMeasure()
	t.openAssemble()
	t.coolerFull()
	t.axialPlay()
	t.stretched()
	t.roughness(4)
}

// axialPlay reads the end float with the washers that were in, too wide for
// them, and the side clearance of two throws.
func (t *teller) axialPlay() {
	t.add("thrust_washers", job.ThrustWashers{Phase: job.AsFound, Washers: []job.ThrustWasher{
		{ID: "standard", Thickness: *t.length("2.310 mm")}, {ID: "standard", Thickness: *t.length("2.310 mm")}}})
	t.add("reading", job.Reading{Of: job.OfEndFloat, Phase: job.AsFound, Gauge: "DI-1", Value: t.length("0.31 mm")})
	for _, p := range []int{1, 5} {
		t.add("reading", job.Reading{Of: job.OfSideClearance, Phase: job.AsFitted, Position: p, Gauge: "FG-1", Value: t.length("0.40 mm")})
	}
}

// stretched reads the length of two bolts: one under load, one that was
// measured with and came out.
func (t *teller) stretched() {
	t.on(33, "15:30", odda)
	in := job.BoltLength{Fastener: "rod_bolt", Position: 1, Bolt: "a", Set: "new INV-B12", Gauge: "MM-1", Before: t.length("60.012 mm"), Tight: t.length("60.228 mm"), U: t.length("0.002 mm")}
	t.add("bolt_length", in)
	t.add("bolt_length", job.BoltLength{Fastener: "rod_bolt", Position: 1, Bolt: "b", Set: job.OldSet, Gauge: "MM-1", Before: t.length("60.021 mm"), After: t.length("60.058 mm"),
		Remark: "measured with, and out again"})
}

// roughness reads the journal of a position; its new shells stay as the sheet
// has them.
func (t *teller) roughness(position int) {
	t.on(33, "15:35", odda)
	t.add("roughness_read", job.RoughnessRead{Of: job.SurfaceJournal, Phase: job.AsFound, Position: position, Parameter: job.RoughnessRa,
		Values: []units.Read{*t.read(units.KindLength, "0.21 µm"), *t.read(units.KindLength, "0.24 µm")}})
}

// beyondTheStrip measures what the strip could not, since its scale ended: the
// journal, and the bore with the old shells in. The bare housing is left.
func (t *teller) beyondTheStrip() {
	t.part(job.OfJournal, 4, "MM-1", journalAngles, "51.986", "51.984", "51.984", "51.985", "51.984", "51.983", "51.983", "51.985")
	t.direct(4, job.AsFound, "0.088 mm", "0.003 mm")
	t.add("journal_seen", job.JournalSeen{Position: 4, Features: []string{"polished_line"},
		Photos: t.photo(journal{line: true}, "Journal of position 4: a polished line")})
}

func (t *teller) openMeasure() {
	t.on(32, "08:00", odda)
	for _, b := range open {
		if b.fitted != "" {
			t.asFitted(b)
		}
	}
	// Both caps are back on the old bolts, for a second strip.
	for _, p := range []int{6, 4} {
		for _, stage := range []string{"snug", "seat", "turn"} {
			t.stage(p, job.Measuring, stage, job.OldSet, "TW-1")
		}
	}
	t.note(job.Note{Open: true, Position: 4}, "Owner to be called about position 4 before anything is ordered.")
}

func (t *teller) openAssemble() {
	t.on(33, "08:10", odda)
	for _, p := range []int{1, 2, 3} {
		t.final(p, "TW-1")
	}
	t.final(5, "TW-2")
	t.witness(1)
	t.witness(2)
	t.traces(wrenchFile(wrenched))
	t.on(33, "11:00", odda)
	t.dealt("cleaned", "cooler", "lines", "pickup")
	t.on(33, "15:20", lio)
	t.add("start_planned", job.StartPlanned{Hours: 11, Reason: "two big ends, the balance shaft and the refit are left"})
	t.add("decision", job.Decided{About: "the order of work", Position: 4, Decision: "find out where it sits before more shells are bought"})
}
