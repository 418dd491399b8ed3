// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"time"

	"witnessmark/units"
)

// registerKinds are the kinds of the tool logs and of the workshop's log.
func registerKinds() []Kind {
	kinds := []Kind{
		kind[ToolAdded]("tool_added", 1, "Tool added"),
		kind[ToolCalibrated]("tool_calibrated", 1, "Tool calibrated"),
		kind[ToolTested]("tool_tested", 1, "Tool tested"),
		kind[ToolDescribed]("tool_described", 1, "Tool described"),
		kind[ToolStudied]("tool_studied", 1, "Gauge study"),
		kind[ToolCounted]("tool_counted", 1, "Tool's cycles counted"),
		kind[ToolRetired]("tool_retired", 1, "Tool retired"),
		kind[PersonAdded]("person_added", 1, "Person added"),
		kind[PersonLeft]("person_left", 1, "Person left"),
		kind[KeyRenewed]("key_renewed", 1, "Key renewed"),
		kind[SettingsChanged]("settings_changed", 1, "Workshop settings changed"),
		kind[CalendarSet]("calendar_set", 1, "Working calendar set"),
	}
	for i := range kinds {
		kinds[i].Job = false
	}
	return kinds
}

// Kinds of tool in the register.
var ToolKinds = []string{
	"strip_gauge", "micrometer", "bore_gauge", "tube_micrometer", "dial_indicator", "feeler_gauge",
	"depth_gauge", "stretch_gauge", "torque_wrench", "angle_gauge", "pressure_gauge", RoughnessGauge, "other",
}

// ToolAdded puts a tool into the register.
type ToolAdded struct {
	ID    string `json:"id"`
	Kind  string `json:"kind"`
	Title string `json:"title"`
	// Graduations of a strip gauge's sleeve, as printed.
	Graduations []units.Read `json:"graduations,omitempty"`
	Batch       string       `json:"batch,omitempty"`
	Expires     string       `json:"expires,omitempty"` // date
	Low         *units.Read  `json:"low,omitempty"`     // range
	High        *units.Read  `json:"high,omitempty"`
	Resolution  *units.Read  `json:"resolution,omitempty"`
	// U is the standard uncertainty of one reading, where it is known.
	U *units.Read `json:"u,omitempty"`
	// TolerancePercent is the permissible deviation of a torque tool.
	TolerancePercent float64 `json:"tolerance_percent,omitempty"`
	NeedsCalibration bool    `json:"needs_calibration,omitempty"`

	TorqueTool
}

func (b *ToolAdded) check() error {
	if b.TolerancePercent < 0 || b.TolerancePercent > 50 {
		return fmt.Errorf("tolerance %g %%: write a value from 0 to 50", b.TolerancePercent)
	}
	if b.Expires != "" {
		if err := checkDate("expiry", b.Expires); err != nil {
			return err
		}
	}
	for i := range b.Graduations {
		if err := checkKind("graduation", &b.Graduations[i], units.KindLength); err != nil {
			return err
		}
		if i > 0 && b.Graduations[i].Value <= b.Graduations[i-1].Value {
			return fmt.Errorf("graduation %s after %s: write them from narrow to wide clearance", b.Graduations[i].Text, b.Graduations[i-1].Text)
		}
	}
	return firstError(checkText("tool id", b.ID), checkOneOf("kind of tool", b.Kind, ToolKinds...), checkText("title", b.Title), b.checkTorque())
}

func (b *ToolAdded) apply(*State, At) {}

func (b *ToolAdded) words(PositionNamer) string { return b.ID + ": " + b.Title + " added." }

// ToolCalibrated records a calibration.
type ToolCalibrated struct {
	Date        string      `json:"date"`
	Due         string      `json:"due"`
	By          string      `json:"by,omitempty"`
	Certificate string      `json:"certificate,omitempty"`
	U           *units.Read `json:"expanded_u,omitempty"`
	K           float64     `json:"coverage_factor,omitempty"`
}

func (b *ToolCalibrated) check() error {
	if err := firstError(checkDate("date", b.Date), checkDate("due", b.Due)); err != nil {
		return err
	}
	if b.Due <= b.Date {
		return fmt.Errorf("due %s is not after the calibration of %s", b.Due, b.Date)
	}
	return firstError(checkLength("by", b.By), checkLength("certificate", b.Certificate))
}

func (b *ToolCalibrated) apply(*State, At) {}

func (b *ToolCalibrated) words(PositionNamer) string {
	return "Calibrated " + b.Date + ", due " + b.Due + "."
}

// ToolTested records a test of a tool whose calibration had run out. Inside
// its tolerance, what was done with it stands; outside, it reopens.
type ToolTested struct {
	Date   string `json:"date"`
	Inside bool   `json:"inside_tolerance"`
	Remark string `json:"remark,omitempty"`
}

func (b *ToolTested) check() error {
	return firstError(checkDate("date", b.Date), checkLength("remark", b.Remark))
}

func (b *ToolTested) apply(*State, At) {}

func (b *ToolTested) words(PositionNamer) string {
	if b.Inside {
		return "Tested " + b.Date + ": inside its tolerance. What was done with it stands."
	}
	return "Tested " + b.Date + ": outside its tolerance. What was done with it reopens."
}

// ToolRetired takes a tool out of use; its history stays.
type ToolRetired struct {
	Reason string `json:"reason"`
}

func (b *ToolRetired) check() error               { return checkText("reason", b.Reason) }
func (b *ToolRetired) apply(*State, At)           {}
func (b *ToolRetired) words(PositionNamer) string { return "Retired: " + b.Reason }

// Roles that a person can have.
const (
	Technician = "technician"
	Inspector  = "inspector"
	Office     = "office"
	Manager    = "manager"
)

// Roles in the order in which they are offered.
var Roles = []string{Technician, Inspector, Office, Manager}

// PersonAdded gives a person a role. The name is a salted blob beside the log.
type PersonAdded struct {
	ID   string `json:"id"`
	Role string `json:"role"`
	Name string `json:"name"` // commitment
}

func (b *PersonAdded) check() error {
	return firstError(checkText("person id", b.ID), checkOneOf("role", b.Role, Roles...), checkCommitment("name", b.Name))
}

func (b *PersonAdded) apply(*State, At) {}

func (b *PersonAdded) words(PositionNamer) string {
	return "Person " + b.ID + " added as " + b.Role + "."
}

// PersonLeft ends a person's access; what they recorded stays.
type PersonLeft struct {
	ID string `json:"id"`
}

func (b *PersonLeft) check() error               { return checkText("person id", b.ID) }
func (b *PersonLeft) apply(*State, At)           {}
func (b *PersonLeft) words(PositionNamer) string { return "Person " + b.ID + " has left." }

// SettingsChanged sets what the workshop decides for itself.
type SettingsChanged struct {
	Confidence float64 `json:"confidence,omitempty"` // 0: as before
	Units      string  `json:"units,omitempty"`      // metric or inch
	OnePerson  *bool   `json:"one_person,omitempty"`
	Reason     string  `json:"reason,omitempty"`
}

func (b *SettingsChanged) check() error {
	if b.Confidence != 0 && (b.Confidence < 0.5 || b.Confidence > 0.9999) {
		return fmt.Errorf("confidence %g: write a value from 0.5 to 0.9999, such as 0.80", b.Confidence)
	}
	if b.Units != "" {
		return checkOneOf("units", b.Units, "metric", "inch")
	}
	return checkLength("reason", b.Reason)
}

func (b *SettingsChanged) apply(*State, At) {}

func (b *SettingsChanged) words(PositionNamer) string { return "Workshop settings changed." }

func checkDate(what, got string) error {
	if _, err := time.Parse(time.DateOnly, got); err != nil {
		return fmt.Errorf("%s %q is no date: write it as 2026-03-31", what, got)
	}
	return nil
}
