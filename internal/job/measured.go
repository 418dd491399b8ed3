// SPDX-License-Identifier: Apache-2.0

package job

import (
	"witnessmark/metrology"
)

// Measured is one part of one position as its readings make it, at 20 °C.
// Lengths in millimetres.
type Measured struct {
	Part     string    `json:"part"`
	Phase    string    `json:"phase"`
	Readings []int64   `json:"readings"` // entries
	N        int       `json:"readings_count"`
	Gauges   []string  `json:"gauges,omitempty"`
	SizeMM   float64   `json:"size_mm"`
	U        float64   `json:"standard_uncertainty_mm"`
	LowMM    float64   `json:"low_95_mm"`
	HighMM   float64   `json:"high_95_mm"`
	Planes   []Plane   `json:"planes,omitempty"`
	Ovality  *Ovality  `json:"ovality,omitempty"`
	Taper    *Taper    `json:"taper,omitempty"` // front less rear
	Outlier  *Outlying `json:"outlier,omitempty"`
	// SpreadFrom is study, stated, assumed or own: where one reading's spread
	// comes from.
	SpreadFrom string `json:"spread_from"`
	Assumed    bool   `json:"spread_assumed"`
	// PartCelsius is nil where no temperature was given; it is taken as 20 °C.
	PartCelsius *float64  `json:"part_temperature_C,omitempty"`
	Min         *float64  `json:"min_mm,omitempty"` // of a new part, by the sheet
	Max         *float64  `json:"max_mm,omitempty"`
	Limit       string    `json:"limit,omitempty"`
	Decision    *Decision `json:"decision,omitempty"`
	Budget      *Budgeted `json:"budget,omitempty"`
	// Kept are readings that were questioned and kept with a reason.
	Kept []string `json:"kept_although_questioned,omitempty"`
	// PersonsUnknown: the study was of one person.
	PersonsUnknown bool `json:"persons_not_studied,omitempty"`
	// Undersize is the sheet's undersize that a journal was ground to.
	Undersize string `json:"undersize,omitempty"`

	lengths  []metrology.Length // for sums; one, or none where groups combined
	decimals int
}

// Plane is one plane of a part.
type Plane struct {
	Plane  string  `json:"plane,omitempty"`
	N      int     `json:"readings_count"`
	SizeMM float64 `json:"size_mm"`
	U      float64 `json:"standard_uncertainty_mm"`
	// The greatest less the least reading where there is no oval, and what that
	// is on average for a round part.
	RangeMM     float64 `json:"range_mm,omitempty"`
	RangeBiasMM float64 `json:"bias_of_range_mm,omitempty"`
}

// Ovality is a fitted oval: greatest less least diameter.
type Ovality struct {
	Plane     string  `json:"plane,omitempty"`
	ValueMM   float64 `json:"value_mm"`
	U         float64 `json:"standard_uncertainty_mm"`
	Direction float64 `json:"greatest_at_deg"`
	// BiasMM is what the fit of a round part shows on average, RangeMM the
	// greatest less the least reading, RangeBiasMM what that is on average for a
	// round part: both only from the readings' spread.
	BiasMM      float64   `json:"bias_of_fit_mm"`
	RangeMM     float64   `json:"range_mm"`
	RangeBiasMM float64   `json:"bias_of_range_mm"`
	PRound      float64   `json:"p_round"`
	Decision    *Decision `json:"decision,omitempty"`
	Max         *float64  `json:"max_mm,omitempty"`
}

// Outlying is the reading that lies farthest off, by Grubbs' test.
type Outlying struct {
	ValueMM  float64 `json:"value_mm"`
	Plane    string  `json:"plane,omitempty"`
	AngleDeg float64 `json:"angle_deg"`
	Angled   bool    `json:"angled"`
	G        float64 `json:"grubbs_G"`
	Critical float64 `json:"critical"`
	Suspect  bool    `json:"suspect"`
	// OfResiduals: the test was made on distances from the fitted oval.
	OfResiduals bool `json:"of_residuals"`
}

// MeasurableParts can be measured, in the order in which they are listed.
var MeasurableParts = []string{OfHousingBore, OfJournal, OfUpperWall, OfLowerWall, OfShellBore}

// SpreadOwn says that the readings' own scatter was used.
const SpreadOwn = "own"

// part works one part of a position out; nil when nothing was read that
// counts. A journal and a bore outlast the shells: what was read as fitted
// counts, else as found. Walls and the bore with shells belong to their shells.
func (a *assessor) part(of, phase string, position int) *Measured {
	read := a.readings(of, phase, position)
	if phase == AsFitted && (of == OfJournal || of == OfHousingBore) {
		if read = a.readingsSince(of, AsFitted, position, 0); len(read) == 0 {
			read, phase = a.readings(of, AsFound, position), AsFound
		}
	}
	read = a.countable(of, phase, position, read)
	if len(read) == 0 {
		return nil
	}
	m := &Measured{Part: of, Phase: phase, N: len(read)}
	var together []metrology.Measurement
	named := map[int64]bool{}
	for _, g := range groups(read) {
		at20, err := a.group(m, g)
		if err != nil {
			a.add(Obstacle{Code: NotUnderstood, Check: CloseUp, Position: position, Of: of, Items: []string{"the " + ofWords[of] + " can't be worked out: " + err.Error()}, RestsOn: seqs(g.read)})
			continue
		}
		together = append(together, at20)
		for _, s := range seqs(g.read) {
			if !named[s] {
				named[s] = true
				m.Readings = append(m.Readings, s)
			}
		}
	}
	if len(together) == 0 {
		return nil
	}
	a.settle(m, together)
	return m
}
