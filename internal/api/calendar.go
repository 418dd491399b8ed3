// SPDX-License-Identifier: Apache-2.0

package api

import (
	"context"
	"time"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// NewCalendar is when the workshop works from now on.
type NewCalendar struct {
	ID         string    `json:"id" maxLength:"26" doc:"of the entry, a ULID: sent twice it counts once"`
	DeviceTime time.Time `json:"device_time"`
	Week       [7]string `json:"week" doc:"Sunday to Saturday, such as 08:00-12:00, 13:00-17:00; empty: nobody works"`
	Off        []string  `json:"off,omitempty" doc:"days off, such as 2026-12-24"`
	People     int       `json:"people" doc:"who work on vehicles"`
	Lifts      int       `json:"lifts"`
	WaitLimit  float64   `json:"wait_limit,omitempty" doc:"chance of a vehicle waiting on its lift, 0 to 0.5; left out: 0.05"`
}

type calendarInput struct {
	Body NewCalendar
}

func (s *server) setCalendar(ctx context.Context, in *calendarInput) (*keptOutput, error) {
	b := in.Body
	return s.keep(ctx, shop.Input{ID: b.ID, Subject: record.Workshop, Kind: "calendar_set", DeviceTime: b.DeviceTime,
		Body: job.CalendarSet{Week: b.Week, Off: b.Off, People: b.People, Lifts: b.Lifts, WaitLimit: b.WaitLimit}})
}
