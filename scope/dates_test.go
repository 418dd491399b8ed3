// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A job of two days that is sure: 8 h of stripping, 4 h of work that takes the
// part, 4 h of refitting.
func sureJob(arrival PERT) Job {
	return Job{
		Steps: []Step{
			{ID: "strip:a", Duration: Sure(8)},
			{ID: "work:w", Duration: Sure(4), Needs: []string{"strip:a"}, Supplies: []string{"p", "in hand"}},
			{ID: "refit:a", Duration: Sure(4), Needs: []string{"work:w"}},
		},
		Supplies: []Supply{{ID: "p", Arrival: arrival}},
	}
}

func monday() Question {
	return Question{Today: date("2026-12-07"), Calendar: eightToFive(), Draws: 2000, Seed: 7}
}

// By hand: the part comes on Thursday the 10th; stripping fills one day, so the
// start is Wednesday the 9th and the end Thursday at 17:00.
func TestDatesByHand(t *testing.T) {
	d, err := sureJob(Sure(3)).Dates(monday())
	if err != nil {
		t.Fatal(err)
	}
	form := "2006-01-02 15:04"
	if got := d.Start.Format(form); got != "2026-12-09 08:00" || d.Risk != 0 {
		t.Errorf("start %s, risk %g", got, d.Risk)
	}
	for _, end := range []string{d.Finish10.Format(form), d.Finish50.Format(form), d.Finish90.Format(form), d.FinishMean.Format(form)} {
		if end != "2026-12-10 17:00" {
			t.Errorf("ends %s", end)
		}
	}
	// Starting on Monday means to wait two days, on Tuesday one.
	if len(d.Starts) != 3 || d.Starts[0].Risk != 1 || d.Starts[0].MeanWait != 16 || d.Starts[1].MeanWait != 8 || d.Starts[2].Risk != 0 {
		t.Errorf("%+v", d.Starts)
	}
	if len(d.Pacing) != 1 || d.Pacing[0] != (Pacing{"p", 1}) {
		t.Errorf("%+v", d.Pacing)
	}
	if r := d.Reach[0]; r.Hours != 8 || strings.Join(r.Can, " ") != "strip:a" || strings.Join(r.Waiting, " ") != "work:w" || strings.Join(r.Blocked, " ") != "work:w refit:a" {
		t.Errorf("%+v", r)
	}
	if d.Length != 16 || d.Hours != 16 || d.HoursSD != 0 {
		t.Errorf("length %g, hours %g ± %g", d.Length, d.Hours, d.HoursSD)
	}
}

// By hand: a part that comes on day 1 to 6 with likely 2. The start on day n
// does not wait if it comes by day n+1 (one day of stripping first), so the risk
// is 1 − F(n+1) with the distribution of the lead time.
func TestRiskIsTheDistribution(t *testing.T) {
	p := PERT{1, 2, 6}
	q := monday()
	q.Draws = 100_000
	for day := range q.Calendar.Week { // every day is worked
		q.Calendar.Week[day] = eightToFive().Week[1]
	}
	d, err := sureJob(p).Dates(q)
	if err != nil {
		t.Fatal(err)
	}
	for n, s := range d.Starts {
		want := 1 - p.CDF(float64(n)+1)
		if math.Abs(s.Risk-want) > 4*math.Sqrt(want*(1-want)/1e5)+1e-4 {
			t.Errorf("start on day %d: risk %g, want %g", n, s.Risk, want)
		}
		if s.Risk <= 0.05 && s.Day != DateOf(d.Start) && s.Day.Before(DateOf(d.Start).Time) {
			t.Errorf("start %s, and %s would do", d.Start, s.Day)
		}
	}
	if d.Risk > 0.05 || p.CDF(4) >= 0.95 || p.CDF(5) < 0.95 || DateOf(d.Start) != date("2026-12-11") {
		t.Errorf("start %s at a risk of %g", d.Start, d.Risk)
	}
}

// What should have come by today has not: the rest of the distribution counts.
func TestOverdue(t *testing.T) {
	today := date("2026-12-07")
	o := Order{ID: "p", Ordered: date("2026-12-01")}
	s, err := o.Supply(today, PERT{2, 4, 10}, PERT{})
	if err != nil || s.Arrival != (PERT{-4, -2, 4}) {
		t.Fatal(s, err)
	}
	q := monday()
	q.Draws = 50_000
	for day := range q.Calendar.Week {
		q.Calendar.Week[day] = eightToFive().Week[1]
	}
	d, err := sureJob(s.Arrival).Dates(q)
	if err != nil {
		t.Fatal(err)
	}
	// On day 0 the start waits if the part comes after day 1, given that it
	// comes after day 0.
	want := (1 - s.Arrival.CDF(1)) / (1 - s.Arrival.CDF(0))
	if got := d.Starts[0].Risk; math.Abs(got-want) > 0.01 {
		t.Errorf("risk %g, want %g", got, want)
	}
	var overdue *OverdueError
	if _, err = o.Supply(today, PERT{1, 2, 6}, PERT{}); !errors.As(err, &overdue) || overdue.Last != today {
		t.Error(err)
	}
	promised := date("2026-12-10")
	o.Promised = &promised
	if s, err = o.Supply(today, PERT{2, 4, 10}, PERT{0, 1, 8}); err != nil || s.Arrival != (PERT{3, 4, 11}) {
		t.Error(s, err)
	}
	early := date("2026-11-30")
	o.Promised = &early
	if _, err = o.Supply(today, PERT{2, 4, 10}, PERT{0, 1, 8}); err == nil || !strings.Contains(err.Error(), "before it was ordered on 2026-12-01") {
		t.Error(err)
	}
}

// The same seed gives the same answer; another seed nearly the same.
func TestSeed(t *testing.T) {
	job := bigJob()
	q := monday()
	q.Draws = 5000
	a, err := job.Dates(q)
	b, err2 := job.Dates(q)
	if err != nil || err2 != nil || fmt.Sprint(a) != fmt.Sprint(b) {
		t.Error("the same seed gives another answer", err, err2)
	}
	q.Seed = 8
	c, err := job.Dates(q)
	if err != nil || a.Hours == c.Hours || math.Abs(a.Hours-c.Hours) > 0.01*a.Hours {
		t.Errorf("%g h and %g h, %v", a.Hours, c.Hours, err)
	}
	mean := 0.0
	for _, s := range job.Steps {
		mean += s.Duration.Mean()
	}
	if math.Abs(a.Hours-mean) > 5*a.HoursSD/math.Sqrt(5000) {
		t.Errorf("mean %g h, want %g", a.Hours, mean)
	}
}

// idle is how long one person waits who does at any time whatever is not held
// up, found by walking through the hours one by one. Durations are whole hours.
func idle(j Job, start int, comes map[string]int) int {
	left := map[string]int{}
	for _, s := range j.Steps {
		left[s.ID] = int(s.Duration.Likely)
	}
	waited := 0
	for hour := start; ; hour++ {
		worked, open := false, false
		for _, s := range j.Steps {
			if left[s.ID] == 0 {
				continue
			}
			open = true
			held := slices.ContainsFunc(s.Needs, func(n string) bool { return left[n] > 0 }) ||
				slices.ContainsFunc(s.Supplies, func(k string) bool { return comes[k] > hour })
			if !held {
				left[s.ID]--
				worked = true
				break
			}
		}
		switch {
		case !open:
			return waited
		case !worked:
			waited++
		}
	}
}

// Against a walk through the hours: the start from which nothing waits, and how
// long is waited before it. Steps may be interrupted in the walk, which changes
// nothing of when a person has nothing to do.
func TestNeedAgainstWalk(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		var j Job
		comes := map[string]int{}
		for k := range rapid.IntRange(0, 4).Draw(r, "supplies") {
			id := fmt.Sprint("p", k)
			day := rapid.IntRange(0, 6).Draw(r, "day")
			j.Supplies = append(j.Supplies, Supply{ID: id, Arrival: Sure(float64(day))})
			comes[id] = day * 8
		}
		for i := range rapid.IntRange(1, 7).Draw(r, "steps") {
			s := Step{ID: fmt.Sprint("s", i), Duration: Sure(float64(rapid.IntRange(1, 9).Draw(r, "h")))}
			for k := range i {
				if rapid.IntRange(0, 2).Draw(r, "needs") == 0 {
					s.Needs = append(s.Needs, fmt.Sprint("s", k))
				}
			}
			for k := range j.Supplies {
				if rapid.IntRange(0, 3).Draw(r, "takes") == 0 {
					s.Supplies = append(s.Supplies, j.Supplies[k].ID)
				}
			}
			j.Steps = append(j.Steps, s)
		}
		q := monday()
		q.Draws = 1
		for day := range q.Calendar.Week {
			q.Calendar.Week[day] = eightToFive().Week[1]
		}
		d, err := j.Dates(q)
		if err != nil {
			r.Fatal(err)
		}
		for n, s := range d.Starts {
			if want := idle(j, 8*n, comes); math.Abs(s.MeanWait-float64(want)) > 1e-9 {
				r.Fatalf("start on day %d waits %g h, walking %d h", n, s.MeanWait, want)
			}
		}
	})
}

func TestDatesRefuses(t *testing.T) {
	ok := sureJob(Sure(3))
	for name, c := range map[string]struct {
		job    Job
		change func(*Question)
	}{
		"limit":    {ok, func(q *Question) { q.Limit = 1.5 }},
		"draws":    {ok, func(q *Question) { q.Draws = -1 }},
		"calendar": {ok, func(q *Question) { q.Calendar = Calendar{} }},
		"today":    {ok, func(q *Question) { q.Today = Date{} }},
		"arrival":  {sureJob(PERT{3, 2, 1}), func(*Question) {}},
		"far":      {sureJob(Sure(1e6)), func(*Question) {}},
		"past":     {sureJob(Sure(-1)), func(*Question) {}},
		"circle":   {Job{Steps: []Step{{ID: "a", Needs: []string{"a"}}}}, func(*Question) {}},
		"need":     {Job{Steps: []Step{{ID: "a", Needs: []string{"b"}}}}, func(*Question) {}},
		"negative": {Job{Steps: []Step{{ID: "a", Duration: Sure(-1)}}}, func(*Question) {}},
	} {
		q := monday()
		c.change(&q)
		if _, err := c.job.Dates(q); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	if d, err := (Job{}).Dates(monday()); err != nil || d.Risk != 0 || DateOf(d.Start) != date("2026-12-07") {
		t.Errorf("nothing to do: %+v, %v", d, err)
	}
}

// The steps of the V8's job: all stripped before the work, back in reverse.
func TestSteps(t *testing.T) {
	p := load(t, v8(t))
	steps, err := p.Steps([]string{"rod_bearings"}, UsualSpread)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	var ids []string
	for _, s := range steps {
		sum += s.Duration.Likely
		ids = append(ids, s.ID)
	}
	e, _ := p.Estimate(Request{Want: []string{"rod_bearings"}})
	near(t, "likely hours", sum, e.LabourHours.Hours())
	if len(steps) != 2*len(e.Operations)+2 || ids[len(ids)-1] != "refit:lift" {
		t.Errorf("%v", ids)
	}
	refit := steps[slices.Index(ids, "refit:sump")]
	if !slices.Equal(refit.Needs, []string{"strip:sump", "refit:pickup"}) || !slices.Equal(refit.Supplies, []string{"sealant"}) {
		t.Errorf("%+v", refit)
	}
	if _, _, err := CriticalPath(Job{Steps: steps}.activities()); err != nil {
		t.Error(err)
	}
}

func TestLearnLead(t *testing.T) {
	// By hand: 2, 3, 4, 7: mean 4, (24 − 2 − 7)/4 = 3.75.
	if p, ok := LearnLead([]float64{4, 2, 7, 3}); !ok || p != (PERT{2, 3.75, 7}) || p.Mean() != 4 {
		t.Error(p, ok)
	}
	if p, ok := LearnLead([]float64{2, 2, 2, 2, 4, 4, 12}); !ok || p != (PERT{2, 2.5, 12}) {
		t.Error(p, ok)
	}
	if _, ok := LearnLead([]float64{1, 2}); ok {
		t.Error("two deliveries teach")
	}
}

func TestClashes(t *testing.T) {
	r := func(job, from, to string) Reservation { return Reservation{"beam", job, date(from), date(to)} }
	list := []Reservation{r("b", "2026-12-09", "2026-12-11"), r("a", "2026-12-07", "2026-12-09"), r("c", "2026-12-12", "2026-12-12"),
		{"jack", "c", date("2026-12-07"), date("2026-12-20")}}
	got := Clashes(list, nil)
	if len(got) != 1 || got[0] != (Clash{"beam", [2]string{"a", "b"}, date("2026-12-09"), date("2026-12-09"), date("2026-12-10")}) {
		t.Errorf("%+v", got)
	}
	if got := Clashes(list, map[string]int{"beam": 2}); got != nil {
		t.Errorf("with two beams: %+v", got)
	}
}

// bigJob is a job of 100 operations, 30 pieces of work and 60 parts.
func bigJob() Job {
	var j Job
	for i := range 100 {
		s := Step{ID: fmt.Sprint("strip:", i), Duration: PERT{0.24, 0.3, 0.48}}
		if i > 0 {
			s.Needs = []string{fmt.Sprint("strip:", i*2/3), fmt.Sprint("strip:", i/2)}
		}
		j.Steps = append(j.Steps, s)
	}
	for i := range 30 {
		j.Steps = append(j.Steps, Step{ID: fmt.Sprint("work:", i), Duration: PERT{0.8, 1, 1.6}, Needs: []string{fmt.Sprint("strip:", i*3)},
			Supplies: []string{fmt.Sprint("p", i*2), fmt.Sprint("p", i*2+1)}})
	}
	for i := 99; i >= 0; i-- {
		s := Step{ID: fmt.Sprint("refit:", i), Duration: PERT{0.32, 0.4, 0.64}, Needs: []string{fmt.Sprint("strip:", i)}}
		for k := i + 1; k < 100; k++ {
			if k*2/3 == i || k/2 == i {
				s.Needs = append(s.Needs, fmt.Sprint("refit:", k))
			}
		}
		if i%3 == 0 && i < 90 {
			s.Needs = append(s.Needs, fmt.Sprint("work:", i/3))
		}
		j.Steps = append(j.Steps, s)
	}
	for k := range 60 {
		j.Supplies = append(j.Supplies, Supply{ID: fmt.Sprint("p", k), Arrival: PERT{float64(k % 5), float64(k%5 + k%7), float64(20 + k%11)}})
	}
	return j
}

// 100 000 draws of a job of 100 operations with 60 parts.
func BenchmarkDates(b *testing.B) {
	j := bigJob()
	q := monday()
	q.Draws = 100_000
	for b.Loop() {
		if _, err := j.Dates(q); err != nil {
			b.Fatal(err)
		}
	}
}
