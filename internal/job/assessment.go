// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"

	"witnessmark/metrology"
)

// Assessment is what a job's state means against its engine sheet, the
// workshop's settings and the tool register. Its numbers are unrounded.
type Assessment struct {
	Job           string               `json:"job"`
	Family        string               `json:"family,omitempty"`
	Sheet         string               `json:"sheet,omitempty"`
	Entries       int64                `json:"entries"`
	Invented      bool                 `json:"invented,omitempty"`
	Positions     []PositionAssessment `json:"positions"`
	AllFit        *Joint               `json:"all_fit,omitempty"` // once every position is read as fitted
	EndFloat      *Clearance           `json:"end_float,omitempty"`
	FloatFound    *Clearance           `json:"end_float_found,omitempty"`
	Thrust        *Thrust              `json:"thrust_washers,omitempty"`
	Sides         []Side               `json:"side_clearances,omitempty"`
	Crush         *Crush               `json:"crush,omitempty"`          // of the sheet's shells in its housing
	CrushMeasured *MeasuredCrush       `json:"crush_measured,omitempty"` // of shells in their own housing
	Settings      []SettingAssessment  `json:"settings,omitempty"`
	Clamps        []FastenerClamp      `json:"clamp_loads,omitempty"`
	Stretches     []BoltStretch        `json:"bolt_lengths,omitempty"`
	Obstacles     []Obstacle           `json:"obstacles"`
	CloseUp       bool                 `json:"ready_to_close_up"`
	Start         bool                 `json:"ready_to_start"`
	HandOver      bool                 `json:"ready_to_hand_over"`
	HandedOver    bool                 `json:"handed_over"`
	// MainsInspected is printed with the handover.
	MainsInspected bool `json:"main_bearings_inspected"`
}

// Joint is the chance that all positions fit: as if their spreads had nothing
// in common, and the bounds whatever they have in common.
type Joint struct {
	Independent float64 `json:"independent"`
	AtLeast     float64 `json:"at_least"`
	AtMost      float64 `json:"at_most"`
}

// PositionAssessment is one big end.
type PositionAssessment struct {
	Position int        `json:"position"`
	Cylinder string     `json:"cylinder"`
	Throw    int        `json:"throw"`
	Found    *Clearance `json:"found,omitempty"`
	Fitted   *Clearance `json:"fitted,omitempty"`
	Side     *Clearance `json:"side_clearance,omitempty"` // of its throw, where rods share one
	// Parts are the measured parts, FromParts the clearance that they make,
	// Excess where a clearance that is off sits, Running the clearance hot.
	Parts     []Measured `json:"parts,omitempty"`
	FromParts *FromParts `json:"from_parts,omitempty"`
	Excess    *Excess    `json:"excess,omitempty"`
	Running   *Running   `json:"running,omitempty"`
	Bolts     []BoltSeen `json:"bolts"`
}

// Ready reports whether the check has no obstacle left that is not conceded.
func (a Assessment) Ready(check Check) bool {
	for _, o := range a.Obstacles {
		if o.Blocks(check) {
			return false
		}
	}
	return true
}

// Standing lists the obstacles that stand in the way of a check, in the order
// of the work.
func (a Assessment) Standing(check Check) []Obstacle {
	out := []Obstacle{}
	for _, o := range a.Obstacles {
		if o.Blocks(check) {
			out = append(out, o)
		}
	}
	return out
}

// Position finds one position.
func (a Assessment) Position(n int) (PositionAssessment, bool) {
	i := slices.IndexFunc(a.Positions, func(p PositionAssessment) bool { return p.Position == n })
	if i < 0 {
		return PositionAssessment{}, false
	}
	return a.Positions[i], true
}

// assessor gathers an assessment; its methods stand in the files of what they
// look at.
type assessor struct {
	s   State
	b   Basis
	out Assessment
	// read are the readings that count, as indices of s.Readings, by what they
	// are of, once asked for.
	read map[readOf][]int
	// sized are those with a number that nobody questions, by the part.
	sized map[partAt][]int
}

// Assess decides everything there is to decide about a job.
func Assess(s State, b Basis) Assessment {
	a := &assessor{s: s, b: b}
	a.out = Assessment{
		Job: s.Number, Family: s.Sheet.Family, Sheet: s.Sheet.Sheet, Entries: s.Size, Invented: s.Invented,
		Positions: []PositionAssessment{}, Obstacles: []Obstacle{},
		MainsInspected: len(s.Mains) > 0, HandedOver: s.Handover != nil,
	}
	if b.Sheet == nil {
		a.add(Obstacle{Code: NoSheet, Check: CloseUp})
	} else {
		a.out.Family, a.out.Invented = b.Sheet.Family, s.Invented || b.Sheet.Invented
		a.measure()
		a.debris()
		a.fasteners()
		a.traces()
		a.clamps()
		a.stretches()
		a.settings()
	}
	a.supply()
	a.refit()
	a.workBeyond()
	a.authority()
	a.lastLook()
	a.tools()
	a.unchecked()
	a.photos()
	a.cures()
	a.run()
	a.papers()
	a.concede()
	a.out.CloseUp, a.out.Start, a.out.HandOver = a.out.Ready(CloseUp), a.out.Ready(Start), a.out.Ready(Handover)
	return a.out
}

// measuredParts works out what was measured of a position's parts: their
// clearance beside the strip, where an excess sits, the clearance hot.
func (a *assessor) measuredParts(pa *PositionAssessment) {
	for _, of := range MeasurableParts {
		if m := a.part(of, AsFitted, pa.Position); m != nil {
			pa.Parts = append(pa.Parts, *m)
			a.formObstacle(pa.Position, *m)
		}
	}
	strip := pa.Fitted
	pa.FromParts = a.fromParts(pa.Parts)
	pa.Fitted = a.together(strip, pa.FromParts, AsFitted)
	if c := pa.Fitted; c != nil && c.Contradicted {
		b := pa.FromParts.Beside
		a.add(Obstacle{Code: Contradicted, Check: CloseUp, Position: pa.Position, Of: b.Repeat, Items: []string{b.Why}, Clearance: c, RestsOn: c.Readings})
	}
	pa.Excess = a.excess(pa.Position, strip, pa.Found, pa.Parts)
	pa.Running = a.running(pa.Fitted)
}

// measure decides the clearance of every position.
func (a *assessor) measure() {
	var within []float64
	all := true
	a.out.Crush = a.crush()
	a.out.Sides = a.sides()
	for _, p := range a.b.Sheet.Positions() {
		pa := PositionAssessment{Position: p.Number, Cylinder: p.Cylinder, Throw: p.Throw}
		pa.Found = a.clearance(OfClearance, AsFound, p.Number)
		pa.Fitted = a.clearance(OfClearance, AsFitted, p.Number)
		a.measuredParts(&pa)
		pa.Side = a.side(p.Number)
		pa.Bolts = a.bolts(p.Number)
		if pa.Fitted == nil {
			all = false
		} else {
			within = append(within, pa.Fitted.Decision.Within)
		}
		a.out.Positions = append(a.out.Positions, pa)
		a.positionObstacles(pa)
	}
	a.out.EndFloat = a.clearance(OfEndFloat, AsFitted, 0)
	a.out.CrushMeasured = a.crushMeasured()
	a.out.FloatFound = a.clearance(OfEndFloat, AsFound, 0)
	a.out.Thrust = a.thrust()
	a.playObstacles()
	if !all {
		return
	}
	if j, err := metrology.JointWithin(within); err == nil {
		a.out.AllFit = &Joint{Independent: j.Independent, AtLeast: j.AtLeast, AtMost: j.AtMost}
	}
}
