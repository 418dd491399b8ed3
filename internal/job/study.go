// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"math"
	"slices"

	"witnessmark/bearing"
	"witnessmark/metrology"
	"witnessmark/record"
	"witnessmark/units"
)

// GaugeStudy is a gauge study while it is read: the fold of its log.
type GaugeStudy struct {
	StudyOpened
	Subject string
	Opened  At
	Steps   []metrology.StudyStep
	Read    map[int]Noted[StudyRead] // by step, from 1
	// back are the persons who took their last reading back and did not read it
	// again yet: one step back, no further.
	back map[string]bool
}

// FoldStudy turns the log of a study into the study. Of several readings of
// one step the first counts: who read it knows no other. One that was taken
// back at once is no reading.
func FoldStudy(entries []record.Entry) GaugeStudy {
	g := GaugeStudy{Read: map[int]Noted[StudyRead]{}, back: map[string]bool{}}
	var s State
	for i, body := range correct(&s, entries) {
		e := entries[i]
		g.Subject = e.Subject
		switch b := body.(type) {
		case *StudyOpened:
			g.StudyOpened, g.Opened = *b, at(e)
			g.Steps, _ = b.plan()
		case *StudyRead:
			if _, ok := g.Read[b.Step]; !ok && b.Step <= len(g.Steps) {
				g.Read[b.Step] = Noted[StudyRead]{At: at(e), Body: *b}
				delete(g.back, g.Steps[b.Step-1].Person)
			}
		case *StudyAgain:
			if g.MayReadAgain(b.Step) {
				delete(g.Read, b.Step)
				g.back[g.Steps[b.Step-1].Person] = true
			}
		}
	}
	return g
}

// MayReadAgain reports whether the reading of a step can be taken back: it is
// the last one of its person, who took none back before it, and the study is
// not read to its end.
func (g GaugeStudy) MayReadAgain(step int) bool {
	if step < 1 || step > len(g.Steps) || g.Done() {
		return false
	}
	person := g.Steps[step-1].Person
	return g.Last(person) == step && !g.back[person]
}

// Last is the step that a person read last, 0 when they have read none.
func (g GaugeStudy) Last(person string) (step int) {
	for i, s := range g.Steps {
		if r, read := g.Read[i+1]; read && s.Person == person && (step == 0 || r.At.Seq > g.Read[step].At.Seq) {
			step = i + 1
		}
	}
	return step
}

// Next is the step that a person reads next, 0 when they have read all of
// theirs. The order of the study is that within each person's turn.
func (g GaugeStudy) Next(person string) int {
	for i, s := range g.Steps {
		if _, read := g.Read[i+1]; !read && s.Person == person {
			return i + 1
		}
	}
	return 0
}

// Turn is whose turn it is by the study's order, "" when all is read.
func (g GaugeStudy) Turn() string {
	for i, s := range g.Steps {
		if _, read := g.Read[i+1]; !read {
			return s.Person
		}
	}
	return ""
}

// Done reports whether every step is read.
func (g GaugeStudy) Done() bool { return len(g.Steps) > 0 && len(g.Read) == len(g.Steps) }

// Left is how many steps a person still has to read.
func (g GaugeStudy) Left(person string) (n int) {
	for i, s := range g.Steps {
		if _, read := g.Read[i+1]; !read && s.Person == person {
			n++
		}
	}
	return n
}

// Readings are those of the study in the order of its steps. People are named
// by letters: their names belong beside a log.
func (g GaugeStudy) Readings() []StudyReading {
	var out []StudyReading
	for i, s := range g.Steps {
		if r, ok := g.Read[i+1]; ok {
			out = append(out, StudyReading{Part: s.Part, Person: g.letter(s.Person), Value: r.Body.Value})
		}
	}
	return out
}

func (g GaugeStudy) letter(person string) string {
	return string(rune('A' + max(0, slices.Index(g.Persons, person))))
}

// Studied is the study as the gauge's log takes it.
func (g GaugeStudy) Studied(day string) ToolStudied {
	return ToolStudied{Date: day, Readings: g.Readings(), Remark: g.Remark}
}

// Question says what seems impossible in a reading of the study.
func (g GaugeStudy) Question(value float64, t Tool) string {
	in := t.Instrument()
	see := bearing.Sighting{What: "this part", Value: value, Gauge: g.Gauge, Reads: bearing.Limits{Min: in.Range.Min, Max: in.Range.Max}}
	if g.Low != nil && g.High != nil { // whoever planned the study knows its parts: within them nothing is far off
		if slip, meant := metrology.FindSlip(value, metrology.Limits{Min: g.Low.Value, Max: g.High.Value}); slip != metrology.NoSlip {
			return fmt.Sprintf("%g mm is outside what these parts can be; %s would make it %.4g mm", value, slipWords[slip], meant)
		}
		if value < g.Low.Value || value > g.High.Value {
			return fmt.Sprintf("%g mm is outside what these parts can be, %s to %s", value, readText(*g.Low), readText(*g.High))
		}
	}
	if value <= 0 {
		return "nothing measures nothing"
	}
	return bearing.Question(see)
}

var slipWords = map[metrology.Slip]string{
	metrology.SlipInch: "inches", metrology.SlipThou: "thousandths of an inch", metrology.SlipMicrometre: "micrometres", metrology.SlipMetre: "metres",
	metrology.SlipTenUp: "the point one place on", metrology.SlipTenDown: "the point one place back",
}

// StudyView is a gauge study's result in words.
type StudyView struct {
	Head  string // "10 parts, 2 people, 60 readings"
	Rows  []StudyRow
	Facts []string
	Notes []string
}

// StudyRow is one component of the spread.
type StudyRow struct {
	Name, Spread, Interval, Freedom string
}

// ShowStudy puts a study's result into words; err says why there is none.
func ShowStudy(b ToolStudied, voice Voice) (StudyView, error) {
	r, err := b.Study()
	if err != nil {
		return StudyView{}, err
	}
	v := StudyView{Head: count(r.Parts, "part", "parts") + ", " + count(r.Persons, "person", "people") + ", " + count(r.Readings, "reading", "readings"), Notes: r.Notes}
	um := func(mm float64) string { return units.Number(1000*mm, units.UnitMillimetre, 1) }
	for _, c := range []struct {
		name string
		c    metrology.Component
	}{
		{"Repeatability: one person, one part", r.Repeatability}, {"Between people", r.Reproducibility}, {"People differ from part to part", r.Interaction},
		{"The gauge in all", r.Gauge}, {"The parts", r.Part}, {"All together", r.Total},
	} {
		if !c.c.Known {
			v.Rows = append(v.Rows, StudyRow{c.name, "can’t be told", "", ""})
			continue
		}
		row := StudyRow{Name: c.name, Spread: um(c.c.StdDev) + " µm", Freedom: "–"}
		if c.c.DegreesOfFreedom > 0 {
			row.Freedom = units.Number(c.c.DegreesOfFreedom, units.UnitMillimetre, 1)
		}
		switch {
		case c.c.Clipped:
			row.Interval = "set to zero: no more than the repeatability explains"
		case math.IsInf(c.c.High, 1):
			row.Interval = um(c.c.Low) + " µm or more"
		case c.c.High > 0:
			row.Interval = um(c.c.Low) + " to " + um(c.c.High) + " µm"
			if c.c.High > 5*c.c.StdDev {
				row.Interval += ", very wide"
			}
		}
		v.Rows = append(v.Rows, row)
	}
	if r.Total.Known && r.Total.StdDev > 0 {
		v.Facts = append(v.Facts, fmt.Sprintf("The gauge makes up %.0f %% of the spread of these readings (ratio of standard deviations).", r.GaugePercentOfTotal))
	}
	if r.DistinctCategories > 0 {
		v.Facts = append(v.Facts, fmt.Sprintf("It can tell %s of these parts apart.", count(r.DistinctCategories, "class", "classes")))
	}
	if r.InteractionTested {
		what := "kept"
		if r.Pooled {
			what = "pooled into the repeatability"
		}
		v.Facts = append(v.Facts, fmt.Sprintf("Interaction of people and parts: p = %.2g, %s.", r.InteractionP, what))
	}
	return v, nil
}
