// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"errors"
	"fmt"
	"slices"
	"time"
)

// Shift is working time within a day, from and to counted from midnight.
type Shift struct{ From, To time.Duration }

// Calendar is when a workshop works.
type Calendar struct {
	Zone *time.Location // of the workshop; nil is UTC
	Week [7][]Shift     // by time.Weekday; Sunday is 0
	Off  []Date         // holidays and days off
}

// FiveDays is a calendar of Monday to Friday with one break.
func FiveDays(from, breakFrom, breakTo, to time.Duration) Calendar {
	var c Calendar
	for day := time.Monday; day <= time.Friday; day++ {
		c.Week[day] = []Shift{{from, breakFrom}, {breakTo, to}}
	}
	return c
}

// Check refuses shifts that overlap, leave the day or are never.
func (c Calendar) Check() error {
	any := false
	for day, shifts := range c.Week {
		at := time.Duration(0)
		for _, s := range shifts {
			if s.From < at || s.To <= s.From || s.To > 24*time.Hour {
				return fmt.Errorf("scope: %s: the shift from %s to %s overlaps, is empty or leaves the day", time.Weekday(day), s.From, s.To)
			}
			at, any = s.To, true
		}
	}
	if !any {
		return errors.New("scope: the calendar has no working hours")
	}
	return nil
}

// HoursOn is how many hours are worked on a day.
func (c Calendar) HoursOn(d Date) float64 {
	if slices.ContainsFunc(c.Off, func(off Date) bool { return off.Equal(d.Time) }) {
		return 0
	}
	sum := 0.0
	for _, s := range c.Week[d.Weekday()] {
		sum += (s.To - s.From).Hours()
	}
	return sum
}

// at is the moment so many working hours after a day's opening, the earlier
// one if it falls on the end of a shift.
func (c Calendar) at(d Date, h float64) time.Time {
	clock := time.Duration(0)
	for _, s := range c.Week[d.Weekday()] {
		clock = s.From
		length := (s.To - s.From).Hours()
		if h <= length+1e-9 {
			clock += time.Duration(h * float64(time.Hour)).Round(time.Minute)
			break
		}
		clock = s.To
		h -= length
	}
	zone := c.Zone
	if zone == nil {
		zone = time.UTC
	}
	y, m, day := d.Date()
	return time.Date(y, m, day, 0, int(clock/time.Minute), 0, 0, zone)
}

// Timeline counts working hours from the opening of a first day.
type Timeline struct {
	cal   Calendar
	first Date
	open  []float64 // working hours before each day
}

// maxDays bounds a timeline: thirty years.
const maxDays = 11_000

// NewTimeline starts to count at the opening of first.
func NewTimeline(c Calendar, first Date) (*Timeline, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	return &Timeline{cal: c, first: first, open: []float64{0}}, nil
}

// Opening is how many working hours there are before day n, from 0.
func (t *Timeline) Opening(n int) float64 {
	n = min(max(n, 0), maxDays)
	for len(t.open) <= n {
		i := len(t.open) - 1
		t.open = append(t.open, t.open[i]+t.cal.HoursOn(t.first.Add(i)))
	}
	return t.open[n]
}

// dayOf is the day on which hour h ends: the last with fewer hours before it.
func (t *Timeline) dayOf(h float64) (int, error) {
	for n := 0; n < maxDays; n++ {
		if t.Opening(n+1) >= h-1e-9 && t.Opening(n+1) > t.Opening(n) {
			return n, nil
		}
	}
	return 0, fmt.Errorf("scope: %.0f working hours do not fit into thirty years of the calendar", h)
}

// End is the moment at which h working hours have been worked.
func (t *Timeline) End(h float64) (time.Time, error) {
	n, err := t.dayOf(h)
	if err != nil {
		return time.Time{}, err
	}
	return t.cal.at(t.first.Add(n), h-t.Opening(n)), nil
}

// Start is the moment at which the next hour after h begins.
func (t *Timeline) Start(h float64) (time.Time, error) {
	n, err := t.dayOf(h)
	if err != nil {
		return time.Time{}, err
	}
	if h >= t.Opening(n+1)-1e-9 {
		if n, err = t.dayOf(h + 1e-6); err != nil {
			return time.Time{}, err
		}
		h = t.Opening(n)
	}
	d, rest := t.first.Add(n), h-t.Opening(n)
	for _, s := range t.cal.Week[d.Weekday()] { // at the end of a shift the next one's opening
		length := (s.To - s.From).Hours()
		if rest < length-1e-9 {
			y, m, day := d.Date()
			at := s.From + time.Duration(max(rest, 0)*float64(time.Hour)).Round(time.Minute)
			return time.Date(y, m, day, 0, int(at/time.Minute), 0, 0, t.cal.at(d, 0).Location()), nil
		}
		rest -= length
	}
	return t.cal.at(d, h-t.Opening(n)), nil
}
