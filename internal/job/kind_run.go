// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"

	"witnessmark/units"
)

// LastLook is the last look inside before the engine is closed.
type LastLook struct {
	NothingLeft   bool     `json:"nothing_left_inside"`
	ToolsCounted  bool     `json:"tools_counted"`
	RagsCounted   bool     `json:"rags_counted"`
	PassagesClear bool     `json:"passages_open_and_oiled"`
	Remark        string   `json:"remark,omitempty"`
	Photos        []string `json:"photos,omitempty"`
}

func (b *LastLook) check() error {
	return firstError(checkLength("remark", b.Remark), checkCommitments("photo", b.Photos))
}

func (b *LastLook) apply(s *State, at At) {
	s.LastLook = &Noted[LastLook]{At: at, Body: *b}
	s.addPhotos(at, b.Photos)
}

// Missing lists what was not confirmed.
func (b *LastLook) Missing() []string {
	var m []string
	for _, c := range []struct {
		ok   bool
		what string
	}{{b.NothingLeft, "nothing left inside"}, {b.ToolsCounted, "tools counted"},
		{b.RagsCounted, "rags counted"}, {b.PassagesClear, "passages open and oiled"}} {
		if !c.ok {
			m = append(m, c.what)
		}
	}
	return m
}

func (b *LastLook) words(PositionNamer) string {
	if m := b.Missing(); len(m) > 0 {
		return "Last look inside. Not confirmed: " + list(m) + "."
	}
	return "Last look inside: nothing left in, tools and rags counted, passages open and oiled."
}

// Steps of running the engine for the first time.
const (
	StepPrime        = "prime" // starting disabled until there is pressure
	StepFirstStart   = "first_start"
	StepPressureCold = "oil_pressure_cold"
	StepPressureHot  = "oil_pressure_hot"
	StepHeatCycle    = "heat_cycle"
	StepLeakCheck    = "leak_check"
	StepLevel        = "level"
)

// RunSteps are the steps in the order they come.
var RunSteps = []string{StepPrime, StepFirstStart, StepPressureCold, StepPressureHot, StepHeatCycle, StepLeakCheck, StepLevel}

// RunStep is one of them, as it went.
type RunStep struct {
	Step   string      `json:"step"`
	OK     bool        `json:"ok"`
	Value  *units.Read `json:"value,omitempty"` // oil pressure, or the level
	Point  string      `json:"point,omitempty"` // id of the pressure point in the engine sheet
	After  string      `json:"after,omitempty"` // what a level was read after
	Remark string      `json:"remark,omitempty"`
	Photos []string    `json:"photos,omitempty"`
}

func (b *RunStep) check() error {
	if b.Value == nil && (b.Step == StepPressureCold || b.Step == StepPressureHot) && b.OK {
		return errors.New("oil pressure: write what the gauge showed, such as 2.1 bar")
	}
	if b.Step == StepPressureCold || b.Step == StepPressureHot {
		if err := checkKind("oil pressure", b.Value, units.KindPressure); err != nil {
			return err
		}
	}
	return firstError(checkOneOf("step", b.Step, RunSteps...), checkLength("after", b.After),
		checkLength("remark", b.Remark), checkCommitments("photo", b.Photos))
}

func (b *RunStep) apply(s *State, at At) {
	s.Run = append(s.Run, Noted[RunStep]{At: at, Body: *b})
	s.addPhotos(at, b.Photos)
}

var stepWords = map[string]string{
	StepPrime: "primed with starting disabled until there was pressure", StepFirstStart: "first start",
	StepPressureCold: "oil pressure cold", StepPressureHot: "oil pressure hot",
	StepHeatCycle: "heat cycle", StepLeakCheck: "leak check", StepLevel: "level checked",
}

func (b *RunStep) words(PositionNamer) string {
	w := "Run: " + stepWords[b.Step]
	if b.Point != "" {
		w += " (" + plainWord(b.Point) + ")"
	}
	if b.Value != nil {
		w += ", " + readText(*b.Value)
	}
	if b.After != "" {
		w += ", after " + b.After
	}
	if !b.OK {
		w += ": not in order"
	}
	if b.Remark != "" {
		return w + ". " + b.Remark
	}
	return w + "."
}

// FollowUp is what happens after handover.
type FollowUp struct {
	What     string      `json:"what"` // running_in, oil_change, torque_recheck, warranty, call
	Odometer *units.Read `json:"odometer,omitempty"`
	Finding  string      `json:"finding,omitempty"`
	OK       bool        `json:"ok"`
	Photos   []string    `json:"photos,omitempty"`
}

func (b *FollowUp) check() error {
	return firstError(checkOneOf("follow-up", b.What, "running_in", "oil_change", "torque_recheck", "warranty", "call"),
		checkKind("odometer", b.Odometer, units.KindDistance), checkLength("finding", b.Finding), checkCommitments("photo", b.Photos))
}

func (b *FollowUp) apply(s *State, at At) {
	s.FollowUps = append(s.FollowUps, Noted[FollowUp]{At: at, Body: *b})
	s.addPhotos(at, b.Photos)
}

var followWords = map[string]string{
	"running_in": "running-in", "oil_change": "first oil and filter change",
	"torque_recheck": "torque recheck", "warranty": "warranty", "call": "call",
}

func (b *FollowUp) words(PositionNamer) string {
	w := "Follow-up, " + followWords[b.What]
	if b.Odometer != nil {
		w += " at " + readText(*b.Odometer)
	}
	if b.Finding != "" {
		return w + ": " + b.Finding
	}
	return w + "."
}
