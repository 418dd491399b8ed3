// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"bufio"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// readPSPLIB reads a single-mode instance in the format of the library.
func readPSPLIB(t testing.TB, file string) Network {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var n Network
	section := ""
	for lines := bufio.NewScanner(f); lines.Scan(); {
		line := lines.Text()
		if strings.HasSuffix(line, ":") && line == strings.ToUpper(line) {
			section = line
			continue
		}
		var row []int
		for _, word := range strings.Fields(line) {
			x, err := strconv.Atoi(word)
			if err != nil {
				row = nil
				break
			}
			row = append(row, x)
		}
		if row == nil {
			continue
		}
		switch section {
		case "PRECEDENCE RELATIONS:":
			for len(n.Tasks) < max(row[0], slices.Max(append(row[3:], 0))) {
				n.Tasks = append(n.Tasks, Task{ID: strconv.Itoa(len(n.Tasks) + 1)})
			}
			for _, after := range row[3:] {
				n.Tasks[after-1].Needs = append(n.Tasks[after-1].Needs, strconv.Itoa(row[0]))
			}
		case "REQUESTS/DURATIONS:":
			n.Tasks[row[0]-1].Phases = []Phase{{row[2], row[3:]}}
		case "RESOURCEAVAILABILITIES:":
			for i, c := range row {
				n.Resources = append(n.Resources, Resource{fmt.Sprint("R", i+1), c})
			}
		}
	}
	return n
}

// Published: instance j301_1 of PSPLIB, optimum 43 (from memory; recomputed
// with a time-indexed integer programme), critical path 38 (in its file).
func TestJ301(t *testing.T) {
	n := readPSPLIB(t, "testdata/j301_1.sm")
	if len(n.Tasks) != 32 || len(n.Resources) != 4 {
		t.Fatalf("%d tasks, %d resources", len(n.Tasks), len(n.Resources))
	}
	var list []Activity
	for _, task := range n.Tasks {
		list = append(list, Activity{task.ID, float64(task.Duration()), task.Needs})
	}
	if length, _, err := CriticalPath(list); err != nil || length != 38 {
		t.Errorf("critical path %g, the file has 38; %v", length, err)
	}
	for seed := range uint64(5) {
		s, err := n.Schedule(Effort{Schedules: 5000, Seed: seed})
		if err != nil {
			t.Fatal(err)
		}
		if s.Makespan != 43 || s.LowerBound > 43 || s.LowerBound < 38 {
			t.Errorf("seed %d: %d, bound %d, optimum 43", seed, s.Makespan, s.LowerBound)
		}
	}
	// The start vector that the integer programme found keeps every rule.
	best := []int{0, 6, 0, 0, 25, 31, 4, 4, 13, 6, 16, 13, 4, 17, 15, 13, 23, 10, 14, 28, 29, 29, 36, 38, 36, 31, 15, 35, 21, 41, 41, 43}
	if err := n.Check(best); err != nil {
		t.Error(err)
	}
	best[31]--
	if n.Check(best) == nil {
		t.Error("a start before its need passes")
	}
}

// drawNetwork makes a small network of tasks with one phase.
func drawNetwork(r *rapid.T, most int) Network {
	n := Network{Resources: []Resource{{"people", rapid.IntRange(1, 3).Draw(r, "people")}, {"lifts", rapid.IntRange(1, 2).Draw(r, "lifts")}}}
	for i := range rapid.IntRange(1, most).Draw(r, "tasks") {
		t := Task{ID: strconv.Itoa(i), Release: rapid.IntRange(0, 3).Draw(r, "release") * rapid.IntRange(0, 1).Draw(r, "late"),
			Phases: []Phase{{rapid.IntRange(0, 4).Draw(r, "duration"), []int{
				rapid.IntRange(0, n.Resources[0].Capacity).Draw(r, "use"), rapid.IntRange(0, n.Resources[1].Capacity).Draw(r, "use")}}}}
		for j := range i {
			if rapid.IntRange(0, 3).Draw(r, "needs") == 0 {
				t.Needs = append(t.Needs, strconv.Itoa(j))
			}
		}
		n.Tasks = append(n.Tasks, t)
	}
	return n
}

// shortest tries every start of every task up to an end, least end first.
func shortest(n Network) int {
	horizon := 0
	for _, t := range n.Tasks {
		horizon += t.Duration() + t.Release
	}
	starts := make([]int, len(n.Tasks))
	for end := 0; ; end++ {
		use := make([][2]int, end+1)
		var place func(i int) bool
		place = func(i int) bool {
			if i == len(n.Tasks) {
				return true
			}
			t := n.Tasks[i]
			from := t.Release
			for _, need := range t.Needs {
				j, _ := strconv.Atoi(need)
				from = max(from, starts[j]+n.Tasks[j].Duration())
			}
			for s := from; s+t.Duration() <= end; s++ {
				fits := true
				for x := s; x < s+t.Duration(); x++ {
					for k, u := range t.Phases[0].Uses {
						use[x][k] += u
						fits = fits && use[x][k] <= n.Resources[k].Capacity
					}
				}
				starts[i] = s
				if fits && place(i+1) {
					return true
				}
				for x := s; x < s+t.Duration(); x++ {
					for k, u := range t.Phases[0].Uses {
						use[x][k] -= u
					}
				}
			}
			return false
		}
		if place(0) || end > horizon {
			return end
		}
	}
}

// Brute force on small networks: as short as any, and said to be.
func TestScheduleAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := drawNetwork(r, 5)
		want := shortest(n)
		s, err := n.Schedule(Effort{Schedules: 200})
		if err != nil {
			r.Fatal(err)
		}
		if s.Makespan != want || !s.Proven || s.LowerBound != want {
			r.Fatalf("%d (bound %d, proven %v), brute force %d", s.Makespan, s.LowerBound, s.Proven, want)
		}
		p, err := n.ready()
		if err != nil || p.lowerBound() > want {
			r.Fatalf("the bound %d is above the shortest, %d", p.lowerBound(), want)
		}
	})
}

// The search alone, without the complete one, keeps the rules and the bound on
// larger networks, several phases among them.
func TestScheduleProperty(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := drawNetwork(r, 14)
		for i := range n.Tasks {
			if rapid.Bool().Draw(r, "phases") {
				n.Tasks[i].Phases = append(n.Tasks[i].Phases, Phase{Duration: 2}, Phase{Duration: 1, Uses: []int{1}})
			}
		}
		s, err := n.Schedule(Effort{Schedules: 150})
		if err != nil {
			r.Fatal(err)
		}
		if err := n.Check(s.Starts); err != nil {
			r.Fatal(err)
		}
		if s.Makespan < s.LowerBound || s.Proven != (s.Makespan == s.LowerBound) {
			r.Fatalf("%+v", s)
		}
	})
}

// twoLifts is six jobs on two lifts and two people, in quarter hours. The
// second keeps its lift for a week of five times 32 while the grinder has its
// crankshaft.
func twoLifts() Network {
	n := Network{Resources: []Resource{{"people", 2}, {"lifts", 2}}}
	for i, h := range []int{76, 60, 48, 40, 32, 24} {
		n.Tasks = append(n.Tasks, Task{ID: fmt.Sprint("job", i+1), Phases: []Phase{{h, []int{1, 1}}}})
	}
	n.Tasks[1].Phases = []Phase{{30, []int{1, 1}}, {160, []int{0, 1}}, {30, []int{1, 1}}}
	n.Tasks[3].Release = 32
	return n
}

// By hand: the lift that waits is full for 220; the other jobs take 76 + 48 +
// 40 + 32 + 24 = 220 on the other, so 220 is the end and the bound.
func TestJobsOnLifts(t *testing.T) {
	n := twoLifts()
	s, err := n.Schedule(Effort{})
	if err != nil || s.Makespan != 220 || s.LowerBound != 220 || !s.Proven {
		t.Fatalf("%+v, %v", s, err)
	}
	// Moved to 20, the waiting job ends at 240, and that is what it costs.
	moved, longer, later, err := n.Move(s, "job2", 20, Effort{Schedules: 2000})
	if err != nil || moved.Makespan != 240 || longer != 20 || moved.Starts[1] != 20 {
		t.Errorf("%+v, %d longer, %v", moved, longer, err)
	}
	if !slices.ContainsFunc(later, func(l Later) bool { return l == Later{"job2", 20 - s.Starts[1]} }) {
		t.Errorf("%v", later)
	}
	if _, _, _, err := n.Move(s, "job9", 20, Effort{}); err == nil {
		t.Error("a job that is not there is moved")
	}
}

// A fixed start is kept, whatever it costs; two that clash are refused.
func TestFixed(t *testing.T) {
	at := func(x int) *int { return &x }
	n := Network{Resources: []Resource{{"lifts", 1}}, Tasks: []Task{
		{ID: "a", Phases: []Phase{{10, []int{1}}}}, {ID: "b", Phases: []Phase{{10, []int{1}}}, Fixed: at(5)}}}
	s, err := n.Schedule(Effort{})
	if err != nil || s.Starts[1] != 5 || s.Makespan != 25 {
		t.Errorf("%+v %v", s, err)
	}
	n.Tasks[0].Fixed = at(0)
	if _, err := n.Schedule(Effort{}); err == nil || !strings.Contains(err.Error(), "the fixed starts do not fit: scope: at 5 more of lifts is used than there is") {
		t.Error(err)
	}
}

func TestScheduleRefuses(t *testing.T) {
	one := []Resource{{"lifts", 1}}
	minus := -1
	for name, n := range map[string]Network{
		"beyond":   {one, []Task{{ID: "a", Phases: []Phase{{1, []int{2}}}}}},
		"negative": {one, []Task{{ID: "a", Phases: []Phase{{-1, []int{1}}}}}},
		"use":      {one, []Task{{ID: "a", Phases: []Phase{{1, []int{-1}}}}}},
		"uses":     {one, []Task{{ID: "a", Phases: []Phase{{1, []int{1, 1}}}}}},
		"capacity": {[]Resource{{"lifts", -1}}, nil},
		"release":  {one, []Task{{ID: "a", Release: -1}}},
		"fixed":    {one, []Task{{ID: "a", Fixed: &minus}}},
		"need":     {one, []Task{{ID: "a", Needs: []string{"b"}}}},
		"circle":   {one, []Task{{ID: "a", Needs: []string{"a"}}}},
		"twice":    {one, []Task{{ID: "a"}, {ID: "a"}}},
		"long":     {one, []Task{{ID: "a", Phases: []Phase{{1e9, []int{1}}}}}},
	} {
		if _, err := n.Schedule(Effort{}); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	if s, err := (Network{}).Schedule(Effort{}); err != nil || s.Makespan != 0 || !s.Proven {
		t.Error(s, err)
	}
}

func BenchmarkJ301(b *testing.B) {
	n := readPSPLIB(b, "testdata/j301_1.sm")
	for b.Loop() {
		if _, err := n.Schedule(Effort{}); err != nil {
			b.Fatal(err)
		}
	}
}

// Twenty jobs on three lifts and two people, in quarter hours.
func BenchmarkTwentyJobs(b *testing.B) {
	n := Network{Resources: []Resource{{"people", 2}, {"lifts", 3}}}
	for i := range 20 {
		n.Tasks = append(n.Tasks, Task{ID: strconv.Itoa(i), Release: i % 7 * 20,
			Phases: []Phase{{20 + i*7%30, []int{1, 1}}, {i % 3 * 40, []int{0, 1}}, {15 + i*5%20, []int{1, 1}}}})
	}
	for b.Loop() {
		if _, err := n.Schedule(Effort{}); err != nil {
			b.Fatal(err)
		}
	}
}
