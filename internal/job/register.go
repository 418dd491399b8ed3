// SPDX-License-Identifier: Apache-2.0

package job

import (
	"time"

	"witnessmark/record"
)

// Tool is one tool of the register: the fold of its log.
type Tool struct {
	ToolAdded
	Subject      string
	Added        At
	Calibrations []Noted[ToolCalibrated]
	Tests        []Noted[ToolTested]
	Described    *Noted[ToolDescribed] // the last description
	Studies      []Noted[ToolStudied]  // gauge studies, oldest first
	Counts       []Noted[ToolCounted]
	Retired      *Noted[ToolRetired]
}

// Register is the tool register, by tool id.
type Register map[string]Tool

// FoldTool turns the log of one tool into the tool.
func FoldTool(entries []record.Entry) Tool {
	var t Tool
	var s State
	for i, body := range correct(&s, entries) {
		e := entries[i]
		t.Subject = e.Subject
		switch b := body.(type) {
		case *ToolAdded:
			t.ToolAdded, t.Added = *b, at(e)
		case *ToolCalibrated:
			t.Calibrations = append(t.Calibrations, Noted[ToolCalibrated]{At: at(e), Body: *b})
		case *ToolTested:
			t.Tests = append(t.Tests, Noted[ToolTested]{At: at(e), Body: *b})
		case *ToolDescribed:
			t.Described = &Noted[ToolDescribed]{At: at(e), Body: *b}
		case *ToolStudied:
			t.Studies = append(t.Studies, Noted[ToolStudied]{At: at(e), Body: *b})
		case *ToolCounted:
			t.Counts = append(t.Counts, Noted[ToolCounted]{At: at(e), Body: *b})
		case *ToolRetired:
			t.Retired = &Noted[ToolRetired]{At: at(e), Body: *b}
		}
	}
	return t
}

// Trust is what a tool's calibration says about its use on one day.
type Trust string

const (
	Trusted  Trust = "trusted"  // in calibration, or tested inside its tolerance since
	Overdue  Trust = "overdue"  // past its calibration on that day and not tested since
	Rejected Trust = "rejected" // tested outside its tolerance since: its work reopens
	NotKnown Trust = "not_known"
)

// TrustOn says whether a use of the tool on the day, in the workshop's own
// time zone, stands. A test after the day settles an overdue tool either way;
// a failed test reopens what was done since the last calibration or the last
// test inside tolerance before it.
func (t Tool) TrustOn(day string) Trust {
	if t.ID == "" {
		return NotKnown
	}
	if t.Expires != "" && day > t.Expires {
		return Overdue // a strip past its date can't be tested
	}
	covered := !t.NeedsCalibration
	for _, c := range t.Calibrations {
		if c.Body.Date <= day && day <= c.Body.Due {
			covered = true
		}
	}
	if t.wornOut(day) {
		covered = false
	}
	for _, test := range t.Tests {
		if test.Body.Date < day {
			continue
		}
		// The first test on or after the day decides, unless the tool was
		// calibrated in between.
		if calibratedBetween(t.Calibrations, day, test.Body.Date) {
			break
		}
		if !test.Body.Inside {
			return Rejected
		}
		return Trusted
	}
	if covered {
		return Trusted
	}
	return Overdue
}

func calibratedBetween(cs []Noted[ToolCalibrated], after, before string) bool {
	for _, c := range cs {
		if c.Body.Date > after && c.Body.Date <= before {
			return true
		}
	}
	return false
}

// Due is the day the last calibration runs out, "" when there is none.
func (t Tool) Due() string {
	due := ""
	for _, c := range t.Calibrations {
		due = max(due, c.Body.Due)
	}
	return due
}

// Day is the date of a moment in the workshop's time zone.
func Day(t time.Time, zone *time.Location) string { return t.In(zone).Format(time.DateOnly) }

// Worker is a person with a role. The name is beside the log.
type Worker struct {
	ID   string
	Role string
	Name string // commitment
	Left bool
}

// Workshop is the fold of the workshop's own log.
type Workshop struct {
	People     []Worker
	Confidence float64 // of a limit that carries none; 0: the default
	Units      string  // metric or inch
	OnePerson  bool
	Calendar   *CalendarSet // nil: nobody set it; see UsualCalendar
}

// DefaultConfidence belongs to a limit when neither the sheet nor the workshop
// says otherwise. It is marked assumed.
const DefaultConfidence = 0.80

// FoldWorkshop turns the workshop's log into its people and settings.
func FoldWorkshop(entries []record.Entry) Workshop {
	w := Workshop{Units: "metric"}
	var s State
	for _, body := range correct(&s, entries) {
		switch b := body.(type) {
		case *PersonAdded:
			w.addPerson(*b)
		case *PersonLeft:
			for i := range w.People {
				if w.People[i].ID == b.ID {
					w.People[i].Left = true
				}
			}
		case *SettingsChanged:
			w.change(*b)
		case *CalendarSet:
			w.Calendar = b
		}
	}
	return w
}

func (w *Workshop) addPerson(b PersonAdded) {
	for i := range w.People {
		if w.People[i].ID == b.ID { // a new role or name for somebody known
			w.People[i] = Worker{ID: b.ID, Role: b.Role, Name: b.Name}
			return
		}
	}
	w.People = append(w.People, Worker{ID: b.ID, Role: b.Role, Name: b.Name})
}

func (w *Workshop) change(b SettingsChanged) {
	if b.Confidence != 0 {
		w.Confidence = b.Confidence
	}
	if b.Units != "" {
		w.Units = b.Units
	}
	if b.OnePerson != nil {
		w.OnePerson = *b.OnePerson
	}
}

// Person finds a worker by id.
func (w Workshop) Person(id string) (Worker, bool) {
	for _, p := range w.People {
		if p.ID == id {
			return p, true
		}
	}
	return Worker{}, false
}

// One reports whether the workshop has one person only, who then can't have a
// second one look: by its own word, or because the log knows only one.
func (w Workshop) One() bool {
	n := 0
	for _, p := range w.People {
		if !p.Left && p.Role != Office {
			n++
		}
	}
	return w.OnePerson || n == 1
}
