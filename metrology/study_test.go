// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Published: 3 parts, 3 persons, 3 trials; E. L. Cano, J. M. Moguerza, A.
// Redchuk, Six Sigma with R (Springer 2012), ch. 5, variable time1.
func TestStudyPublished(t *testing.T) {
	r, err := Study(readStudy(t, "study_published.csv"))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "part, sum of squares", r.PartLine.SumOfSquares, 1.2007185, 5e-8)
	near(t, "person, sum of squares", r.PersonLine.SumOfSquares, 0.0529407, 5e-8)
	near(t, "interaction, sum of squares", r.InteractionLine.SumOfSquares, 0.0833926, 5e-8)
	near(t, "residual, sum of squares", r.ResidualLine.SumOfSquares, 0.3854, 5e-8)
	near(t, "interaction p", r.InteractionP, 0.44619, 5e-6)
	if !r.Pooled {
		t.Error("p 0.446 is above 0.25: pooled")
	}
	near(t, "repeatability", r.Repeatability.StdDev, 0.14597518, 1e-7)
	near(t, "reproducibility", r.Reproducibility.StdDev, 0.02394813, 1e-7)
	near(t, "gauge", r.Gauge.StdDev, 0.14792656, 1e-7)
	near(t, "part", r.Part.StdDev, 0.25365123, 1e-7)
	near(t, "total", r.Total.StdDev, 0.29363449, 1e-7)
	near(t, "repeatability, degrees of freedom", r.Repeatability.DegreesOfFreedom, 22, 1e-9)
	if r.DistinctCategories != 2 || r.Interaction.StdDev != 0 || !r.Interaction.Known {
		t.Errorf("%d categories, interaction %+v", r.DistinctCategories, r.Interaction)
	}
	if !noted(r, "Only 3 parts") {
		t.Errorf("notes %q", r.Notes)
	}
}

func noted(r StudyResult, words string) bool {
	return strings.Contains(strings.Join(r.Notes, "\n"), words)
}

// study makes readings of cells: study("A", "P1", 1, 2) reads P1 twice.
func readingsOf(person, part string, xs ...float64) []StudyReading {
	var out []StudyReading
	for _, x := range xs {
		out = append(out, StudyReading{part, person, x})
	}
	return out
}

func TestStudyOnePerson(t *testing.T) {
	rs := append(readingsOf("A", "P1", 1, 3), readingsOf("A", "P2", 6, 8)...)
	r, err := Study(rs)
	if err != nil {
		t.Fatal(err)
	}
	// By hand: MS within = (2+2)/2 = 2, MS parts = 25; part² = (25−2)/2.
	near(t, "repeatability", r.Repeatability.StdDev, math.Sqrt2, 1e-12)
	near(t, "part", r.Part.StdDev, math.Sqrt(11.5), 1e-12)
	if r.Reproducibility.Known || r.Interaction.Known || r.InteractionTested || !noted(r, "One person") {
		t.Errorf("%+v", r)
	}
}

func TestStudyTwoPeopleSaysSo(t *testing.T) {
	r, err := Study(readStudy(t, "study_two_people.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if r.PersonLine.DegreesOfFreedom != 1 || !noted(r, "Two people give one degree of freedom") {
		t.Errorf("%+v", r)
	}
	if !(r.Reproducibility.High > 10*r.Reproducibility.StdDev) {
		t.Errorf("the interval of one degree of freedom is wide: %+v", r.Reproducibility)
	}
}

func TestStudyMissingCell(t *testing.T) {
	rs := append(readingsOf("A", "P1", 1, 3), readingsOf("A", "P2", 6, 8)...)
	rs = append(rs, readingsOf("B", "P1", 2, 2)...)
	r, err := Study(rs)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "repeatability", r.Repeatability.StdDev, math.Sqrt(4.0/3), 1e-12) // by hand: (2+2+0)/3
	if r.Part.Known || r.Reproducibility.Known || !noted(r, "part P2 by B") {
		t.Errorf("%+v", r)
	}
	rs = append(rs, readingsOf("B", "P2", 7)...)
	if r, err = Study(rs); err != nil || r.Part.Known || !noted(r, "equally often") {
		t.Errorf("%v %+v", err, r)
	}
}

func TestStudyOneReadingEach(t *testing.T) {
	rs := append(readingsOf("A", "P1", 1), readingsOf("A", "P2", 6)...)
	rs = append(rs, append(readingsOf("B", "P1", 3), readingsOf("B", "P2", 7)...)...)
	r, err := Study(rs)
	if err != nil {
		t.Fatal(err)
	}
	// By hand: cell residuals ∓0.25: SS 4·(1/16) = 0.25 with 1 degree of freedom.
	near(t, "repeatability", r.Repeatability.StdDev, 0.5, 1e-12)
	if r.InteractionTested || !noted(r, "read once by each") {
		t.Errorf("%+v", r)
	}
}

func TestStudyOnePartAndNoScatter(t *testing.T) {
	rs := append(readingsOf("A", "P1", 1, 3), readingsOf("B", "P1", 6, 8)...)
	r, err := Study(rs)
	if err != nil {
		t.Fatal(err)
	}
	if r.Part.Known || !r.Reproducibility.Known || r.DistinctCategories != 0 || !noted(r, "One part only") {
		t.Errorf("%+v", r)
	}
	rs = append(readingsOf("A", "P1", 1, 1), readingsOf("A", "P2", 2, 2)...)
	rs = append(rs, append(readingsOf("B", "P1", 1, 1), readingsOf("B", "P2", 2, 2)...)...)
	if r, err = Study(rs); err != nil || r.Gauge.StdDev != 0 || !noted(r, "resolution hides") {
		t.Errorf("%v %+v", err, r)
	}
}

func TestStudyRefuses(t *testing.T) {
	for name, rs := range map[string][]StudyReading{
		"nothing":   nil,
		"one":       readingsOf("A", "P1", 1),
		"no repeat": append(readingsOf("A", "P1", 1), readingsOf("A", "P2", 2)...),
		"no name":   append(readingsOf("", "P1", 1), readingsOf("A", "P2", 2)...),
		"NaN":       readingsOf("A", "P1", 1, math.NaN()),
	} {
		if _, err := Study(rs); !errors.Is(err, ErrInput) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Whatever is read, variances add up, nothing is negative or NaN, and moving
// all readings by as much changes nothing.
func TestStudyProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, n := rapid.IntRange(1, 5).Draw(t, "parts"), rapid.IntRange(1, 3).Draw(t, "persons"), rapid.IntRange(2, 3).Draw(t, "repeats")
		var rs, moved []StudyReading
		for i := range a {
			for j := range b {
				for range n {
					x := float64(rapid.IntRange(0, 30).Draw(t, "x"))
					rs = append(rs, StudyReading{fmt.Sprint(i), fmt.Sprint(j), x})
					moved = append(moved, StudyReading{fmt.Sprint(i), fmt.Sprint(j), x + 1000})
				}
			}
		}
		r, err := Study(rs)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []Component{r.Repeatability, r.Reproducibility, r.Interaction, r.Gauge, r.Part, r.Total} {
			if !(c.StdDev >= 0) || !(c.Low >= 0) || !(c.High >= c.Low) || !(c.DegreesOfFreedom >= 0) {
				t.Fatalf("%+v", c)
			}
		}
		sum := square(r.Repeatability.StdDev) + square(r.Reproducibility.StdDev) + square(r.Interaction.StdDev)
		if math.Abs(sum-square(r.Gauge.StdDev)) > 1e-9*(1+sum) {
			t.Fatalf("gauge² %g is not the sum %g", square(r.Gauge.StdDev), sum)
		}
		m, err := Study(moved)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(m.Gauge.StdDev-r.Gauge.StdDev) > 1e-9*(1+r.Gauge.StdDev) && math.Abs(m.InteractionP-PoolInteractionAbove) > 1e-9 {
			t.Fatalf("moved: %g, was %g", m.Gauge.StdDev, r.Gauge.StdDev)
		}
	})
}

func TestStudyPlan(t *testing.T) {
	plan, err := StudyPlan([]string{"1", "2", "3"}, []string{"A", "B"}, 2, 5)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[StudyStep]int{}
	for _, s := range plan {
		seen[s]++
	}
	if len(plan) != 12 || len(seen) != 12 {
		t.Errorf("%d steps, %d different", len(plan), len(seen))
	}
	again, _ := StudyPlan([]string{"1", "2", "3"}, []string{"A", "B"}, 2, 5)
	if fmt.Sprint(again) != fmt.Sprint(plan) {
		t.Error("the same seed gives another plan")
	}
	for _, c := range []struct {
		parts, persons []string
		rounds         int
	}{{nil, []string{"A"}, 2}, {[]string{"1"}, []string{"A"}, 1}, {[]string{"1", "1"}, []string{"A"}, 2}, {[]string{"1"}, []string{""}, 2}} {
		if _, err := StudyPlan(c.parts, c.persons, c.rounds, 1); !errors.Is(err, ErrInput) {
			t.Errorf("%+v: %v", c, err)
		}
	}
}
