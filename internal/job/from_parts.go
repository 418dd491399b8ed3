// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"slices"

	"witnessmark/bearing"
	"witnessmark/engine"
	"witnessmark/metrology"
)

// FromParts is a clearance worked out from measured parts, with its budget,
// beside what strips read. Lengths in millimetres.
type FromParts struct {
	Way      string    `json:"way"` // shell_bore, or housing_bore with both walls
	ValueMM  float64   `json:"value_mm"`
	U        float64   `json:"standard_uncertainty_mm"`
	GrowthMM *float64  `json:"growth_from_crush_mm,omitempty"`
	Budget   *Budgeted `json:"budget"`
	Readings []int64   `json:"readings"`
	Beside   *Beside   `json:"beside_strip,omitempty"`

	m metrology.Measurement
}

// Beside holds a clearance from parts against what the strips read.
type Beside struct {
	StripMM         float64  `json:"strip_mm"`
	StripU          float64  `json:"strip_u_mm"`
	NormalisedError float64  `json:"normalised_error"`
	Agree           bool     `json:"agree"`
	CombinedMM      *float64 `json:"combined_mm,omitempty"`
	CombinedU       *float64 `json:"combined_u_mm,omitempty"`
	Repeat          string   `json:"repeat,omitempty"` // strip or parts
	Why             string   `json:"why,omitempty"`
}

// Crush is what the crush of the sheet's shells does to the sheet's housing.
type Crush struct {
	From           string  `json:"from"` // crush_height or free_spread
	InterferenceMM float64 `json:"interference_mm"`
	PressureMPa    float64 `json:"contact_pressure_MPa"`
	HousingMM      float64 `json:"growth_of_housing_mm"`
	BoreMM         float64 `json:"growth_of_bore_mm"`
	BoreU          float64 `json:"growth_of_bore_u_mm"`
	HoopMPa        float64 `json:"hoop_stress_MPa"`
	FaceLoadN      float64 `json:"load_off_each_parting_face_N"`

	seat bearing.Seat
}

// Running is a clearance at running temperature.
type Running struct {
	ClearanceMM float64 `json:"clearance_mm"`
	ChangeMM    float64 `json:"change_mm"`
	U           float64 `json:"standard_uncertainty_mm"`
	Celsius     float64 `json:"temperature_C"`
	From        string  `json:"temperature_from"` // the place in the sheet
	PressureMPa float64 `json:"contact_pressure_MPa"`
	Loose       bool    `json:"shells_loose"`
}

// crush works out the sheet's crush once; nil when the sheet does not hold what
// it needs.
func (a *assessor) crush() *Crush {
	seat, ok := seatOf(a.b.Sheet)
	if !ok {
		return nil
	}
	be := a.b.Sheet.BigEnd
	if lo, hi := be.Shell.CrushHeight.Range(); !math.IsInf(lo, 0) && !math.IsInf(hi, 0) {
		g, fit, err := bearing.CrushGrowth(bearing.Limits{Min: lo, Max: hi}, seat)
		if err != nil {
			return nil
		}
		return crushOf("crush_height", fit, g.U, seat)
	}
	if f, ok := be.Shell.FreeSpread.Mid(); ok {
		δ, err := bearing.SpreadInterference(f, seat)
		if err != nil {
			return nil
		}
		if fit, err := bearing.CrushFit(δ, seat); err == nil {
			// A lower limit: it says nothing of the crush that the shells have.
			return crushOf("free_spread", fit, math.NaN(), seat)
		}
	}
	return nil
}

func crushOf(from string, fit bearing.Crush, u float64, seat bearing.Seat) *Crush {
	if math.IsNaN(u) {
		u = 0
	}
	return &Crush{From: from, InterferenceMM: fit.Interference, PressureMPa: fit.Pressure, HousingMM: fit.HousingGrowth, BoreMM: fit.BoreChange, BoreU: u,
		HoopMPa: fit.HoopStress, FaceLoadN: fit.FaceLoad, seat: seat}
}

// seatOf is the sheet's housing and shells as two rings.
func seatOf(s *engine.Sheet) (bearing.Seat, bool) {
	be, mat := s.BigEnd, s.Materials
	bore, okBore := be.HousingBore.Mid()
	wall, okWall := be.Shell.Wall.Mid()
	if !okBore || !okWall || !mat.RodOuter.Given() || !be.Width.Given() {
		return bearing.Seat{}, false
	}
	// The width is that of the bearing along the journal.
	width, _ := be.Width.Target()
	return bearing.Seat{Bore: bore, Outer: float64(mat.RodOuter.V), Wall: wall, Width: width, Housing: elastic(mat.Rod), Shell: elastic(mat.Shell)}, true
}

// elastic is a material of the sheet; steel where it does not say.
func elastic(m *engine.Material) bearing.Elastic {
	e := bearing.Steel
	if m == nil {
		return e
	}
	e.Expansion = expansion(m)
	if m.Modulus.Given() {
		e.Modulus = float64(m.Modulus.V) / 1e6 // Pa to MPa
	}
	if m.Poisson.Given() {
		e.Poisson = float64(m.Poisson.V)
	}
	return e
}

// fromParts works the clearance of a position out from its measured parts; nil
// while one is missing.
func (a *assessor) fromParts(parts []Measured) *FromParts {
	by := map[string]*Measured{}
	for i := range parts {
		by[parts[i].Part] = &parts[i]
	}
	used := []string{OfShellBore, OfJournal}
	f := &FromParts{Way: OfShellBore, Readings: []int64{}}
	var addends []metrology.Addend
	if by[OfShellBore] == nil {
		used = []string{OfHousingBore, OfJournal, OfUpperWall, OfLowerWall}
		f.Way = OfHousingBore
		c := a.out.Crush
		if c == nil || c.From != "crush_height" {
			return nil // without the growth from crush the sum would be short of it
		}
		growth := metrology.NormalInput("growth from crush", c.BoreMM, c.BoreU)
		growth.Assumed = true
		addends = []metrology.Addend{{Sign: 1, Input: growth}}
		f.GrowthMM = &c.BoreMM
	}
	var lengths []metrology.Length
	var from []*Measured
	for _, of := range used {
		m := by[of]
		if m == nil || len(m.lengths) == 0 {
			return nil
		}
		l := m.lengths[len(m.lengths)-1]
		if of != OfHousingBore && of != OfShellBore {
			l.Sign = -1
		}
		lengths, from = append(lengths, l), append(from, m)
		f.Readings = append(f.Readings, m.Readings...)
	}
	c, err := workOut(lengths, addends)
	if err != nil {
		return nil
	}
	b := budgeted(c)
	b.Better = a.better(b, from)
	slices.Sort(f.Readings)
	f.Readings = slices.Compact(f.Readings)
	f.m, f.Budget = c.Measurement(), &b
	f.ValueMM, f.U = f.m.Value, f.m.StandardUncertainty()
	return f
}

// together holds the clearance from parts against the strip, and combines them
// when they agree. What contradicts each other never proves a fit.
func (a *assessor) together(strip *Clearance, f *FromParts, phase string) *Clearance {
	if f == nil {
		return strip
	}
	if strip == nil {
		c := &Clearance{Of: OfClearance, Phase: phase, Agree: true, Readings: f.Readings, Decimals: 4, ByParts: true}
		c.set(f.m)
		c.decide(f.m, a.limitFor(OfClearance, phase), a.b)
		return c
	}
	if strip.Side != "" {
		return strip
	}
	cmp, err := bearing.CompareStrip(bearing.Estimate{Value: strip.ValueMM, U: strip.standard()}, bearing.Estimate{Value: f.ValueMM, U: f.U})
	if err != nil {
		return strip
	}
	f.Beside = &Beside{StripMM: strip.ValueMM, StripU: strip.standard(), NormalisedError: cmp.NormalisedError, Agree: cmp.Agree, Repeat: cmp.Repeat, Why: cmp.Why}
	both := *strip
	both.Readings = slices.Compact(slices.Sorted(slices.Values(append(slices.Clone(strip.Readings), f.Readings...))))
	if !cmp.Agree {
		both.Contradicted = true
		if both.Decision.Verdict == metrology.Within {
			both.Decision.Verdict = metrology.NotProven
		}
		return &both
	}
	f.Beside.CombinedMM, f.Beside.CombinedU = &cmp.Combined.Value, &cmp.Combined.U
	m := metrology.Direct(cmp.Combined.Value, cmp.Combined.U)
	m.Assumed = strip.Assumed || f.m.Assumed
	both.ByParts, both.Decimals = true, max(both.Decimals, 3)
	both.set(m)
	both.decide(m, a.limitFor(OfClearance, phase), a.b)
	return &both
}

// standard is the standard uncertainty of a decided value.
func (c Clearance) standard() float64 {
	return metrology.Measurement{U: c.U, HalfWidth: c.HalfWidth}.StandardUncertainty()
}

// running is the clearance at running temperature.
func (a *assessor) running(c *Clearance) *Running {
	if c == nil || c.Side != "" {
		return nil
	}
	run, from, ok := runningTemperature(a.b.Sheet)
	if !ok {
		return nil
	}
	seat, okSeat := seatOf(a.b.Sheet)
	r := &Running{Celsius: run, From: from, U: c.standard()}
	crank := expansion(a.b.Sheet.Materials.Crank)
	if !okSeat {
		d, ok := a.b.Sheet.BigEnd.Journal.Target()
		change, err := bearing.ExpansionChange(d, expansion(a.b.Sheet.Materials.Rod), crank, run)
		if !ok || err != nil {
			return nil
		}
		r.ChangeMM, r.ClearanceMM = change, c.ValueMM+change
		return r
	}
	interference := 0.0
	if a.out.Crush != nil {
		interference = a.out.Crush.InterferenceMM
	}
	h, err := bearing.HotClearance(c.ValueMM, interference, seat, crank, bearing.Temperatures{Housing: run, Shell: run, Journal: run})
	if err != nil {
		return nil
	}
	r.ClearanceMM, r.ChangeMM, r.PressureMPa, r.Loose = h.Clearance, h.Change, h.Crush.Pressure, h.Loose && interference > 0
	return r
}

// runningTemperature is the sheet's, else that of the oil that comes in.
func runningTemperature(s *engine.Sheet) (celsius float64, from string, ok bool) {
	if s.Duty.Running.Given() {
		return float64(s.Duty.Running.V), s.Duty.Running.Path, true
	}
	if s.Oil.Inlet.Given() {
		return float64(s.Oil.Inlet.V), s.Oil.Inlet.Path, true
	}
	return 0, "", false
}
