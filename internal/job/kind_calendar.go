// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"strings"
	"time"

	"witnessmark/scope"
)

// CalendarSet is when the workshop works, and with how many people and lifts.
type CalendarSet struct {
	// Week is Sunday to Saturday, each such as "08:00-12:00, 13:00-17:00";
	// empty: nobody works.
	Week      [7]string `json:"week"`
	Off       []string  `json:"off,omitempty"` // dates
	People    int       `json:"people"`
	Lifts     int       `json:"lifts"`
	WaitLimit float64   `json:"wait_limit,omitempty"` // chance of a vehicle waiting on the lift; 0: the usual
}

func (b *CalendarSet) check() error {
	if b.People < 1 || b.People > 200 || b.Lifts < 1 || b.Lifts > 200 {
		return fmt.Errorf("%d people and %d lifts: write 1 or more of each", b.People, b.Lifts)
	}
	if b.WaitLimit < 0 || b.WaitLimit > 0.5 {
		return fmt.Errorf("limit %g on waiting: write a value from 0.1 %% to 50 %%, such as 5 %%", b.WaitLimit)
	}
	c, err := b.Calendar(nil)
	if err != nil {
		return err
	}
	return c.Check()
}

func (b *CalendarSet) apply(*State, At) {}

func (b *CalendarSet) words(PositionNamer) string {
	return fmt.Sprintf("Working calendar set: %s, %s.", count(b.People, "person", "people"), count(b.Lifts, "lift", "lifts"))
}

// Calendar is what was set, in the workshop's time zone.
func (b *CalendarSet) Calendar(zone *time.Location) (scope.Calendar, error) {
	c := scope.Calendar{Zone: zone}
	for day, text := range b.Week {
		shifts, err := parseShifts(text)
		if err != nil {
			return c, fmt.Errorf("%s: %w", time.Weekday(day), err)
		}
		c.Week[day] = shifts
	}
	for _, text := range b.Off {
		t, err := time.Parse(time.DateOnly, text)
		if err != nil {
			return c, fmt.Errorf("day off %q is no date: write it as 2026-12-24", text)
		}
		c.Off = append(c.Off, scope.DateOf(t))
	}
	return c, nil
}

func parseShifts(text string) ([]scope.Shift, error) {
	var out []scope.Shift
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' }) {
		from, to, ok := strings.Cut(strings.NewReplacer("–", "-", " to ", "-").Replace(strings.TrimSpace(part)), "-")
		a, errA := clockTime(from)
		b, errB := clockTime(to)
		if !ok || errA != nil || errB != nil {
			return nil, fmt.Errorf("hours %q: write them as 08:00-12:00, 13:00-17:00", strings.TrimSpace(part))
		}
		out = append(out, scope.Shift{From: a, To: b})
	}
	return out, nil
}

func clockTime(text string) (time.Duration, error) {
	text = strings.TrimSpace(text)
	if text == "24:00" {
		return 24 * time.Hour, nil
	}
	t, err := time.Parse("15:04", text)
	return time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute, err
}

// UsualCalendar is what holds until a workshop sets its own: assumed.
func UsualCalendar() CalendarSet {
	const day = "08:00-12:00, 13:00-17:00"
	return CalendarSet{Week: [7]string{1: day, 2: day, 3: day, 4: day, 5: day}, People: 1, Lifts: 1, WaitLimit: UsualWaitLimit}
}

// UsualWaitLimit is the chance of a vehicle waiting on the lift that a
// workshop lives with unless it says otherwise: assumed.
const UsualWaitLimit = 0.05

// StartPlanned is the day on which a person means the vehicle to come in.
type StartPlanned struct {
	On string `json:"on,omitempty"` // date; empty: as the schedule proposes
	// Hours are left by eye, for a job without a plan.
	Hours  float64 `json:"hours,omitempty"`
	Reason string  `json:"reason,omitempty"`
}

func (b *StartPlanned) check() error {
	if !(b.Hours >= 0 && b.Hours <= 1000) {
		return fmt.Errorf("%g hours: write how many are left, 0 to 1000", b.Hours)
	}
	return firstError(checkMaybeDate("on", b.On), checkLength("reason", b.Reason))
}

func (b *StartPlanned) apply(s *State, at At) {
	n := &Noted[StartPlanned]{At: at, Body: *b}
	if n.Body.Hours == 0 && s.Planned != nil { // only the day is new
		n.Body.Hours = s.Planned.Body.Hours
	}
	s.Planned = n
}

func (b *StartPlanned) words(PositionNamer) string {
	w := "Start planned for " + b.On + "."
	if b.On == "" {
		w = "The start is left to the schedule."
	}
	if b.Hours > 0 {
		w += " About " + hours(b.Hours) + " are left, by eye."
	}
	if b.Reason != "" {
		w += " " + sentence(b.Reason)
	}
	return w
}
