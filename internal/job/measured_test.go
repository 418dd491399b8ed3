// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"strings"
	"testing"

	"witnessmark/metrology"
	"witnessmark/record"
	"witnessmark/sheets"
	"witnessmark/units"
)

// bench is a job on the invented V8 with gauges, told as bodies.
type bench struct {
	*testing.T
	entries []record.Entry
	basis   Basis
}

func newBench(t *testing.T) *bench {
	t.Helper()
	sheet, err := sheets.Named(sheets.V8)
	if err != nil {
		t.Fatal(err)
	}
	gauge := func(id, kind, u string) Tool {
		return Tool{ToolAdded: ToolAdded{ID: id, Kind: kind, Resolution: mm(t, "0.001 mm"), U: mm(t, u)}}
	}
	strip := Tool{ToolAdded: ToolAdded{ID: "SG-1", Kind: "strip_gauge"}}
	for _, g := range []string{"0.025", "0.038", "0.051", "0.064", "0.076"} {
		strip.Graduations = append(strip.Graduations, *mm(t, g+" mm"))
	}
	return &bench{T: t, basis: Basis{Sheet: sheet, Tools: Register{"SG-1": strip, "MM-1": gauge("MM-1", "micrometer", "0.0015 mm"),
		"BG-1": gauge("BG-1", "bore_gauge", "0.0015 mm"), "TM-1": gauge("TM-1", "tube_micrometer", "0.0015 mm")}}}
}

func (b *bench) add(kind string, body any) int64 {
	b.Helper()
	p, err := Propose("job/1", kind, body)
	if err != nil {
		b.Fatal(err)
	}
	seq := int64(len(b.entries) + 1)
	b.entries = append(b.entries, record.Entry{Proposal: p, Seq: seq})
	return seq
}

func (b *bench) strip(position int, phase, low, high string) {
	b.add("reading", Reading{Of: OfClearance, Phase: phase, Position: position, Gauge: "SG-1", Strip: &StripRead{How: StripBetween, A: *mm(b.T, low), B: mm(b.T, high)}})
}

// part measures one part in two planes at the angles given.
func (b *bench) part(of, phase, gauge string, position int, angles []string, values ...string) {
	p := PartMeasured{Of: of, Phase: phase, Position: position, Gauge: gauge, CapTorqued: true}
	for i, v := range values {
		c := PartCell{Value: *mm(b.T, v)}
		if len(angles) > 0 {
			a, err := units.Parse(units.KindAngle, angles[i%len(angles)], units.UnitDegree)
			if err != nil {
				b.Fatal(err)
			}
			c.Angle, c.Plane = &a, []string{"front", "rear"}[i/len(angles)%2]
		}
		p.Cells = append(p.Cells, c)
	}
	b.add("part_measured", p)
}

func (b *bench) view(position int) (PositionAssessment, PositionView, Assessment) {
	b.Helper()
	s := Fold(b.entries)
	a := Assess(s, b.basis)
	pa, _ := a.Position(position)
	for _, p := range Show(a, s, b.basis, Voice{Units: units.Metric}).Positions {
		if p.Position == position {
			return pa, p, a
		}
	}
	b.Fatal("no such position")
	return pa, PositionView{}, a
}

// A clearance from parts is bore less journal less walls plus the growth, by
// hand, and agrees with the strip; together they are surer than either.
func TestClearanceFromParts(t *testing.T) {
	b := newBench(t)
	b.strip(4, AsFitted, "0.038 mm", "0.051 mm")
	b.part(OfHousingBore, AsFitted, "BG-1", 4, []string{"0°", "60°", "120°"}, "56.008 mm", "56.007 mm", "56.009 mm", "56.008 mm", "56.008 mm", "56.008 mm")
	b.part(OfJournal, AsFound, "MM-1", 4, []string{"0°", "45°", "90°", "135°"}, "51.993 mm", "51.992 mm", "51.991 mm", "51.992 mm", "51.992 mm", "51.992 mm", "51.992 mm", "51.992 mm")
	b.part(OfUpperWall, AsFitted, "TM-1", 4, nil, "1.988 mm", "1.989 mm", "1.988 mm")
	b.part(OfLowerWall, AsFitted, "TM-1", 4, nil, "1.988 mm", "1.988 mm", "1.988 mm")
	pa, v, a := b.view(4)
	if pa.FromParts == nil {
		t.Fatalf("no clearance from parts: %+v", a.Obstacles)
	}
	want := 56.008 - 51.992 - 1.988333333 - 1.988 + a.Crush.BoreMM
	if math.Abs(pa.FromParts.ValueMM-want) > 1e-6 {
		t.Errorf("%.6f mm from parts, by hand %.6f", pa.FromParts.ValueMM, want)
	}
	beside := pa.FromParts.Beside
	if beside == nil || !beside.Agree || *beside.CombinedU >= beside.StripU || *beside.CombinedU >= pa.FromParts.U || !pa.Fitted.ByParts {
		t.Errorf("beside the strip: %+v", beside)
	}
	if mc := pa.FromParts.Budget.MonteCarlo; mc == nil || mc.Decides || math.Abs(mc.ValueMM-want) > 2e-4 {
		t.Errorf("trials: %+v", mc)
	}
	if pa.FromParts.Budget.Better == nil && !strings.Contains(strings.Join(v.FromParts.Budget.Words, " "), "shells in") {
		t.Errorf("nothing says what would shrink it: %q", v.FromParts.Budget.Words)
	}
	j := pa.Parts[1]
	if j.Part != OfJournal || j.Ovality == nil || j.Taper == nil || j.Ovality.BiasMM <= 0 || j.Ovality.RangeBiasMM <= j.Ovality.BiasMM/2 {
		t.Errorf("journal: %+v", j)
	}
	if pa.Running == nil || pa.Running.ClearanceMM == 0 {
		t.Errorf("running: %+v", pa.Running)
	}
}

// Wide as found and as fitted: the questions, a second strip, then the bore;
// measuring it confirms.
func TestExcessLeadsToTheBore(t *testing.T) {
	b := newBench(t)
	b.add("reading", Reading{Of: OfClearance, Phase: AsFound, Position: 4, Gauge: "BG-1", Value: mm(t, "0.088 mm"), U: mm(t, "0.003 mm")})
	for _, p := range []int{1, 2, 3, 5} {
		b.strip(p, AsFitted, "0.038 mm", "0.051 mm")
	}
	b.strip(4, AsFitted, "0.064 mm", "0.076 mm")
	step := func(want, next string) ExcessView {
		t.Helper()
		pa, v, _ := b.view(4)
		if pa.Excess == nil || pa.Excess.Step != want || !strings.Contains(v.Excess.Next, next) {
			t.Fatalf("excess %+v, want step %s and %q in %q", pa.Excess, want, next, v.Excess.Next)
		}
		return *v.Excess
	}
	e := step(StepAsk, "7 are left")
	if e.Title != "0.025 mm above the middle of the limits" || !strings.Contains(strings.Join(e.Words, " "), "stands out from the other positions") {
		t.Errorf("%q, %q", e.Title, e.Words)
	}
	b.add("excess_asked", ExcessAsked{Position: 4, Phase: AsFitted, Clear: FirstQuestions})
	step(StepReadAgain, "Read again")
	b.strip(4, AsFitted, "0.064 mm", "0.076 mm")
	if e := step(StepMeasure, "Measure the housing bore"); e.Measure != OfHousingBore {
		t.Errorf("measure %s", e.Measure)
	}
	b.part(OfHousingBore, AsFitted, "BG-1", 4, []string{"0°", "60°", "120°"}, "56.021 mm", "56.022 mm", "56.020 mm", "56.021 mm", "56.021 mm", "56.021 mm")
	if e := step(StepConfirmed, "Decide"); !strings.Contains(e.Confirmed, "housing bore brings 0.013 mm of the 0.025 mm") {
		t.Errorf("%q", e.Confirmed)
	}
	// Other shells: the questions are asked anew.
	b.add("shell_fitted", ShellFitted{Position: 4, Upper: Shell{ID: "U90"}})
	b.add("shell_fitted", ShellFitted{Position: 4, Upper: Shell{ID: "U99"}})
	b.strip(4, AsFitted, "0.064 mm", "0.076 mm")
	step(StepAsk, "7 are left")
}

// A gauge study turns a fits into not proven, and the view says why.
func TestStudyTurnsAFit(t *testing.T) {
	b := newBench(t)
	b.strip(1, AsFitted, "0.038 mm", "0.051 mm")
	if pa, _, _ := b.view(1); pa.Fitted.Decision.Verdict != metrology.Within {
		t.Fatalf("%+v", pa.Fitted.Decision)
	}
	mean, persons := 0.045, 9.0
	sg := b.basis.Tools["SG-1"]
	sg.Studies = []Noted[ToolStudied]{{Body: ToolStudied{Date: "2026-02-01", Repeatability: 7, DegreesOfFreedom: 20, Reproducibility: &persons, Mean: &mean, Parts: 8, Persons: 2}}}
	b.basis.Tools["SG-1"] = sg
	pa, v, _ := b.view(1)
	if pa.Fitted.Decision.Verdict != metrology.NotProven || !strings.Contains(v.Fitted.Study, "Without the study it would be ‘fits’; with it, it is ‘not proven’.") ||
		!strings.Contains(v.Fitted.Study, "gauge study of SG-1, 2026-02-01, 2 persons") {
		t.Errorf("%s: %q", pa.Fitted.Decision.Verdict, v.Fitted.Study)
	}
}

// What is impossible does not count until somebody says why it is right.
func TestImpossibleReadingsAreQuestioned(t *testing.T) {
	b := newBench(t)
	b.add("reading", Reading{Of: OfJournal, Phase: AsFound, Position: 2, Gauge: "MM-1", Value: mm(t, "2.0469 mm")})
	pa, _, a := b.view(2)
	found := ""
	for _, o := range a.Obstacles {
		if o.Code == Questionable {
			found = o.Items[0]
		}
	}
	if len(pa.Parts) > 0 || !strings.Contains(found, "this looks like inches") {
		t.Errorf("%d parts, questioned %q", len(pa.Parts), found)
	}
	b.add("reading", Reading{Of: OfJournal, Phase: AsFound, Position: 2, Gauge: "MM-1", Value: mm(t, "2.0469 mm"), Questioned: "looks like inches", Reason: "a model crank"})
	if pa, _, _ := b.view(2); len(pa.Parts) != 1 {
		t.Errorf("kept with a reason it counts as %d parts", len(pa.Parts))
	}
}
