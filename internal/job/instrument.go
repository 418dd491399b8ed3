// SPDX-License-Identifier: Apache-2.0

package job

import (
	"fmt"
	"math"

	"witnessmark/metrology"
	"witnessmark/units"
)

// Where a gauge's spread comes from.
const (
	SpreadStudy   = "study"   // the workshop's own gauge study
	SpreadStated  = "stated"  // the register states it
	SpreadAssumed = "assumed" // a default
)

// Instrument is a gauge as a budget sees it. Lengths in millimetres.
type Instrument struct {
	Tool string
	metrology.Gauge
	From string // where the repeatability comes from
	// PersonsFrom is where the reproducibility comes from: a study of two or
	// more persons, else assumed (as nothing).
	PersonsFrom string
	Study       *metrology.StudyResult // the last one, nil without
	StudyDate   string
	// Expansion of the scale per kelvin, ExpansionFrom where it comes from.
	Expansion     float64
	ExpansionFrom string
	SetWith       string
}

// SteelScale is the expansion of a scale of which nothing is said: steel, as
// the gauge steel of JCGM 100:2008, H.1.
const SteelScale = 11.5e-6

// Instrument is what is known of the tool as a gauge of lengths.
func (t Tool) Instrument() Instrument {
	in := Instrument{Tool: t.ID, From: SpreadAssumed, PersonsFrom: SpreadAssumed, Expansion: SteelScale, ExpansionFrom: SpreadAssumed}
	if r := t.resolution(); r != nil && r.Kind == units.KindLength {
		in.Resolution = r.Value
	}
	if lo, hi := t.limits(); lo != nil && hi != nil && lo.Kind == units.KindLength {
		in.Range = metrology.Limits{Min: lo.Value, Max: hi.Value}
	}
	if n := len(t.Calibrations); n > 0 {
		if c := t.Calibrations[n-1].Body; c.U != nil && c.U.Kind == units.KindLength {
			in.CalibrationU, in.CoverageFactor = c.U.Value, c.K
		}
	}
	if t.Described != nil {
		in.SetWith = t.Described.Body.SetWith
		if x := t.Described.Body.Expansion; x > 0 {
			in.Expansion, in.ExpansionFrom = x*1e-6, SpreadStated
		}
	}
	switch {
	case t.U != nil && t.U.Kind == units.KindLength:
		in.Gauge, in.From = in.WithStatedU(t.U.Value), SpreadStated
	case in.Resolution > 0:
		in.Repeatability = metrology.AssumedRepeatability(in.Resolution)
	}
	in.studied(t)
	return in
}

// studied takes the studies in, oldest first: one of a single person leaves
// what an earlier one said of persons.
func (in *Instrument) studied(t Tool) {
	for _, s := range t.Studies {
		r, err := s.Body.Study()
		if err != nil {
			continue
		}
		in.Gauge, in.From, in.Study, in.StudyDate = in.WithStudy(r), SpreadStudy, &r, s.Body.Date
		if r.Reproducibility.Known {
			in.PersonsFrom = SpreadStudy
		}
	}
}

func (t Tool) resolution() *units.Read {
	if t.Described != nil && t.Described.Body.Resolution != nil {
		return t.Described.Body.Resolution
	}
	return t.Resolution
}

func (t Tool) limits() (low, high *units.Read) {
	if d := t.Described; d != nil && d.Body.Low != nil && d.Body.High != nil {
		return d.Body.Low, d.Body.High
	}
	return t.Low, t.High
}

// kindMeasures is what a kind of tool measures where its description does not
// say.
var kindMeasures = map[string][]string{
	"strip_gauge": {OfClearance}, "micrometer": {OfJournal}, "bore_gauge": {OfHousingBore, OfShellBore, OfClearance}, "tube_micrometer": {OfUpperWall, OfLowerWall},
	"dial_indicator": {OfEndFloat, OfSideClearance}, "feeler_gauge": {OfSideClearance, OfEndFloat}, "depth_gauge": {"depth"}, "stretch_gauge": {"stretch"},
}

// Measures lists what the tool measures: as described, else by its kind.
func (t Tool) Measures() []string {
	if t.Described != nil && len(t.Described.Body.Measures) > 0 {
		return t.Described.Body.Measures
	}
	return kindMeasures[t.Kind]
}

// SpreadWords says in plain sentences what is known of the gauge's spread and
// where from.
func (in Instrument) SpreadWords() []string {
	var out []string
	switch {
	case in.From == SpreadStudy && in.Study.Repeatability.Known:
		out = append(out, fmt.Sprintf("repeatability %s µm, from the gauge study of %s", micro(in.Repeatability.StdDev), in.StudyDate))
	case in.From == SpreadStated:
		out = append(out, "spread of one reading as the register states it")
	case in.Repeatability.StdDev > 0:
		out = append(out, fmt.Sprintf("repeatability %s µm, assumed: one step of the scale", micro(in.Repeatability.StdDev)))
	}
	switch {
	case in.PersonsFrom == SpreadStudy:
		out = append(out, fmt.Sprintf("between persons %s µm, from the gauge study", micro(in.Reproducibility)))
	case in.From == SpreadStudy:
		out = append(out, "between persons not known, assumed as nothing: one person read everything")
	}
	if in.CalibrationU > 0 {
		k := in.CoverageFactor
		if k == 0 {
			k = 2
		}
		out = append(out, fmt.Sprintf("calibration ±%s µm, k = %g", micro(in.CalibrationU), k))
	}
	if in.ExpansionFrom == SpreadStated {
		out = append(out, fmt.Sprintf("scale expands %.3g µm/(m·K)", in.Expansion*1e6))
	}
	if in.SetWith != "" {
		out = append(out, "set with "+in.SetWith)
	}
	return out
}

// known reports whether anything at all is known of the spread.
func (in Instrument) known() bool {
	return math.Max(math.Max(in.Resolution, in.CalibrationU), math.Max(in.Repeatability.StdDev, in.Reproducibility)) > 0
}
