// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"fmt"
	"strings"

	"witnessmark/internal/job"
	"witnessmark/units"
)

// bigEnd is one position as it was read.
type bigEnd struct {
	position     int
	found        string // as found: see clearance
	upper, lower job.WearSeen
	fitted       string // as fitted, empty: not yet
	shells       [2]string
}

// clearance reads what a strip showed: "0.051" one bar, "0.038-0.051" between
// two, "0.076+" as wide as the last bar or more, "0.038/0.051" front and rear.
func (t *teller) clearance(position int, phase, text string) job.Reading {
	r := job.Reading{Of: job.OfClearance, Phase: phase, Position: position, Gauge: "SG-1"}
	front, rear, differ := strings.Cut(text, "/")
	r.Strip = t.strip(front)
	if differ {
		r.Rear = t.strip(rear)
	}
	return r
}

func (t *teller) strip(text string) *job.StripRead {
	if low, high, ok := strings.Cut(text, "-"); ok {
		return &job.StripRead{How: job.StripBetween, A: *t.length(low + " mm"), B: t.length(high + " mm")}
	}
	if bar, ok := strings.CutSuffix(text, "+"); ok {
		return &job.StripRead{How: job.StripOrMore, A: *t.length(bar + " mm")}
	}
	return &job.StripRead{How: job.StripOne, A: *t.length(text + " mm")}
}

// asFound takes one cap off, tightens it on a strip with the old bolts, and
// looks at the shells.
func (t *teller) asFound(b bigEnd) {
	t.measuring(b.position)
	t.add("reading", t.clearance(b.position, job.AsFound, b.found))
	t.worn(b)
}

// worn enters what both shells look like, with a photo of them.
func (t *teller) worn(b bigEnd) {
	b.upper.Half, b.lower.Half = job.Upper, job.Lower
	b.upper.Position, b.lower.Position = b.position, b.position
	b.upper.Photos = t.photo(shells{lookOf(b.upper), lookOf(b.lower)}, fmt.Sprintf("Position %d: upper and lower shell", b.position))
	t.add("wear_seen", b.upper)
	t.add("wear_seen", b.lower)
}

// measuring tightens both bolts of a cap for a strip, and loosens them again.
func (t *teller) measuring(position int) {
	for _, stage := range []string{"snug", "seat", "turn"} {
		t.stage(position, job.Measuring, stage, job.OldSet, "TW-1")
	}
	t.add("fastener_loosened", job.Loosened{Fastener: "rod_bolt", Bolts: rodBolts(position)})
}

// asFitted puts the new shells in and reads a strip.
func (t *teller) asFitted(b bigEnd) {
	t.fitShells(b)
	t.measuring(b.position)
	r := t.clearance(b.position, job.AsFitted, b.fitted)
	if s, ok := stripSeen[b.fitted]; ok && b.position >= 4 {
		r.Photos = t.photo(s, fmt.Sprintf("Position %d: strip as fitted, beside its scale", b.position))
	}
	t.add("reading", r)
}

// stripSeen is what a strip looks like by what was read from it.
var stripSeen = map[string]crushed{
	"0.051-0.064": {bar: 2, more: true}, "0.064-0.076": {bar: 3, more: true}, "0.038": {bar: 1},
}

func (t *teller) fitShells(b bigEnd) {
	half := func(id string) job.Shell { return job.Shell{ID: id, Part: "INV-34-BE", Batch: "INV-2409"} }
	t.add("shell_fitted", job.ShellFitted{Position: b.position, Upper: half(b.shells[0]), Lower: half(b.shells[1]),
		OwnRodCap: true, Marks: true, Tangs: true, NotSwapped: true, OilHoles: true, BacksDry: true, Lubricated: true,
		Lubricant: "assembly oil (invented)"})
}

// final tightens new bolts through their stages, the two torque stages with
// the wrench named.
func (t *teller) final(position int, seatWith string) {
	const set = "new INV-B12"
	t.stage(position, job.Final, "snug", set, "TW-1")
	t.stage(position, job.Final, "seat", set, seatWith)
	t.stage(position, job.Final, "turn", set, "AG-1")
}

func (t *teller) stage(position int, tightening, stage, set, wrench string) {
	s := job.StageDone{Fastener: "rod_bolt", Tightening: tightening, Stage: stage, Set: set, Tool: wrench, Bolts: rodBolts(position)}
	switch stage {
	case "snug":
		s.Value = t.read(units.KindTorque, "20 Nm")
	case "seat":
		s.Value = t.read(units.KindTorque, "30 Nm")
	case "turn":
		s.Tool, s.Value = "AG-1", t.read(units.KindAngle, "90°")
	}
	t.add("stage_done", s)
}

func (t *teller) witness(position int) {
	t.add("witness_seen", job.WitnessSeen{Fastener: "rod_bolt", Bolts: rodBolts(position),
		Photos: t.photo(marks{float64(position%3) / 3}, fmt.Sprintf("Position %d: line across both bolts", position))})
}

func rodBolts(position int) []job.BoltAt {
	return []job.BoltAt{{Position: position, Bolt: "a"}, {Position: position, Bolt: "b"}}
}

// The directions in which a journal and a bore are measured.
var (
	journalAngles = []string{"0°", "45°", "90°", "135°"}
	boreAngles    = []string{"0°", "60°", "120°"}
)

// part measures a part as found, front plane and rear plane at each direction;
// without directions, at the crown.
func (t *teller) part(of string, position int, gauge string, angles []string, values ...string) {
	m := job.PartMeasured{Of: of, Phase: job.AsFound, Position: position, Gauge: gauge, CapTorqued: of == job.OfHousingBore}
	if of == job.OfUpperWall || of == job.OfLowerWall {
		m.Phase = job.AsFitted
	}
	for i, v := range values {
		c := job.PartCell{Value: *t.length(v + " mm")}
		if n := len(angles); n > 0 {
			c.Angle, c.Plane = t.read(units.KindAngle, angles[i%n]), []string{"front", "rear"}[i/n]
		}
		m.Cells = append(m.Cells, c)
	}
	t.add("part_measured", m)
}

// direct is a clearance worked out from bore, walls and journal.
func (t *teller) direct(position int, phase, value, u string) {
	t.add("reading", job.Reading{Of: job.OfClearance, Phase: phase, Position: position, Gauge: "BG-1",
		Value: t.length(value), U: t.length(u)})
}

// wear is a shell in short.
func wear(severity int, features ...string) job.WearSeen {
	return job.WearSeen{Severity: severity, Features: features}
}
