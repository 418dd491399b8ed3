// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"slices"
	"strings"
)

// Check is one of the three checks. Each includes the ones before it.
type Check string

const (
	CloseUp  Check = "close-up"
	Start    Check = "start"
	Handover Check = "handover"
)

// Checks in the order of the work.
var Checks = []Check{CloseUp, Start, Handover}

// Code says what kind of obstacle it is.
type Code string

const (
	NoSheet           Code = "no_sheet"
	NotRead           Code = "not_read"
	NotProven         Code = "not_proven"
	TooWide           Code = "too_wide"
	TooTight          Code = "too_tight"
	TaperOver         Code = "taper"
	PlayMissing       Code = "play_not_read"
	ReadUntightened   Code = "read_untightened"
	NotUnderstood     Code = "reading_not_usable"
	Questionable      Code = "reading_questioned"
	PartForm          Code = "part_form"
	Contradicted      Code = "strip_and_parts_differ"
	ShellSuspect      Code = "shell_suspect"
	JournalDamaged    Code = "journal_damaged"
	DebrisNotRead     Code = "debris_not_read"
	DebrisMetal       Code = "debris_metal"
	ShellsMissing     Code = "shells_missing"
	ShellsUnconfirmed Code = "shells_unconfirmed"
	MeasuringIn       Code = "measuring_bolts_in"
	BoltReused        Code = "bolt_used_again"
	BoltGrown         Code = "bolt_over_length"
	StageMissing      Code = "stage_missing"
	StageOrder        Code = "stage_order"
	WheelsFree        Code = "wheels_not_loaded"
	WitnessMissing    Code = "witness_missing"
	ToolOverdue       Code = "tool_overdue"
	ToolRejected      Code = "tool_rejected"
	ToolUnknown       Code = "tool_unknown"
	ToolRange         Code = "tool_out_of_range"
	TraceOdd          Code = "trace_odd"
	CureShort         Code = "cure_too_short"
	SettingMissing    Code = "setting_missing"
	SettingOut        Code = "setting_out"
	SettingNotProven  Code = "setting_not_proven"
	LookMissing       Code = "last_look_missing"
	LookUnconfirmed   Code = "last_look_unconfirmed"
	Unchecked         Code = "unchecked_value"
	PhotoMissing      Code = "photo_missing"
	RunMissing        Code = "run_step_missing"
	RunFailed         Code = "run_step_failed"
	RunOut            Code = "run_step_out"
	NoteOpen          Code = "note_open"
	ArrivalMissing    Code = "arrival_missing"
	OldPartsMissing   Code = "old_parts_missing"
	UnknownEntry      Code = "unknown_entry"
	PartMissing       Code = "part_missing"
	PartQuestioned    Code = "part_number_differs"
	PartDates         Code = "part_date_before_order"
	PartLeft          Code = "part_left_over"
	ToolNotBack       Code = "tool_not_given_back"
	OperationOff      Code = "operation_off"
	RefitUnproved     Code = "refit_unproved"
	SteeringUnchecked Code = "steering_unchecked"
	ResetMissing      Code = "reset_missing"
	FaultsUnread      Code = "faults_not_read"
	FaultsStored      Code = "faults_stored"
	WorkBeyond        Code = "work_not_agreed"
	AuthorityMissing  Code = "authority_missing"
	OverCeiling       Code = "over_ceiling"
	CurrencyMixed     Code = "currency_mixed"
	ChangeOpen        Code = "change_not_answered"
)

// Obstacle is one thing that stands in the way of a check.
type Obstacle struct {
	Key      string `json:"key"` // names it for a concession
	Code     Code   `json:"code"`
	Check    Check  `json:"check"` // the first check that it stands in the way of
	Position int    `json:"position,omitempty"`
	Cylinder string `json:"cylinder,omitempty"`
	// Of names the fastener, setting, tool, step or half that it is about.
	Of    string   `json:"of,omitempty"`
	Title string   `json:"title,omitempty"`
	Items []string `json:"items,omitempty"`
	// Clearance is the decided value where there is one.
	Clearance *Clearance `json:"value,omitempty"`
	// Others are further positions that the same obstacle is about.
	Others []int `json:"positions,omitempty"`
	// RestsOn are the entries that it rests on; a concession names them and
	// lapses when they change.
	RestsOn []int64 `json:"rests_on"`
	// Conceded is the concession that lets it stand; Refused says why the
	// latest one does not count.
	Conceded *Noted[Conceded] `json:"concession,omitempty"`
	Refused  string           `json:"concession_refused,omitempty"`
}

// Blocks reports whether it stands in the way of a check.
func (o Obstacle) Blocks(check Check) bool {
	return o.Conceded == nil && slices.Index(Checks, o.Check) <= slices.Index(Checks, check)
}

// add completes an obstacle and keeps it.
func (a *assessor) add(o Obstacle) {
	o.Cylinder = a.b.cylinder(o.Position)
	o.Key = obstacleKey(o)
	o.RestsOn = a.rests(o.RestsOn)
	a.out.Obstacles = append(a.out.Obstacles, o)
}

func obstacleKey(o Obstacle) string {
	parts := []string{string(o.Code)}
	if o.Position != 0 {
		parts = append(parts, fmt.Sprintf("position-%d", o.Position))
	}
	if o.Of != "" {
		parts = append(parts, o.Of)
	}
	return strings.Join(parts, "/")
}

// rests adds the corrections of the entries named, sorted and once each, so
// that a corrected entry is a changed one.
func (a *assessor) rests(seqs []int64) []int64 {
	out := []int64{}
	for _, s := range seqs {
		out = append(out, s)
		for _, c := range a.s.Corrected[s] {
			out = append(out, c.At.Seq)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// concede lets the obstacles stand that a valid concession names.
func (a *assessor) concede() {
	for i := range a.out.Obstacles {
		o := &a.out.Obstacles[i]
		for _, c := range a.s.Concessions {
			if c.Body.Obstacle != o.Key {
				continue
			}
			o.Conceded, o.Refused = nil, a.refuse(c, *o)
			if o.Refused == "" {
				o.Conceded = &c
			}
		}
	}
}

// Reasons why a concession does not count.
const (
	RefusedLapsed    = "lapsed"     // what it rested on has changed
	RefusedSame      = "same"       // by somebody who did the work
	RefusedRole      = "role"       // by neither an inspector nor a manager
	RefusedSignature = "signature"  // one person, and no signature of the owner
	RefusedUnknown   = "not_person" // by nobody the workshop knows
)

func (a *assessor) refuse(c Noted[Conceded], o Obstacle) string {
	rests := slices.Clone(c.Body.RestsOn)
	slices.Sort(rests)
	if !slices.Equal(slices.Compact(rests), o.RestsOn) {
		return RefusedLapsed
	}
	if a.b.Workshop.One() {
		if c.Body.Signature == "" {
			return RefusedSignature
		}
		return ""
	}
	w, ok := a.b.Workshop.Person(c.At.Person)
	switch {
	case !ok:
		return RefusedUnknown
	case w.Role != Inspector && w.Role != Manager:
		return RefusedRole
	case a.worked(c.At.Person, o):
		return RefusedSame
	}
	return ""
}

// worked reports whether the person did any of the work that the obstacle is
// about.
func (a *assessor) worked(person string, o Obstacle) bool {
	for _, w := range a.workers(o) {
		if w == person {
			return true
		}
	}
	return false
}

// workers are the people whose readings, shells and stages the obstacle is
// about.
func (a *assessor) workers(o Obstacle) []string {
	var who []string
	for _, r := range a.s.Readings {
		if o.Position != 0 && r.Body.Position == o.Position || slices.Contains(o.RestsOn, r.At.Seq) {
			who = append(who, r.At.Person)
		}
	}
	if p := a.s.Positions[o.Position]; p != nil && p.Shells != nil {
		who = append(who, p.Shells.At.Person)
	}
	for k, b := range a.s.Bolts {
		for _, t := range b.Stages {
			if o.Position != 0 && k.Position == o.Position || slices.Contains(o.RestsOn, t.At.Seq) {
				who = append(who, t.At.Person)
			}
		}
	}
	for _, set := range a.s.Settings {
		if slices.Contains(o.RestsOn, set.At.Seq) {
			who = append(who, set.At.Person)
		}
	}
	for _, g := range a.s.Gears {
		if slices.Contains(o.RestsOn, g.At.Seq) {
			who = append(who, g.At.Person)
		}
	}
	return who
}
