// SPDX-License-Identifier: Apache-2.0

package job

import (
	"slices"

	"witnessmark/engine"
	"witnessmark/metrology"
)

// StudyEffect is what the gauge studies behind a decision changed: what it
// would be on what was stated or assumed before.
type StudyEffect struct {
	Gauges  []string          `json:"gauges"`
	Date    string            `json:"date"` // of the last study
	Persons int               `json:"persons"`
	Verdict metrology.Verdict `json:"verdict_without"`
	U       float64           `json:"standard_uncertainty_without_mm"`
	// PersonsDrive says that what differs between persons is more than the
	// repeatability.
	PersonsDrive bool `json:"persons_drive"`
}

// studyEffect decides once more without the studies; nil where no gauge of the
// readings was studied.
func (a *assessor) studyEffect(read []*Noted[Reading], c *Clearance, l engine.Bounds) *StudyEffect {
	e := &StudyEffect{}
	bare := Register{}
	for _, r := range read {
		t := a.b.Tools[r.Body.Gauge]
		if n := len(t.Studies); n > 0 && !slices.Contains(e.Gauges, t.ID) {
			e.Gauges = append(e.Gauges, t.ID)
			e.Date = max(e.Date, t.Studies[n-1].Body.Date)
			if s, err := t.Studies[n-1].Body.Study(); err == nil {
				e.Persons = max(e.Persons, s.Persons)
				e.PersonsDrive = e.PersonsDrive || s.Reproducibility.Known && s.Reproducibility.StdDev > s.Repeatability.StdDev
			}
		}
		t.Studies = nil
		bare[r.Body.Gauge] = t
	}
	if len(e.Gauges) == 0 {
		return nil
	}
	without := &assessor{s: a.s, b: a.b}
	without.b.Tools = bare
	var ms []metrology.Measurement
	for _, r := range read {
		if m, _, err := without.measurement(r.Body); err == nil {
			ms = append(ms, m)
		}
	}
	combined, err := metrology.Combine(ms)
	if err != nil {
		return nil
	}
	e.U, e.Verdict = combined.StandardUncertainty(), c.Decision.Verdict
	if l.Given() {
		e.Verdict = decision(combined.Measurement, l, a.b).Verdict
	}
	return e
}

// ownSpread names the line of a budget that the gauges bring.
func ownSpread(read []*Noted[Reading]) string {
	var ids []string
	for _, r := range read {
		if g := r.Body.Gauge; g != "" && !slices.Contains(ids, g) {
			ids = append(ids, g)
		}
	}
	if len(ids) == 0 {
		return "the reading itself"
	}
	return "repeatability of " + list(ids)
}

// formObstacle stands for a part that is proven out of round or tapered beyond
// the sheet.
func (a *assessor) formObstacle(position int, m Measured) {
	var items []string
	if o := m.Ovality; o != nil && o.Decision != nil && o.Decision.Verdict == metrology.Above {
		items = append(items, "out of round")
	}
	if t := m.Taper; t != nil && t.Decision != nil && t.Decision.Verdict == metrology.Above {
		items = append(items, "tapered")
	}
	if len(items) > 0 {
		a.add(Obstacle{Code: PartForm, Check: CloseUp, Position: position, Of: m.Part, Items: items, RestsOn: m.Readings})
	}
}
