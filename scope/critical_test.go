// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Published: F. S. Hillier and G. J. Lieberman, Introduction to Operations
// Research, the construction example; needs and slack from memory, recomputed.
func TestConstructionExample(t *testing.T) {
	f, err := os.Open("testdata/cpm_construction.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string) float64 {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	var list []Activity
	for _, r := range rows[1:] {
		list = append(list, Activity{r[0], number(r[1]), strings.Fields(r[2])})
	}
	length, slots, err := CriticalPath(list)
	if err != nil || length != 44 {
		t.Fatalf("length %g, the book has 44; %v", length, err)
	}
	critical := ""
	for i, r := range rows[1:] {
		s := slots[i]
		for k, got := range []float64{s.EarlyStart, s.EarlyFinish, s.LateStart, s.LateFinish, s.Slack} {
			if got != number(r[3+k]) {
				t.Errorf("%s: %s is %g, want %s", s.ID, rows[0][3+k], got, r[3+k])
			}
		}
		if s.Critical {
			critical += s.ID
		}
	}
	if critical != "ABCEFJLN" {
		t.Errorf("critical %s", critical)
	}
}

// Published: a textbook's answer pages (network 1 of the chapter on projects):
// length 20, critical 1-3-4-5-6, slack 1-2 2, 2-4 2, 3-5 4.
func TestSecondExample(t *testing.T) {
	length, slots, err := CriticalPath([]Activity{
		{"5-6", 2, []string{"3-5", "4-5"}}, {"1-2", 7, nil}, {"1-3", 10, nil}, {"2-4", 6, []string{"1-2"}},
		{"3-4", 5, []string{"1-3"}}, {"3-5", 4, []string{"1-3"}}, {"4-5", 3, []string{"2-4", "3-4"}},
	})
	if err != nil || length != 20 {
		t.Fatal(length, err)
	}
	want := map[string]float64{"1-2": 2, "2-4": 2, "3-5": 4}
	for _, s := range slots {
		if s.Slack != want[s.ID] || s.Critical != (want[s.ID] == 0) {
			t.Errorf("%s has the slack %g, want %g", s.ID, s.Slack, want[s.ID])
		}
	}
	if next := slots[2].CriticalNext; len(next) != 1 || next[0] != "3-4" {
		t.Errorf("after 1-3 comes %v", next)
	}
	if slots[1].FreeSlack != 0 || slots[3].FreeSlack != 2 {
		t.Errorf("free slack %g, %g", slots[1].FreeSlack, slots[3].FreeSlack)
	}
}

func TestCriticalPathRefuses(t *testing.T) {
	var circle *CircleError
	if _, _, err := CriticalPath([]Activity{{"a", 1, []string{"b"}}, {"b", 1, []string{"a"}}}); !errors.As(err, &circle) || err.Error() != "scope: activities need each other in a circle: a → b → a" {
		t.Error(err)
	}
	for _, list := range [][]Activity{
		{{"a", -1, nil}}, {{"a", math.NaN(), nil}}, {{"a", 1, []string{"x"}}}, {{"a", 1, nil}, {"a", 1, nil}},
	} {
		if _, _, err := CriticalPath(list); err == nil {
			t.Errorf("%v is taken", list)
		}
	}
	if length, slots, err := CriticalPath(nil); length != 0 || len(slots) != 0 || err != nil {
		t.Error("nothing takes no time")
	}
}

// The length is the longest of all paths; slack is never below zero; an
// activity that is longer by its slack leaves the length as it is.
func TestCriticalPathProperty(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(r, "n")
		list := make([]Activity, n)
		for i := range list {
			list[i] = Activity{ID: strconv.Itoa(i), Duration: float64(rapid.IntRange(0, 9).Draw(r, "d"))}
			for j := range i {
				if rapid.IntRange(0, 2).Draw(r, "need") == 0 {
					list[i].Needs = append(list[i].Needs, strconv.Itoa(j))
				}
			}
		}
		length, slots, err := CriticalPath(list)
		if err != nil {
			r.Fatal(err)
		}
		var longest func(i int) float64
		longest = func(i int) float64 {
			best := 0.0
			for _, need := range list[i].Needs {
				j, _ := strconv.Atoi(need)
				best = math.Max(best, longest(j))
			}
			return best + list[i].Duration
		}
		want := 0.0
		for i := range list {
			want = math.Max(want, longest(i))
		}
		if length != want {
			r.Fatalf("length %g, longest path %g", length, want)
		}
		i := rapid.IntRange(0, n-1).Draw(r, "i")
		if slots[i].Slack < 0 {
			r.Fatalf("slack %g", slots[i].Slack)
		}
		list[i].Duration += slots[i].Slack
		if again, _, _ := CriticalPath(list); again != length {
			r.Fatalf("%g with the slack used up, %g before", again, length)
		}
		list[i].Duration++
		if again, _, _ := CriticalPath(list); again != length+1 {
			r.Fatalf("%g beyond the slack, want %g", again, length+1)
		}
	})
}
