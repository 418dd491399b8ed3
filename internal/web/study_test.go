// SPDX-License-Identifier: Apache-2.0

package web

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"witnessmark/internal/job"
)

// readAll reads the steps of whoever is at the tablet until none are left.
func (a answer) readAll(value func(part, k int) string) answer {
	a.Helper()
	for k := 0; a.Find("#reading-blind").Length() > 0; k++ {
		part, err := strconv.Atoi(strings.TrimSpace(a.Find("h1 .huge").Text()))
		a.must(err)
		typed := value(part, k)
		a = a.press("#keep", "value", typed).follow()
		if a.Find("#reading-blind, .headline").Length() > 0 { // not read to its end
			a.says("[role=status]", "It stays hidden until all are read.")
			if strings.Contains(a.Find("main").Text(), typed) {
				a.Errorf("%s is shown although the study is read blind", typed)
			}
		}
	}
	return a
}

// wide reads a part with some scatter, this person so much higher.
func wide(higher float64) func(part, k int) string {
	return func(part, k int) string {
		return fmt.Sprintf("%.4f", 0.03+0.004*float64(part)+0.0005*float64(k%2)+higher)
	}
}

// Two people are led through their own steps, nobody sees a figure before all
// is read, a reading that can't be is questioned, and the gauge takes what comes
// of it.
func TestStudyIsReadBlind(t *testing.T) {
	k := newKit(t)
	one, two := k.as(job.Technician), k.as(job.Inspector)
	page := one.get("/tools/DI-1/study")
	page.says(".empty", "No study was read")
	page.press("#open button.go", "parts", "3").says(".problem", "Nobody was named who reads")
	page.press("#open button.go", "parts", "3", "rounds", "1", "person", "p-technician").says(".problem", "Read everything at least twice")
	study := page.press("#open button.go", "parts", "3", "low", "0.02 mm", "high", "0.07 mm", "person", "p-technician", "person", "p-inspector").follow()
	at := "/studies/" + strings.TrimPrefix(one.get("/tools/DI-1/study").Find("a[href^='/studies/']").AttrOr("href", ""), "/studies/")
	study.says("main", "6 left")
	odd := study.press("#keep", "value", "0.4")
	if odd.status != http.StatusUnprocessableEntity {
		t.Errorf("status %d", odd.status)
	}
	odd.says(".problem", "outside what these parts can be")
	// The other's step is nobody else's; what was read counts once.
	v, action := study.fill("#keep", "value", "0.04")
	v.Set("as", "p-inspector")
	two.send(action, v).says(".problem", "somebody else’s to read")

	// The one before was mistyped: its part comes again, and no other before it.
	part := study.Find("h1 .huge").Text()
	study = study.press("#keep", "value", "0.063").follow()
	twice, to := study.fill("#again button")
	study = study.press("#again button").follow()
	study.says("h1 .huge", part)
	study.count("#again", 0)
	one.send(to, twice).follow().says("h1 .huge", part)
	twice.Set("id", "")
	one.send(to, twice).says(".problem", "only the reading before can be taken back")
	twice.Set("as", "p-inspector")
	two.send(to, twice).says(".problem", "somebody else’s to read")

	study = study.readAll(wide(0))
	study.says(".headline", "You have read all of yours")
	again, _ := two.get(at).fill("#keep", "value", "0.04")
	if a := one.get(at + "/readings.csv"); a.status != http.StatusUnprocessableEntity {
		t.Errorf("the readings are given away: %d", a.status)
	}
	k.as(job.Office).get(at).says(".empty", "You do not read in this study.")
	result := two.get(at).readAll(wide(0.012))
	result.says("h1", "the result")
	result.says("table.study", "Between people")
	result.says(".is-unproven", "Two people give one degree of freedom")
	two.send(at+"/read", again).says(".problem", "is read already")

	csv := two.get(at + "/readings.csv")
	if !strings.HasPrefix(csv.body, "part,person,reading_mm\n") || strings.Count(csv.body, "\n") != 13 || strings.Contains(csv.body, "p-tech") {
		t.Errorf("the table:\n%s", csv.body)
	}
	tool := result.press("#use button").follow()
	tool.says("main", "2 persons")
	two.get(at).says(".is-fits", "The gauge uses it")
}

// What one person can tell is said, and no more.
func TestStudyOfOnePerson(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	study := b.get("/tools/DI-1/study").press("#open button.go", "parts", "J1 J2, J3", "person", "p-technician").follow()
	for range 6 {
		study = study.press("#keep", "value", fmt.Sprintf("0.0%d", 30+len(study.Find("main").Text())%7)).follow()
	}
	study.says(".is-unproven", "One person read everything: this is the repeatability alone")
	study.says("table.study tr:nth-child(2)", "can’t be told")
	study.press("#use button").follow().says("main", "from the gauge study")
}

// A table with a missing cell says what is missing and what can be told; what
// is no table keeps what was typed.
func TestStudyFromATable(t *testing.T) {
	b := newKit(t).as(job.Technician)
	page := b.get("/tools/DI-1/study")
	wrong := page.press("#table button", "text", "part,person,reading_mm\nJ1,Ada,wide\n")
	wrong.says(".problem", `Line 2: reading_mm "wide"`)
	wrong.says("textarea[name=text]", "J1,Ada,wide")
	var text strings.Builder
	text.WriteString("part,person,reading_mm\n")
	for _, line := range []string{"J1,Ada,0.041", "J1,Ada,0.042", "J1,Ben,0.044", "J1,Ben,0.043", "J2,Ada,0.051", "J2,Ada,0.053"} {
		text.WriteString(line + "\n")
	}
	missing := page.press("#table button", "text", text.String())
	missing.says("#result", "missing: part J2 by B")
	missing.says("#result", "Only the repeatability can be told")
	if strings.Contains(missing.Find("#result").Text(), "Ada") {
		t.Error("a name is in the result")
	}
	text.WriteString("J2,Ben,0.055\nJ2,Ben,0.054\n")
	full := page.press("#table button", "text", text.String())
	full.says("#result", "2 parts, 2 people, 8 readings")
	full.press("#result button.go").follow().says("main", "2 persons")
}
