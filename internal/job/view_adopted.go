// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"

	"witnessmark/units"
)

// AdoptedView is the choice of shells that was adopted, beside what is in.
type AdoptedView struct {
	Words string // what it promised
	Rows  []AdoptedRow
}

// AdoptedRow is one position of it.
type AdoptedRow struct {
	Name         string
	Upper, Lower string
	Clearance    string
	Departure    string
	In           WordView // whether these shells are in
}

// ShowAdopted puts the choice that was adopted last into words; nil when none
// stands.
func ShowAdopted(s State, b Basis, voice Voice) *AdoptedView {
	if s.Pairing == nil {
		return nil
	}
	v := &shower{s: s, basis: b, voice: voice}
	p := s.Pairing.Body
	out := &AdoptedView{Words: fmt.Sprintf("Shells chosen by %s, %s: largest departure from the target of %s %s µm, ", v.person(s.Pairing.At.Person), v.clock(s.Pairing.At.Received),
		v.length(p.TargetMM, 3), units.Number(p.LargestDepartureUM, units.UnitMillimetre, 1))}
	if p.ProvenBest {
		out.Words += "proven to be the least that the shells on the shelf could do."
	} else {
		out.Words += fmt.Sprintf("the best that was found; none can be below %s µm.", units.Number(p.BoundUM, units.UnitMillimetre, 1))
	}
	if p.Reason != "" {
		out.Words += " " + sentence(p.Reason)
	}
	for _, f := range p.Fits {
		r := AdoptedRow{Name: b.Namer()(f.Position), Upper: shellName(f.Upper), Lower: shellName(f.Lower), Clearance: v.length(f.ClearanceMM, 4),
			Departure: signedMicro(f.ClearanceMM - p.TargetMM), In: WordView{"not in yet", stateTodo}}
		if at := s.Positions[f.Position]; at != nil && at.Shells != nil {
			r.In = WordView{"in", stateFits}
			if at.Shells.Body.Upper != f.Upper || at.Shells.Body.Lower != f.Lower {
				r.In = WordView{"others are in: " + shellName(at.Shells.Body.Upper) + ", " + shellName(at.Shells.Body.Lower), stateUnproven}
			}
		}
		out.Rows = append(out.Rows, r)
	}
	return out
}

// StudyWords is what the last gauge study of a tool found, "" when it has none.
func (t Tool) StudyWords() string {
	n := len(t.Studies)
	if n == 0 {
		return ""
	}
	return t.Studies[n-1].Body.words(nil)
}
