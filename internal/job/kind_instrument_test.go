// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"testing"

	"witnessmark/metrology"
	"witnessmark/units"
)

func mm(t *testing.T, text string) *units.Read {
	t.Helper()
	r, err := units.Parse(units.KindLength, text, units.UnitMillimetre)
	if err != nil {
		t.Fatal(err)
	}
	return &r
}

// A study replaces what was stated or assumed; one of a single person says
// nothing of persons and takes nothing back.
func TestInstrumentSpread(t *testing.T) {
	persons := 0.8
	two := ToolStudied{Date: "2026-02-01", Repeatability: 1.2, DegreesOfFreedom: 20, Reproducibility: &persons, Interaction: 0.6, Parts: 10, Persons: 2}
	one := ToolStudied{Date: "2026-03-01", Repeatability: 2, DegreesOfFreedom: 20, Parts: 5, Persons: 1}
	bare := Tool{ToolAdded: ToolAdded{ID: "MM-9", Kind: "micrometer", Resolution: mm(t, "0.001 mm")}}
	stated := bare
	stated.U = mm(t, "0.0015 mm")
	with := func(x Tool, studies ...ToolStudied) Tool {
		for _, s := range studies {
			if err := s.check(); err != nil {
				t.Fatal(err)
			}
			x.Studies = append(x.Studies, Noted[ToolStudied]{Body: s})
		}
		return x
	}
	reading := Reading{Value: mm(t, "51.979 mm")}
	for name, c := range map[string]struct {
		tool          Tool
		u             float64 // derived by hand, mm
		from, persons string
		assumed       bool
	}{
		"assumed: one step":        {bare, 0.001, SpreadAssumed, SpreadAssumed, true},
		"stated, half a step more": {stated, math.Hypot(0.0015, 0.0005/math.Sqrt(3)), SpreadStated, SpreadAssumed, false},
		// √(1.2² + 0.8² + 0.6²) = 1.562 µm
		"two persons":          {with(stated, two), 0.0015620, SpreadStudy, SpreadStudy, false},
		"one person":           {with(bare, one), 0.002, SpreadStudy, SpreadAssumed, false},
		"two, then one person": {with(bare, two, one), math.Hypot(0.002, 0.001), SpreadStudy, SpreadStudy, false},
	} {
		in := c.tool.Instrument()
		m := direct(reading, c.tool)
		if math.Abs(m.StandardUncertainty()-c.u) > 1e-7 || in.From != c.from || in.PersonsFrom != c.persons || m.Assumed != c.assumed {
			t.Errorf("%s: u %.7f mm from %s, persons %s, assumed %t", name, m.StandardUncertainty(), in.From, in.PersonsFrom, m.Assumed)
		}
	}
}

// A study of a strip gauge widens its readings by what it found over its mean.
func TestStripStudy(t *testing.T) {
	mean, persons := 0.050, 4.0
	strip := Tool{ToolAdded: ToolAdded{ID: "SG-9", Kind: "strip_gauge", Graduations: []units.Read{*mm(t, "0.038 mm"), *mm(t, "0.051 mm"), *mm(t, "0.064 mm")}}}
	strip.Studies = []Noted[ToolStudied]{{Body: ToolStudied{Date: "2026-02-01", Repeatability: 3, DegreesOfFreedom: 20, Reproducibility: &persons, Mean: &mean, Parts: 10, Persons: 2}}}
	scale, err := StripScale(strip, Reading{})
	if err != nil {
		t.Fatal(err)
	}
	// √(3² + 4²) = 5 µm of 50 µm, by hand.
	if math.Abs(scale.RelativeU-0.10) > 1e-12 || math.Abs(scale.CommonRelativeU-0.08) > 1e-12 || scale.Assumed {
		t.Errorf("relative %g, common %g, assumed %t", scale.RelativeU, scale.CommonRelativeU, scale.Assumed)
	}
}

// With readings the figures are worked out of them.
func TestStudyFromReadings(t *testing.T) {
	var rs []StudyReading
	var same []metrology.StudyReading
	for i, text := range []string{"51.980", "51.981", "51.990", "51.990", "51.982", "51.983", "51.991", "51.993"} {
		r := StudyReading{Part: string(rune('a' + i/2%2)), Person: string(rune('p' + i/4)), Value: *mm(t, text+" mm")}
		rs = append(rs, r)
		same = append(same, metrology.StudyReading{Part: r.Part, Person: r.Person, Reading: r.Value.Value})
	}
	b := ToolStudied{Date: "2026-02-01", Readings: rs, Repeatability: 99}
	if err := b.check(); err != nil {
		t.Fatal(err)
	}
	got, err := b.Study()
	want, _ := metrology.Study(same)
	if err != nil || got.Repeatability != want.Repeatability || got.Persons != 2 {
		t.Errorf("%+v, %v", got.Repeatability, err)
	}
	one := 1.0
	for name, bad := range map[string]ToolStudied{
		"nothing":             {Date: "2026-02-01", Parts: 2, Persons: 1},
		"one person's spread": {Date: "2026-02-01", Parts: 2, Persons: 1, Repeatability: 1, Reproducibility: &one},
		"no date":             {Repeatability: 1, Parts: 2, Persons: 1},
		"one reading":         {Date: "2026-02-01", Readings: rs[:1]},
	} {
		if bad.check() == nil {
			t.Errorf("%s is understood", name)
		}
	}
}
