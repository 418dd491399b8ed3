// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"time"

	"witnessmark/engine"
)

// cures asks that no oil came to a sealant or threadlock before it had cured:
// the clock starts with the last final stage of its fastener, and the first
// priming is when oil is in.
func (a *assessor) cures() {
	var oil *Noted[RunStep]
	for i := range a.s.Run {
		if a.s.Run[i].Body.Step == StepPrime {
			oil = &a.s.Run[i]
			break
		}
	}
	if a.b.Sheet == nil || oil == nil {
		return
	}
	for _, f := range a.b.Sheet.Fasteners {
		end, seq, ok := a.curedAt(f)
		if !ok || seq > oil.At.Seq || !oil.At.Received.Before(end) {
			continue
		}
		a.add(Obstacle{Code: CureShort, Check: Start, Of: f.ID, Title: f.Title, Items: []string{f.Sealant.Product, f.Sealant.Cure.String()}, RestsOn: []int64{seq, oil.At.Seq}})
	}
}

// curedAt is when what seals a fastener has cured, with the entry that started
// its clock.
func (a *assessor) curedAt(f engine.Fastener) (end time.Time, seq int64, ok bool) {
	if !f.Sealant.Cure.Given() {
		return end, 0, false
	}
	for _, p := range a.placesOf(f) {
		for _, name := range boltNames(f) {
			t := a.bolt(f.ID, p, name).current(math.MaxInt64)
			if n := len(t.stages); t.kind == Final && n > 0 && t.stages[n-1].At.Seq > seq {
				seq, end = t.stages[n-1].At.Seq, t.stages[n-1].At.Received
			}
		}
	}
	return end.Add(time.Duration(f.Sealant.Cure.V.Seconds() * float64(time.Second))), seq, seq > 0
}

// Cures says until when what seals a fastener cures, by the workshop's clock;
// empty while its final stage is not on record, or the sheet names no time.
func Cures(s State, b Basis, f engine.Fastener, voice Voice) string {
	end, _, ok := (&assessor{s: s, b: b}).curedAt(f)
	if !ok {
		return ""
	}
	return sentence(f.Sealant.Product + " cures until " + (&shower{voice: voice}).clock(end) + "; no oil before that")
}
