// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"slices"

	"witnessmark/bearing"
	"witnessmark/engine"
	"witnessmark/metrology"
)

// MeasuredCrush is what the crush of shells in their own housing does, from by
// how much their bore is wider than the housing bore less both walls.
type MeasuredCrush struct {
	Position       int     `json:"position"` // where it is greatest
	GrowthMM       float64 `json:"growth_of_bore_mm"`
	GrowthU        float64 `json:"growth_of_bore_u_mm"`
	InterferenceMM float64 `json:"interference_mm"`
	FaceLoadN      float64 `json:"load_off_each_parting_face_N"`
	// MostN is the load at the upper end of the growth's 95 % interval, which
	// leaves a joint the least.
	MostN float64 `json:"load_off_each_parting_face_at_most_N"`
	// All says that every position was measured, so that no other shell can
	// press harder.
	All      bool    `json:"every_position"`
	Readings []int64 `json:"readings"`

	most bearing.Crush
}

// Where the crush in a joint comes from.
const (
	CrushBySheet  = "sheet"
	CrushMeasured = "measured"
)

// crushMeasured is that of the position where it is greatest; nil where no
// position has its housing bore, both walls and the bore with shells measured.
func (a *assessor) crushMeasured() *MeasuredCrush {
	seat, ok := seatOf(a.b.Sheet)
	if !ok {
		return nil
	}
	var most *MeasuredCrush
	all := true
	for _, p := range a.out.Positions {
		c := crushAt(p, seat)
		all = all && c != nil
		if c != nil && (most == nil || c.MostN > most.MostN) {
			most = c
		}
	}
	if most != nil {
		most.All = all
	}
	return most
}

func crushAt(p PositionAssessment, seat bearing.Seat) *MeasuredCrush {
	c := &MeasuredCrush{Position: p.Position}
	var lengths []metrology.Length
	for _, want := range []struct {
		of   string
		sign float64
	}{{OfShellBore, 1}, {OfHousingBore, -1}, {OfUpperWall, 1}, {OfLowerWall, 1}} {
		i := slices.IndexFunc(p.Parts, func(m Measured) bool { return m.Part == want.of })
		if i < 0 || len(p.Parts[i].lengths) == 0 {
			return nil
		}
		l := p.Parts[i].lengths[len(p.Parts[i].lengths)-1]
		l.Sign = want.sign
		lengths = append(lengths, l)
		c.Readings = append(c.Readings, p.Parts[i].Readings...)
	}
	growth, err := workOut(lengths, nil)
	if err != nil {
		return nil
	}
	m := growth.Measurement()
	c.GrowthMM, c.GrowthU = m.Value, m.StandardUncertainty()
	_, high, err := m.CoverageInterval(0.95)
	if err != nil || !(high > 0) {
		return nil // no crush shows: the readings do not measure it
	}
	likely, err := bearing.CrushFromGrowth(math.Max(0, m.Value), seat)
	if err != nil {
		return nil
	}
	if c.most, err = bearing.CrushFromGrowth(high, seat); err != nil {
		return nil
	}
	c.InterferenceMM, c.FaceLoadN, c.MostN = likely.Interference, likely.FaceLoad, c.most.FaceLoad
	slices.Sort(c.Readings)
	c.Readings = slices.Compact(c.Readings)
	return c
}

// jointCrush is what crush takes off each bolt, N, and where that is from: the
// greatest measured once every position was, and until then no less than the
// greatest that the sheet allows, for a shell that nobody measured may have it.
func (a *assessor) jointCrush(bolts int) (load float64, from string, ok bool) {
	load, ok = worstCrush(a.b.Sheet, bolts)
	c := a.out.CrushMeasured
	if c == nil || ok && !c.All && c.most.PerBolt(bolts) < load {
		return load, CrushBySheet, ok
	}
	return c.most.PerBolt(bolts), CrushMeasured, true
}

// worstCrush is what the shells' crush takes off each bolt, N: at the greatest
// crush height that the sheet allows, which leaves the least.
func worstCrush(s *engine.Sheet, bolts int) (float64, bool) {
	_, height := s.BigEnd.Shell.CrushHeight.Range()
	if math.IsInf(height, 0) {
		height, _ = s.BigEnd.Shell.CrushHeight.Target()
	}
	seat, ok := seatOf(s)
	if !ok || !(height > 0) {
		return 0, false
	}
	interference, err := bearing.CrushInterference(height)
	if err != nil {
		return 0, false
	}
	fit, err := bearing.CrushFit(interference, seat)
	return fit.PerBolt(bolts), err == nil
}
