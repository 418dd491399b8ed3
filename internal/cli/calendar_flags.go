// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"time"

	"github.com/spf13/pflag"

	"witnessmark/internal/job"
	"witnessmark/scope"
)

// calendarFlags are the working hours of a command that reckons with days.
type calendarFlags struct {
	hours, saturday, zone string
	off                   []string
}

func (f *calendarFlags) add(fl *pflag.FlagSet) {
	fl.StringVar(&f.hours, "hours", "08:00-12:00, 13:00-17:00", "working hours, Monday to Friday")
	fl.StringVar(&f.saturday, "saturday", "", "working hours on Saturday")
	fl.StringSliceVar(&f.off, "off", nil, "days off, such as 2026-04-03,2026-04-06")
	fl.StringVar(&f.zone, "zone", "UTC", "time zone, such as Europe/Vienna")
}

func (f *calendarFlags) calendar() (scope.Calendar, error) {
	zone, err := time.LoadLocation(f.zone)
	if err != nil {
		return scope.Calendar{}, err
	}
	set := job.CalendarSet{Week: [7]string{1: f.hours, 2: f.hours, 3: f.hours, 4: f.hours, 5: f.hours, 6: f.saturday}, Off: f.off}
	c, err := set.Calendar(zone)
	if err != nil {
		return c, err
	}
	return c, c.Check()
}
