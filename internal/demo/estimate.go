// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"fmt"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/plans"
	"witnessmark/record"
	"witnessmark/sheets"
	"witnessmark/units"
)

// estimate tells the job whose estimate is to be talked through with the owner.
func (t *teller) estimate() {
	t.on(33, "16:25", tove)
	t.open(shop.NewJob{Number: estimateJob, Vehicle: "Averland Tarn 3.4", Purpose: "Big-end bearings renewed, and what else is worth doing",
		Sheet: t.hashes[sheets.V8], Plate: "INV 417", Owner: shop.Contact{Name: "Owner of job 0417 (invented)", Phone: "000 417"}})
	t.arrival(job.Arrival{Noises: "none", Leaks: "damp at the steering rack", Faults: "none"}, "104300 km", "1.5 bar")
	want := []string{"rod_bearings", "engine_mounts", "rack_gaiters"}
	t.adopt(plans.V8, want)
	t.add("estimate_offered", job.EstimateOffered{Want: want, Total: t.total, Until: t.date(63),
		Offers: []string{"engine_mounts", "rack_gaiters", "relief_valve", "sump_baffle", "balance_bearings"}})
	t.add("horizon_set", job.HorizonSet{Years: 4, PerYear: t.read(units.KindDistance, "15000 km")})
	t.damagedJournal()
}

// damagedJournal is where the work stops, agreed beforehand.
func (t *teller) damagedJournal() {
	t.add("stop_point", job.StopPoint{When: "a journal is damaged", Then: "stop, photograph, call", Routes: []job.Route{
		{Title: "fit as it is", Price: "0.00"}, {Title: "polish by hand", Price: "180.00"},
		{Title: "undersize shells after grinding, engine out", Price: "3900.00"}, {Title: "replacement crankshaft"},
	}})
}

// signed gives authority up to an amount, with an invented signature.
func (t *teller) signed(a job.AuthorityGiven, ceiling string) {
	t.do("authority", func() error {
		_, err := t.shop.Agree(t.ctx, t.person.ID, shop.Consent{Job: t.id(), Kind: "authority_given", Who: t.owner(),
			Body: func(signature string) any {
				a.Consent = t.consent(ceiling, signature)
				return a
			}}, shop.Input{})
		return err
	})
}

func (t *teller) owner() shop.Signed {
	return shop.Signed{Name: "Owner of job " + t.id() + " (invented)",
		Strokes: "M60 110L90 40L110 110L140 60L160 110L190 80L215 108L250 70L270 110L300 90L330 108M340 120L520 104"}
}

func (t *teller) consent(ceiling, signature string) job.Consent {
	return job.Consent{On: t.replay.Now().Format("2006-01-02"), How: "signed", Ceiling: ceiling, Currency: "EUR", Signature: signature}
}

// coolerFull is a finding that changes the work: proposed, and accepted with
// its own authority; a second waits for its answer.
func (t *teller) coolerFull() {
	e := t.add("change_found", job.ChangeFound{Title: "Oil cooler renewed", Why: "Copper in the filter: what is in the cooler can't be washed out for certain.",
		Price: "412.80", Currency: "EUR"})
	t.answer(e, "accepted", "450")
	t.add("change_found", job.ChangeFound{Title: "Shells of position 4 in another class", Why: "Position 4 is too wide as fitted.", Currency: "EUR"})
}

func (t *teller) answer(e record.Entry, answer, ceiling string) {
	t.do(fmt.Sprintf("answer to entry %d", e.Seq), func() error {
		_, err := t.shop.Agree(t.ctx, t.person.ID, shop.Consent{Job: t.id(), Kind: "change_answered", Who: t.owner(),
			Body: func(signature string) any {
				return job.ChangeAnswered{Change: e.Seq, Answer: answer, Consent: t.consent(ceiling, signature)}
			}}, shop.Input{})
		return err
	})
}
