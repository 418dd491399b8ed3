// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"math"
	"slices"
	"strings"
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

// Cures says until when what seals a fastener cures, or since when it has, by
// the workshop's clock; empty while its final stage is not on record, or the
// sheet names no time.
func Cures(s State, b Basis, f engine.Fastener, voice Voice, now time.Time) WordView {
	end, _, ok := (&assessor{s: s, b: b}).curedAt(f)
	at := (&shower{voice: voice}).clock(end)
	switch {
	case !ok:
		return WordView{}
	case now.Before(end):
		return WordView{sentence(f.Sealant.Product + " cures until " + at + "; no oil before that"), stateUnproven}
	}
	return WordView{sentence(f.Sealant.Product + " cured by " + at), stateFits}
}

// CureView is one clock that oil waits for.
type CureView struct {
	Fastener string
	Words    string
	State    string // todo: not begun; unproven: it runs; fits: cured
}

// CureClock is what seals the fasteners of the sheet and needs time before oil
// touches it, as it stands now.
func CureClock(s State, b Basis, voice Voice, now time.Time) []CureView {
	if b.Sheet == nil {
		return nil
	}
	a, v := &assessor{s: s, b: b}, &shower{voice: voice}
	var out []CureView
	for _, f := range b.Sheet.Fasteners {
		if !f.Sealant.Cure.Given() {
			continue
		}
		c := CureView{Fastener: f.ID, State: stateTodo, Words: fmt.Sprintf("%s, %s: cures %s, and is not tightened yet.", f.Title, f.Sealant.Product, f.Sealant.Cure)}
		switch end, _, begun := a.curedAt(f); {
		case begun && now.Before(end):
			c.State, c.Words = stateUnproven, fmt.Sprintf("%s, %s: cures until %s, %s from now.", f.Title, f.Sealant.Product, v.clock(end), leftWords(end.Sub(now)))
		case begun:
			c.State, c.Words = stateFits, fmt.Sprintf("%s, %s: cured since %s.", f.Title, f.Sealant.Product, v.clock(end))
		}
		out = append(out, c)
	}
	return out
}

// leftWords says a time that is left, up to the next minute: "1 h 20 min".
func leftWords(d time.Duration) string {
	m := int(math.Ceil(d.Minutes()))
	if h := m / 60; h > 0 {
		return strings.TrimSuffix(fmt.Sprintf("%d h %d min", h, m%60), " 0 min")
	}
	return fmt.Sprintf("%d min", m)
}

// OilWaits reports whether any clock still runs or has not begun, while no oil
// is in by the record.
func OilWaits(s State, clock []CureView) bool {
	if slices.ContainsFunc(s.Run, func(r Noted[RunStep]) bool { return r.Body.Step == StepPrime }) {
		return false
	}
	return slices.ContainsFunc(clock, func(c CureView) bool { return c.State != stateFits })
}
