// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// eight to five with an hour's break: eight hours, Monday to Friday.
func eightToFive() Calendar { return FiveDays(8*time.Hour, 12*time.Hour, 13*time.Hour, 17*time.Hour) }

func date(text string) Date {
	var d Date
	if err := d.UnmarshalText([]byte(text)); err != nil {
		panic(err)
	}
	return d
}

// By hand, from Friday 4 December 2026, with Tuesday 8 off.
func TestTimelineByHand(t *testing.T) {
	c := eightToFive()
	c.Off = []Date{date("2026-12-08")}
	line, err := NewTimeline(c, date("2026-12-04"))
	if err != nil {
		t.Fatal(err)
	}
	for day, want := range []float64{0, 8, 8, 8, 16, 16, 24} {
		if got := line.Opening(day); got != want {
			t.Errorf("%g h before day %d, want %g", got, day, want)
		}
	}
	for _, x := range []struct {
		h          float64
		end, start string
	}{
		{0, "2026-12-04 08:00", "2026-12-04 08:00"}, {4, "2026-12-04 12:00", "2026-12-04 13:00"}, {4.5, "2026-12-04 13:30", "2026-12-04 13:30"},
		{8, "2026-12-04 17:00", "2026-12-07 08:00"}, {16, "2026-12-07 17:00", "2026-12-09 08:00"}, {17.25, "2026-12-09 09:15", "2026-12-09 09:15"},
	} {
		end, err := line.End(x.h)
		start, err2 := line.Start(x.h)
		if got := end.Format("2006-01-02 15:04"); err != nil || got != x.end {
			t.Errorf("%g h end at %s, want %s", x.h, got, x.end)
		}
		if got := start.Format("2006-01-02 15:04"); err2 != nil || got != x.start {
			t.Errorf("after %g h it goes on at %s, want %s", x.h, got, x.start)
		}
	}
}

// Over the night when clocks change, working hours stay as they are.
func TestClockChange(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	c := eightToFive()
	c.Zone = zone
	line, _ := NewTimeline(c, date("2026-03-27")) // clocks go forward on Sunday the 29th
	if end, err := line.End(9); err != nil || end.Format(time.RFC3339) != "2026-03-30T09:00:00+02:00" {
		t.Error(end, err)
	}
}

func TestCalendarRefusesShifts(t *testing.T) {
	h := time.Hour
	for _, c := range []Calendar{{}, FiveDays(8*h, 7*h, 13*h, 17*h), FiveDays(8*h, 12*h, 11*h, 17*h), FiveDays(8*h, 12*h, 13*h, 25*h)} {
		if _, err := NewTimeline(c, date("2026-12-04")); err == nil {
			t.Errorf("%v is taken", c)
		}
	}
}

// Hours and moments go with each other: the later, the later, and the hours
// between opening and end of a day are those that were asked for.
func TestTimelineProperty(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		line, _ := NewTimeline(eightToFive(), date("2026-12-04").Add(rapid.IntRange(0, 6).Draw(r, "day")))
		a := rapid.Float64Range(0, 300).Draw(r, "a")
		b := a + rapid.Float64Range(0, 50).Draw(r, "b")
		endA, _ := line.End(a)
		endB, _ := line.End(b)
		startA, _ := line.Start(a)
		if endB.Before(endA) || startA.Before(endA) {
			r.Fatalf("%s %s %s", endA, endB, startA)
		}
		n, _ := line.dayOf(a)
		clock := endA.Sub(line.first.Add(n).Time).Hours() - 8
		if clock > 4+1./60 {
			clock--
		}
		if math.Abs(line.Opening(n)+clock-a) > 1./100 {
			r.Fatalf("%g h end at %s", a, endA)
		}
	})
}
