// SPDX-License-Identifier: Apache-2.0

package job

import "time"

// DatesResult is the dates of a job for programs: hours are working hours, days calendar
// days, chances from 0 to 1.
type DatesResult struct {
	Today  string       `json:"today"`
	Start  *time.Time   `json:"start"` // earliest within the limit; null when no day is
	Risk   float64      `json:"risk"`
	Limit  float64      `json:"limit"`
	Draws  int          `json:"draws"`
	Seed   uint64       `json:"seed"`
	Starts []StartLine  `json:"starts"`
	Pacing []PacingLine `json:"pacing"`
	Waits  []WaitLine   `json:"waiting_for"`

	Hours      float64   `json:"work_h"`
	HoursSD    float64   `json:"work_sd_h"`
	FinishMean time.Time `json:"finish_mean"`
	Finish10   time.Time `json:"finish_10"`
	Finish50   time.Time `json:"finish_50"`
	Finish90   time.Time `json:"finish_90"`

	CriticalHours float64       `json:"critical_path_h"`
	Steps         []StepLine    `json:"steps"`
	NoDate        []string      `json:"no_date"` // not counted: nobody knows when they come
	Overdue       []OverdueLine `json:"overdue"` // not counted: they should have come
	Assumed       []string      `json:"assumed"`
}

// StartLine is what comes of starting on a day.
type StartLine struct {
	Day  string  `json:"day"`
	Risk float64 `json:"risk"`
	Wait float64 `json:"mean_wait_h"`
}

// PacingLine is how often a supply holds the start.
type PacingLine struct {
	ID    string  `json:"id"`
	Share float64 `json:"share"`
}

// WaitLine is what is not in hand, and how far the work goes without it.
type WaitLine struct {
	ID      string   `json:"id"`
	Title   string   `json:"title"`
	Least   float64  `json:"least_d"`
	Likely  float64  `json:"likely_d"`
	Most    float64  `json:"most_d"`
	Waiting []string `json:"waiting"`
	Blocked []string `json:"blocked"`
	Can     []string `json:"can"`
	Hours   float64  `json:"can_h"`
}

// StepLine is one step with its slack.
type StepLine struct {
	ID          string  `json:"id"`
	Title       string  `json:"title"`
	Hours       float64 `json:"likely_h"`
	EarlyStart  float64 `json:"early_start_h"`
	EarlyFinish float64 `json:"early_finish_h"`
	LateStart   float64 `json:"late_start_h"`
	LateFinish  float64 `json:"late_finish_h"`
	Slack       float64 `json:"slack_h"`
	FreeSlack   float64 `json:"free_slack_h"`
	Critical    bool    `json:"critical"`
}

// OverdueLine is what should have come.
type OverdueLine struct {
	ID   string `json:"id"`
	Last string `json:"by"`
}

// Result is the dates unrounded.
func (d JobDates) Result(p Planning) DatesResult {
	x := d.Dates
	r := DatesResult{Today: p.Today.String(), Risk: x.Risk, Limit: p.Limit, Draws: p.Draws, Seed: p.Seed, Starts: []StartLine{}, Pacing: []PacingLine{}, Waits: []WaitLine{},
		Hours: x.Hours, HoursSD: x.HoursSD, FinishMean: x.FinishMean, Finish10: x.Finish10, Finish50: x.Finish50, Finish90: x.Finish90,
		CriticalHours: x.Length, Steps: []StepLine{}, NoDate: listed(d.NoDate), Overdue: []OverdueLine{},
		Assumed: []string{"durations are 0.8 to 1.6 times the plan's: common practice, no source"}}
	if !x.Start.IsZero() {
		r.Start = &x.Start
	}
	for _, s := range x.Starts {
		r.Starts = append(r.Starts, StartLine{s.Day.String(), s.Risk, s.MeanWait})
	}
	for _, q := range x.Pacing {
		r.Pacing = append(r.Pacing, PacingLine{q.ID, q.Share})
	}
	for i, q := range x.Reach {
		s := d.Supplies[i]
		r.Waits = append(r.Waits, WaitLine{q.ID, s.Title, s.Arrival.Least, s.Arrival.Likely, s.Arrival.Most, listed(q.Waiting), listed(q.Blocked), listed(q.Can), q.Hours})
	}
	for i, s := range x.Slots {
		r.Steps = append(r.Steps, StepLine{s.ID, d.Steps[i].Title, d.Steps[i].Duration.Likely, s.EarlyStart, s.EarlyFinish, s.LateStart, s.LateFinish, s.Slack, s.FreeSlack, s.Critical})
	}
	for _, o := range d.Overdue {
		r.Overdue = append(r.Overdue, OverdueLine{o.ID, o.Last.String()})
	}
	if len(p.Late) == 0 {
		r.Assumed = append(r.Assumed, "a promised day holds")
	}
	return r
}

// listed is the list, never null in JSON.
func listed(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}
