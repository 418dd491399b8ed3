// SPDX-License-Identifier: Apache-2.0

package job

import (
	"errors"
	"fmt"
	"math"

	"witnessmark/metrology"
	"witnessmark/units"
)

// Measurable is what a gauge can measure, as [ToolDescribed.Measures] names it.
var Measurable = []string{OfClearance, OfJournal, OfHousingBore, OfShellBore, OfUpperWall, OfLowerWall, OfSideClearance, OfEndFloat, "depth", "stretch"}

// ToolDescribed says of a gauge what a budget needs and its first entry does
// not hold. A later one replaces an earlier one.
type ToolDescribed struct {
	Measures []string    `json:"measures,omitempty"`
	Low      *units.Read `json:"low,omitempty"` // range
	High     *units.Read `json:"high,omitempty"`
	// Resolution is the smallest step that is read.
	Resolution *units.Read `json:"resolution,omitempty"`
	// Expansion of the scale, in µm per metre and kelvin.
	Expansion float64 `json:"scale_expansion_um_m_K,omitempty"`
	// SetWith is the tool that the gauge is set against before use, such as the
	// micrometer or the ring of a bore gauge: it brings its own calibration.
	SetWith string `json:"set_with,omitempty"`
	// IntervalMonths is how often it is calibrated.
	IntervalMonths int    `json:"calibration_interval_months,omitempty"`
	Remark         string `json:"remark,omitempty"`
}

func (b *ToolDescribed) check() error {
	switch {
	case b.Expansion < 0 || b.Expansion > 100:
		return fmt.Errorf("expansion of the scale %g µm/(m·K): write a value from 0 to 100, such as 11.5 for steel", b.Expansion)
	case b.IntervalMonths < 0 || b.IntervalMonths > 240:
		return fmt.Errorf("calibration interval of %d months: write 1 to 240", b.IntervalMonths)
	case b.Low != nil && b.High != nil && b.Low.Value >= b.High.Value:
		return fmt.Errorf("range from %s to %s: write the lower end first", b.Low.Text, b.High.Text)
	case b.Resolution != nil && b.Resolution.Value <= 0:
		return fmt.Errorf("resolution %s must be above zero", b.Resolution.Text)
	}
	return firstError(checkEach("measures", b.Measures, Measurable...), checkLength("set with", b.SetWith), checkLength("remark", b.Remark))
}

func (b *ToolDescribed) apply(*State, At) {}

func (b *ToolDescribed) words(PositionNamer) string {
	w := "Described"
	if len(b.Measures) > 0 {
		w += ": measures " + list(plainWords(b.Measures))
	}
	if b.SetWith != "" {
		w += "; set with " + b.SetWith
	}
	if b.IntervalMonths > 0 {
		w += "; calibrated every " + count(b.IntervalMonths, "month", "months")
	}
	return w + "."
}

// StudyReading is one reading of a gauge study: which part, by whom.
type StudyReading struct {
	Part   string     `json:"part"`
	Person string     `json:"person"`
	Value  units.Read `json:"value"`
}

// ToolStudied is a gauge study of a tool: its readings, or, where they are not
// here, what they came to. Figures are standard deviations. With readings the
// figures are worked out of them and those given are not used.
type ToolStudied struct {
	Date     string         `json:"date"`
	Readings []StudyReading `json:"readings,omitempty"`

	Repeatability    float64 `json:"repeatability_um,omitempty"`
	DegreesOfFreedom float64 `json:"degrees_of_freedom,omitempty"` // of the repeatability
	// Reproducibility is between persons, nil after a study with one person;
	// Interaction is how persons differ from part to part.
	Reproducibility *float64 `json:"reproducibility_um,omitempty"`
	Interaction     float64  `json:"interaction_um,omitempty"`
	Mean            *float64 `json:"mean_mm,omitempty"` // of all readings; a strip's spread grows with it
	Parts           int      `json:"parts,omitempty"`
	Persons         int      `json:"persons,omitempty"`
	Remark          string   `json:"remark,omitempty"`
}

func (b *ToolStudied) check() error {
	if err := firstError(checkDate("date", b.Date), checkLength("remark", b.Remark)); err != nil {
		return err
	}
	if len(b.Readings) > 0 {
		return b.checkReadings()
	}
	for _, x := range []float64{b.Repeatability, b.DegreesOfFreedom, b.Interaction, deref(b.Reproducibility), deref(b.Mean)} {
		if !(x >= 0) || math.IsInf(x, 0) {
			return fmt.Errorf("study: %g is no standard deviation: write values of at least 0", x)
		}
	}
	switch {
	case b.Repeatability == 0:
		return errors.New("study: neither readings nor a repeatability: give the readings, or what they came to")
	case b.Parts < 1 || b.Persons < 1:
		return errors.New("study: say how many parts and persons it had")
	case b.Persons == 1 && b.Reproducibility != nil:
		return errors.New("study: one person alone says nothing of the reproducibility: leave it out")
	}
	return nil
}

func (b *ToolStudied) checkReadings() error {
	if len(b.Readings) > 2000 {
		return fmt.Errorf("study: %d readings, more than 2000", len(b.Readings))
	}
	for i := range b.Readings {
		r := &b.Readings[i]
		if err := firstError(checkText("part", r.Part), checkText("person", r.Person), checkKind("reading", &r.Value, units.KindLength)); err != nil {
			return fmt.Errorf("study, reading %d: %w", i+1, err)
		}
	}
	_, err := b.Study()
	return err
}

// Study works the study out: from its readings, else from its figures.
func (b *ToolStudied) Study() (metrology.StudyResult, error) {
	if len(b.Readings) > 0 {
		rs := make([]metrology.StudyReading, len(b.Readings))
		for i, r := range b.Readings {
			rs[i] = metrology.StudyReading{Part: r.Part, Person: r.Person, Reading: r.Value.Value}
		}
		return metrology.Study(rs)
	}
	const mm = 1e-3
	return metrology.StatedStudy(metrology.StatedFigures{Repeatability: b.Repeatability * mm, DegreesOfFreedom: b.DegreesOfFreedom,
		Reproducibility: deref(b.Reproducibility) * mm, PersonsKnown: b.Reproducibility != nil, Interaction: b.Interaction * mm,
		Mean: deref(b.Mean), Parts: b.Parts, Persons: b.Persons})
}

func (b *ToolStudied) apply(*State, At) {}

func (b *ToolStudied) words(PositionNamer) string {
	r, err := b.Study()
	if err != nil {
		return "Studied " + b.Date + "."
	}
	w := "Studied " + b.Date + " on " + count(r.Parts, "part", "parts") + " by " + count(r.Persons, "person", "persons")
	if r.Repeatability.Known {
		w += fmt.Sprintf(": repeatability %s µm", micro(r.Repeatability.StdDev))
	}
	if r.Reproducibility.Known {
		w += fmt.Sprintf(", between persons %s µm", micro(math.Hypot(r.Reproducibility.StdDev, r.Interaction.StdDev)))
	} else {
		w += "; what another person would read is not known"
	}
	return w + "."
}

// micro prints millimetres in micrometres, to a tenth.
func micro(mm float64) string { return fmt.Sprintf("%.1f", 1000*mm) }

func deref(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}
