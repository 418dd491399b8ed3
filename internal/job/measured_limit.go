// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"slices"

	"witnessmark/engine"
	"witnessmark/metrology"
)

// settle combines the groups and holds size and form against the sheet.
func (a *assessor) settle(m *Measured, together []metrology.Measurement) {
	c, err := metrology.Combine(together)
	if err != nil {
		return
	}
	slices.Sort(m.Readings)
	m.SizeMM, m.U, m.Assumed = c.Value, c.StandardUncertainty(), c.Assumed
	m.LowMM, m.HighMM = m.Budget.LowMM, m.Budget.HighMM
	if len(together) > 1 {
		m.Budget = nil
		m.lengths = []metrology.Length{{Name: ofWords[m.Part], Sign: 1, Read: c.Measurement, Part: cold, Scale: cold}}
		if lo, hi, err := c.CoverageInterval(0.95); err == nil {
			m.LowMM, m.HighMM = lo, hi
		}
	} else {
		m.Budget.Better = a.better(*m.Budget, []*Measured{m})
	}
	l := a.partLimit(m.Part)
	if m.Part == OfJournal {
		l, m.Undersize = a.journalLimit(m.SizeMM)
	}
	if l.Given() {
		m.Min, m.Max = ends(l)
		m.Limit = l.Path
		d := decision(metrology.Direct(m.SizeMM, m.U), l, a.b)
		m.Decision = &d
	}
	be := a.b.Sheet.BigEnd
	oval := map[string]engine.Bounds{OfJournal: be.Ovality.Bounds(), OfHousingBore: be.BoreOvality.Bounds()}[m.Part]
	if m.Ovality != nil && oval.Given() {
		_, m.Ovality.Max = ends(oval)
		d := decision(metrology.Direct(m.Ovality.ValueMM, m.Ovality.U), oval, a.b)
		m.Ovality.Decision = &d
	}
	if taper := be.Taper.Bounds(); m.Taper != nil && m.Part == OfJournal && taper.Given() {
		d := decision(metrology.Direct(math.Abs(m.Taper.ValueMM), m.Taper.U), taper, a.b)
		m.Taper.Decision = &d
	}
}

func ends(l engine.Bounds) (lo, hi *float64) {
	a, b := l.Range()
	if !math.IsInf(a, 0) {
		lo = &a
	}
	if !math.IsInf(b, 0) {
		hi = &b
	}
	return lo, hi
}

// partLimit is the sheet's limit on a new part; a zero Bounds is none.
func (a *assessor) partLimit(of string) engine.Bounds {
	be := a.b.Sheet.BigEnd
	switch of {
	case OfJournal:
		return be.Journal.Bounds()
	case OfHousingBore:
		return be.HousingBore.Bounds()
	case OfUpperWall, OfLowerWall:
		return be.Shell.Wall.Bounds()
	}
	return engine.Bounds{}
}

// journalLimit is the limit of a journal of that size: the standard one, else
// that of the undersize that it is nearest to.
func (a *assessor) journalLimit(size float64) (engine.Bounds, string) {
	be := a.b.Sheet.BigEnd
	best, id := be.Journal.Bounds(), ""
	mid, ok := be.Journal.Mid()
	if !ok {
		return best, id
	}
	off := math.Abs(size - mid)
	for _, u := range be.Undersizes {
		if m, ok := u.Journal.Mid(); ok && math.Abs(size-m) < off {
			best, id, off = u.Journal.Bounds(), u.ID, math.Abs(size-m)
		}
	}
	return best, id
}
