// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"witnessmark/bearing"
	"witnessmark/engine"
	"witnessmark/metrology"
	"witnessmark/units"
)

// Thrust is the choice of thrust washers or shims: what the crankshaft and the
// washers that are in leave between them, and the end float that others would
// make. Lengths in millimetres.
type Thrust struct {
	Phase    string         `json:"phase"` // of the washers and the end float that it rests on
	Washers  []ThrustPiece  `json:"washers_in"`
	FloatMM  float64        `json:"end_float_mm"`
	GapMM    float64        `json:"gap_mm"`
	GapU     float64        `json:"gap_u_mm"`
	From     string         `json:"washers_from"` // sheet or typed
	Choices  []ThrustChoice `json:"choices"`      // nearest to the middle of the limits first
	RestsOn  []int64        `json:"rests_on"`
	MiddleMM float64        `json:"middle_of_limits_mm"`
	NeededMM float64        `json:"thickness_for_the_middle_mm"` // of all of them together
}

// ThrustPiece is one washer.
type ThrustPiece struct {
	ID          string  `json:"id,omitempty"`
	ThicknessMM float64 `json:"thickness_mm"`
	U           float64 `json:"standard_uncertainty_mm"`
}

// ThrustChoice is one way to fit washers with the end float that it would make.
type ThrustChoice struct {
	Washers    []ThrustPiece `json:"washers"`
	EndFloatMM float64       `json:"end_float_mm"`
	U          float64       `json:"standard_uncertainty_mm"`
	Decision   Decision      `json:"decision"`
}

// Where thicknesses to choose from come from.
const (
	FromSheet = "sheet"
	FromTyped = "typed"
)

// Why no washers can be chosen.
var (
	errNoFloatLimits = errors.New("the engine sheet has no lower and upper limit of the end float, so there is no middle to aim at")
	errNoWashersIn   = errors.New("which thrust washers are in is not on record")
	errNoFloat       = errors.New("the end float was not read with these washers in")
	errNoThicknesses = errors.New("no thicknesses to choose from")
)

// thrust chooses among the sheet's washers; nil while something is missing.
func (a *assessor) thrust() *Thrust {
	t, err := a.chooseThrust(nil)
	if err != nil {
		return nil
	}
	return t
}

// ChooseThrust chooses among thicknesses that somebody typed; among the sheet's
// when there are none.
func ChooseThrust(s State, b Basis, typed []units.Read) (*Thrust, error) {
	if b.Sheet == nil {
		return nil, errNoFloatLimits
	}
	return (&assessor{s: s, b: b}).chooseThrust(typed)
}

func (a *assessor) chooseThrust(typed []units.Read) (*Thrust, error) {
	limits := a.b.Sheet.EndFloat.Bounds()
	lo, hi := limits.Range()
	if !limits.Given() || math.IsInf(lo, 0) || math.IsInf(hi, 0) {
		return nil, errNoFloatLimits
	}
	in, float, err := a.washersIn()
	if err != nil {
		return nil, err
	}
	t := &Thrust{Phase: in.Body.Phase, FloatMM: float.ValueMM, From: FromSheet, Choices: []ThrustChoice{},
		RestsOn: append([]int64{in.At.Seq}, float.Readings...)}
	var present []bearing.Estimate
	for _, w := range in.Body.Washers {
		m := direct(Reading{Value: &w.Thickness}, a.b.Tools[in.Body.Gauge])
		e := bearing.Estimate{Value: m.Value, U: m.StandardUncertainty()}
		present = append(present, e)
		t.Washers = append(t.Washers, ThrustPiece{w.ID, e.Value, e.U})
	}
	gap, err := bearing.FloatGap(bearing.Estimate{Value: float.ValueMM, U: float.standard()}, present...)
	if err != nil {
		return nil, err
	}
	t.GapMM, t.GapU = gap.Value, gap.U
	pieces := a.sheetWashers()
	if len(typed) > 0 {
		pieces, t.From = typedWashers(typed), FromTyped
	}
	if len(pieces) == 0 {
		return nil, errNoThicknesses
	}
	t.MiddleMM = bearing.Limits{Min: lo, Max: hi}.Mid()
	t.NeededMM = bearing.NeededThickness(gap.Value, bearing.Limits{Min: lo, Max: hi})
	return t, t.choose(a, gap, limits, pieces)
}

// choose lists the ways with the verdict of each.
func (t *Thrust) choose(a *assessor, gap bearing.Estimate, limits engine.Bounds, pieces []ThrustPiece) error {
	var washers []bearing.Washer
	for i, p := range pieces {
		washers = append(washers, bearing.Washer{ID: fmt.Sprint(i), Thickness: bearing.Estimate{Value: p.ThicknessMM, U: p.U}})
	}
	count := len(t.Washers)
	if n := a.b.Sheet.Thrust.Fitted; n > 0 {
		count = n
	}
	lo, hi := limits.Range()
	ways, err := bearing.ChooseWashers(gap, bearing.Limits{Min: lo, Max: hi}, washers, count)
	if err != nil {
		return err
	}
	for _, w := range ways {
		c := ThrustChoice{EndFloatMM: w.EndFloat.Value, U: w.EndFloat.U, Decision: decision(metrology.Direct(w.EndFloat.Value, w.EndFloat.U), limits, a.b)}
		for _, id := range w.IDs {
			i := slices.IndexFunc(washers, func(x bearing.Washer) bool { return x.ID == id })
			c.Washers = append(c.Washers, pieces[i])
		}
		t.Choices = append(t.Choices, c)
	}
	return nil
}

// washersIn are the washers on record last, and the end float that was read
// with them in.
func (a *assessor) washersIn() (Noted[ThrustWashers], *Clearance, error) {
	n := len(a.s.Thrust)
	if n == 0 {
		return Noted[ThrustWashers]{}, nil, errNoWashersIn
	}
	in := a.s.Thrust[n-1]
	quiet := &assessor{s: a.s, b: a.b} // what it questions is an obstacle already
	phases := []string{AsFitted}
	if in.Body.Phase == AsFound {
		phases = []string{AsFound, AsFitted}
	}
	for _, phase := range phases {
		if c := quiet.clearance(OfEndFloat, phase, 0); c != nil && c.Side == "" {
			return in, c, nil
		}
	}
	return in, nil, errNoFloat
}

// thrustSince is the entry from which on readings of the end float are with the
// washers that are in now.
func (s *State) thrustSince() int64 {
	for i := len(s.Thrust) - 1; i >= 0; i-- {
		if s.Thrust[i].Body.Phase == AsFitted {
			return s.Thrust[i].At.Seq
		}
	}
	return 0
}

// sheetWashers are the thicknesses of the sheet; the limits of one are taken as
// equally likely all the way between.
func (a *assessor) sheetWashers() []ThrustPiece {
	var out []ThrustPiece
	for _, w := range a.b.Sheet.Thrust.Washers {
		mid, ok := w.Thickness.Mid()
		if !ok {
			continue
		}
		m := metrology.Measurement{Value: mid}
		if lo, hi := w.Thickness.Range(); !math.IsInf(lo, 0) && !math.IsInf(hi, 0) {
			m.HalfWidth = hi - mid
		}
		out = append(out, ThrustPiece{w.ID, mid, m.StandardUncertainty()})
	}
	return out
}

// typedWashers are as sure as they were written.
func typedWashers(typed []units.Read) []ThrustPiece {
	var out []ThrustPiece
	for _, r := range typed {
		m := metrology.Measurement{Value: r.Value, HalfWidth: r.Resolution / 2}
		out = append(out, ThrustPiece{"", m.Value, m.StandardUncertainty()})
	}
	return out
}
