// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"witnessmark/scope"
)

// FloorLine is an open job for the calendar.
type FloorLine struct {
	ID, Number, Vehicle string
	Hours               float64 // left; 0: not known, it has no agreed work
	Begun               bool
	Promised            []string // parts and the days they are promised for
}

// FloorView is the open jobs on the lifts, in words.
type FloorView struct {
	Rows    []FloorRow
	Without []FloorRow
	Sum     string // how long all takes, beside the bound
	Clash   string
	Days    []FloorDay
	Means   string // lifts and people
}

// FloorRow is one job with when it is on its lift.
type FloorRow struct {
	ID, Number, Vehicle string
	Start, End          string
	How                 string
	Left                string
	Promised            []string
}

// FloorDay is one day of the calendar with what is on it.
type FloorDay struct {
	Day   string
	Jobs  []string
	Parts []string
}

// ShowFloor puts a schedule into words. The lines that have hours are those of
// the plan, in its order; the others come without a day.
func ShowFloor(p scope.FloorPlan, lines []FloorLine, set CalendarSet) FloorView {
	v := FloorView{Means: count(set.Lifts, "lift", "lifts") + ", " + count(set.People, "person", "people")}
	cal, err := set.Calendar(nil)
	days := map[string]*FloorDay{}
	day := func(t string) *FloorDay {
		if days[t] == nil {
			days[t] = &FloorDay{Day: t}
		}
		return days[t]
	}
	i := 0
	for _, l := range lines {
		row := FloorRow{ID: l.ID, Number: l.Number, Vehicle: l.Vehicle, Promised: l.Promised}
		if l.Hours == 0 || i >= len(p.Slots) {
			v.Without = append(v.Without, row)
			continue
		}
		s := p.Slots[i]
		i++
		row.Start, row.End, row.Left = moment(s.Start), moment(s.End), hours(l.Hours)+" left"
		switch {
		case s.Planned:
			row.How = "planned"
		case l.Begun:
			row.How = "on the lift"
		default:
			row.How = "proposed"
		}
		v.Rows = append(v.Rows, row)
		for t := s.Start; !t.After(s.End) && len(days) < 60; t = t.AddDate(0, 0, 1) {
			if err != nil || cal.HoursOn(scope.DateOf(t)) == 0 {
				continue
			}
			d := day(t.Format(time.DateOnly))
			d.Jobs = append(d.Jobs, "job "+l.Number)
		}
		if d := day(s.End.Format(time.DateOnly)); !slices.Contains(d.Jobs, "job "+l.Number) {
			d.Jobs = append(d.Jobs, "job "+l.Number)
		}
		for _, x := range l.Promised {
			if on, what, ok := strings.Cut(x, ": "); ok {
				d := day(on)
				d.Parts = append(d.Parts, what+", job "+l.Number)
			}
		}
	}
	for _, t := range sortedKeys(days) {
		d := *days[t]
		if on, err := time.Parse(time.DateOnly, t); err == nil {
			d.Day = dayWords(on)
		}
		v.Days = append(v.Days, d)
	}
	v.sum(p)
	return v
}

func (v *FloorView) sum(p scope.FloorPlan) {
	if len(v.Rows) == 0 {
		return
	}
	v.Sum = fmt.Sprintf("All jobs are done after %s of working time. No order of the work takes less than %s", hours(p.Hours), hours(p.LowerBound))
	if p.Proven {
		v.Sum += ", so none is better."
	} else {
		v.Sum += "; a better one may be found, by that much at most."
	}
	if p.Clash != "" {
		v.Clash = "The planned days do not fit together on the lifts and people there are. They count as the earliest days."
	}
}

// MovedView is what a move costs, in words.
type MovedView struct {
	Title  string
	Others []string
}

// ShowMoved puts the cost of a move into words.
func ShowMoved(id string, longer float64, others []scope.FloorMoved) MovedView {
	v := MovedView{Title: "All jobs together end at the same time as before."}
	switch {
	case longer > 0:
		v.Title = "All jobs together end " + hours(longer) + " of working time later."
	case longer < 0:
		v.Title = "All jobs together end " + hours(-longer) + " of working time sooner."
	}
	for _, m := range others {
		w := fmt.Sprintf("Job %s ends %s later.", m.ID, hours(m.Hours))
		if m.Hours < 0 {
			w = fmt.Sprintf("Job %s ends %s sooner.", m.ID, hours(-m.Hours))
		}
		v.Others = append(v.Others, w)
	}
	return v
}

// HoursWords says when the workshop works.
func HoursWords(c CalendarSet, assumed bool) string {
	w := fmt.Sprintf("Now %s and %s, limit %s on the chance of a vehicle waiting.", count(c.Lifts, "lift", "lifts"), count(c.People, "person", "people"), percent(c.WaitLimit))
	if assumed {
		w += " Assumed: nobody has set it."
	}
	return w
}

// FillHours puts a calendar into the fields of its form.
func FillHours(typed map[string]string, c CalendarSet) {
	for day, text := range c.Week {
		typed["day"+strconv.Itoa(day)] = text
	}
	typed["off"] = strings.Join(c.Off, "\n")
	typed["people"], typed["lifts"] = strconv.Itoa(c.People), strconv.Itoa(c.Lifts)
	typed["wait"] = strings.TrimSuffix(percent(c.WaitLimit), " %")
}

// ReadHours reads the fields of the form of a calendar.
func ReadHours(value func(string) string) (c CalendarSet, err error) {
	for day := range c.Week {
		c.Week[day] = value("day" + strconv.Itoa(day))
	}
	c.Off = strings.Fields(strings.NewReplacer(",", " ", ";", " ").Replace(value("off")))
	for _, x := range []struct {
		name, words string
		into        *int
	}{{"people", "people", &c.People}, {"lifts", "lifts", &c.Lifts}} {
		if *x.into, err = strconv.Atoi(value(x.name)); err != nil {
			return c, fmt.Errorf("%s %q: write a whole number, 1 or more", x.words, value(x.name))
		}
	}
	text := strings.TrimSpace(strings.TrimSuffix(strings.ReplaceAll(value("wait"), ",", "."), "%"))
	p, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || p <= 0 {
		return c, fmt.Errorf("limit %q: write percent, such as 5", value("wait"))
	}
	c.WaitLimit = p / 100
	return c, nil
}
