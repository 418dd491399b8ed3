// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"math"
	"strings"
	"time"

	"witnessmark/metrology"
	"witnessmark/scope"
)

// DatesView is when a job can start, in words.
type DatesView struct {
	Title     string // the one answer
	Risk      string
	Pacing    string
	Finish    string
	Spread    string
	Nothing   bool // is left to do
	Questions []string
	Starts    []StartView
	Waits     []WaitView
	Steps     []StepView
	Length    string
	Assumed   []string
	StartDay  string // ISO date
}

// StartView is one day to start on.
type StartView struct {
	Day, Risk, Wait string
	Chosen, Over    bool
}

// WaitView is a part or tool that is not in hand.
type WaitView struct {
	ID, Title, Comes, Waits, Reach string
}

// StepView is one step of the job with its slack.
type StepView struct {
	Title, Hours, Earliest, Latest, Slack string
	Critical                              bool
}

// ShowDates puts dates into words.
func ShowDates(d JobDates, p Planning, parts []PartSeen) DatesView {
	v := DatesView{Questions: d.questions(parts)}
	if len(d.Steps) == 0 {
		v.Nothing, v.Title = true, "Nothing of the agreed work is left to do by the record."
		return v
	}
	x := d.Dates
	v.Assumed = []string{
		"Each step takes 0.8 to 1.6 times the hours of the plan: common practice, no source.",
		"What is neither here nor on order counts as ordered today.",
		fmt.Sprintf("Drawn %d times, seed %d: the same question gives the same answer.", p.Draws, p.Seed),
	}
	if len(p.Late) == 0 {
		v.Assumed = append(v.Assumed, "A promised day holds: no supplier is known from three deliveries yet.")
	}
	v.start(d, p)
	if len(x.Pacing) > 0 && x.Pacing[0].Share > 0 {
		v.Pacing = fmt.Sprintf("%s paces the job: where anything holds the start, it does so in %s of the trials.", titleOf(x.Pacing[0].ID, d.Supplies), percent(roundTo(x.Pacing[0].Share, 2)))
	}
	v.Finish = "Done " + moment(x.Finish50) + ", as likely as not."
	v.Spread = fmt.Sprintf("1 in 10 is done before %s, 1 in 10 after %s. %s of work, give or take %s.", moment(x.Finish10), moment(x.Finish90), hours(x.Hours), hours(x.HoursSD))
	v.Length = hours(x.Length)
	reach := reachWords(&d)
	for i, r := range x.Reach {
		v.Waits = append(v.Waits, WaitView{ID: r.ID, Title: titleOf(r.ID, d.Supplies), Comes: comes(d.Supplies[i], p.Today), Waits: reach[r.ID][0], Reach: reach[r.ID][1]})
	}
	for i, s := range x.Slots {
		v.Steps = append(v.Steps, StepView{Title: StepTitle(d.Steps[i]), Hours: hours(d.Steps[i].Duration.Likely), Earliest: hours(s.EarlyStart),
			Latest: hours(s.LateStart), Slack: hours(s.Slack), Critical: s.Critical})
	}
	return v
}

// start says the day, its risk and what others would do.
func (v *DatesView) start(d JobDates, p Planning) {
	x := d.Dates
	limit := percent(p.Limit)
	switch {
	case x.Start.IsZero():
		v.Title = "No day keeps the chance of waiting within " + limit + "."
	case d.Begun && x.Start.Format(time.DateOnly) <= p.Today.String():
		v.Title = "The work has begun and can go on."
	case d.Begun:
		v.Title = "The work has begun. From " + dayWords(x.Start) + " on it can go to its end without waiting."
	default:
		v.Title = "Start on " + dayWords(x.Start) + ", or after."
	}
	if !x.Start.IsZero() {
		v.StartDay = x.Start.Format(time.DateOnly)
		v.Risk = fmt.Sprintf("Chance that the vehicle waits on the lift for a part or a tool: %s. The workshop’s limit is %s.", riskWords(x.Risk), limit)
	}
	chosen := false
	for _, s := range x.Starts {
		over := s.Risk > p.Limit
		row := StartView{Day: dayWords(s.Day.Time), Risk: percentOf(s.Risk), Wait: hours(s.MeanWait), Over: over, Chosen: !over && !chosen}
		chosen = chosen || !over
		v.Starts = append(v.Starts, row)
		if chosen && len(v.Starts) >= 3 && s.Risk < 0.005 {
			break
		}
	}
	if n := len(v.Starts); n > 15 { // the days about the one that is chosen
		from := 0
		for i, s := range v.Starts {
			if s.Chosen {
				from = max(i-9, 0)
			}
		}
		v.Starts = v.Starts[from:min(from+15, n)]
	}
}

func riskWords(p float64) string {
	if p < 0.005 {
		return "under 1 %"
	}
	return percentOf(p) + ", " + metrology.Odds(p)
}

// percentOf rounds a chance to whole percent.
func percentOf(p float64) string { return fmt.Sprintf("%.0f %%", math.Round(100*p)) }

func titleOf(id string, list []scope.Supply) string {
	for _, s := range list {
		if s.ID == id && s.Title != "" {
			return sentence(s.Title)[:len(s.Title)]
		}
	}
	return id
}

// comes says when something is expected.
func comes(s scope.Supply, today scope.Date) string {
	on := func(days float64) string { return today.Add(int(math.Ceil(max(days, 0)))).String() }
	a, b, c := on(s.Arrival.Least), on(s.Arrival.Likely), on(s.Arrival.Most)
	if a == c {
		return "on " + a
	}
	return fmt.Sprintf("likely %s, between %s and %s", b, a, c)
}

func moment(t time.Time) string { return t.Format("Mon 2006-01-02 15:04") }

// questions are what the dates do not count.
func (d JobDates) questions(parts []PartSeen) []string {
	title := func(id string) string {
		for _, p := range parts {
			if p.Part == id {
				return p.Title
			}
		}
		return id
	}
	var out []string
	for _, id := range d.NoDate {
		out = append(out, title(id)+": nobody knows when it comes. Ask, and enter the day; until then no date counts it.")
	}
	for _, o := range d.Overdue {
		out = append(out, fmt.Sprintf("%s should have come by %s. Ask for a new day; until then no date counts it.", title(o.ID), o.Last))
	}
	for _, t := range d.Shared {
		out = append(out, fmt.Sprintf("%s is promised to job %s first: the dates count it from %s.", t.Tool, t.Job, t.Free))
	}
	for _, id := range d.Unsure {
		out = append(out, title(id)+": the number on it is not the one expected. Settle that before the vehicle comes in.")
	}
	return out
}

// Clashes says which tools are promised to two jobs.
func Clashes(list []scope.Clash) []string {
	var out []string
	for _, c := range list {
		when := c.From.String()
		if c.To != c.From {
			when += " to " + c.To.String()
		}
		out = append(out, fmt.Sprintf("%s is promised to job %s and job %s, %s. Move one of them, or borrow another.", c.Tool, strings.TrimSpace(c.Jobs[0]), strings.TrimSpace(c.Jobs[1]), when))
	}
	return out
}
