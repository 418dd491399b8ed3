// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"slices"

	"witnessmark/bearing"
	"witnessmark/engine"
	"witnessmark/metrology"
	"witnessmark/units"
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
	for _, g := range groups(read) {
		at20, err := a.group(m, g)
		if err != nil {
			a.add(Obstacle{Code: NotUnderstood, Check: CloseUp, Position: position, Of: of, Items: []string{"the " + ofWords[of] + " can't be worked out: " + err.Error()}, RestsOn: seqs(g.read)})
			continue
		}
		together = append(together, at20)
		for _, s := range seqs(g.read) {
			if !slices.Contains(m.Readings, s) {
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

// partGroup is what was read with one gauge at one temperature.
type partGroup struct {
	gauge      string
	warm, cool *units.Read
	read       []Noted[Reading]
}

func groups(read []Noted[Reading]) []partGroup {
	var out []partGroup
	same := func(a, b *units.Read) bool { return a == nil && b == nil || a != nil && b != nil && a.Value == b.Value }
	for _, r := range read {
		i := slices.IndexFunc(out, func(g partGroup) bool {
			return g.gauge == r.Body.Gauge && same(g.warm, r.Body.PartTemperature) && same(g.cool, r.Body.GaugeTemperature)
		})
		if i < 0 {
			out = append(out, partGroup{gauge: r.Body.Gauge, warm: r.Body.PartTemperature, cool: r.Body.GaugeTemperature})
			i = len(out) - 1
		}
		out[i].read = append(out[i].read, r)
	}
	return out
}

func seqs(read []Noted[Reading]) []int64 {
	var out []int64
	for _, r := range read {
		out = append(out, r.At.Seq)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// group works out what was read with one gauge, and returns it at 20 °C.
func (a *assessor) group(m *Measured, g partGroup) (metrology.Measurement, error) {
	in := a.b.Tools[g.gauge].Instrument()
	rep := in.EffectiveRepeatability()
	var places []metrology.Place
	for _, r := range g.read {
		b := r.Body
		p := metrology.Place{Plane: b.Plane, At: a.planeAt(b.Plane), Reading: b.Value.Value}
		if b.Angle != nil {
			p.Angle = &b.Angle.Value
		}
		if b.U != nil {
			rep = metrology.Repeatability{StdDev: math.Max(rep.StdDev, b.U.Value)}
			in.From = SpreadStated
		}
		if rep.StdDev == 0 { // nothing known of the gauge: a step of what was written
			rep = metrology.AssumedRepeatability(b.Value.Resolution)
		}
		m.decimals = max(m.decimals, decimals(b))
		if b.Reason != "" && b.Questioned != "" && !slices.Contains(m.Kept, b.Reason) {
			m.Kept = append(m.Kept, b.Reason)
		}
		places = append(places, p)
	}
	form, err := metrology.FitForm(places, rep)
	if err != nil {
		return metrology.Measurement{}, err
	}
	if !slices.Contains(m.Gauges, g.gauge) && g.gauge != "" {
		m.Gauges = append(m.Gauges, g.gauge)
	}
	m.SpreadFrom, m.PersonsUnknown = in.From, in.From == SpreadStudy && in.PersonsFrom != SpreadStudy
	m.take(form)
	length := metrology.Length{Name: ofWords[m.Part], Sign: 1, Read: form.Diameter, DegreesOfFreedom: form.DegreesOfFreedom,
		Shared: a.shared(in), Part: a.thermal(m.Part, g.warm), Scale: scaleThermal(in, g)}
	if g.warm != nil {
		m.PartCelsius = &g.warm.Value
	}
	c, err := workOut([]metrology.Length{length}, nil)
	if err != nil {
		return metrology.Measurement{}, err
	}
	b := budgeted(c)
	m.Budget = &b
	m.lengths = append(m.lengths, length)
	return c.Measurement(), nil
}

// planeAt is where a plane lies along the journal, mm from its front.
func (a *assessor) planeAt(plane string) float64 {
	w, _ := a.b.Sheet.BigEnd.Width.Target()
	switch plane {
	case "middle":
		return w / 2
	case "rear":
		return w
	}
	return 0
}

// take keeps the form of one group of readings: the last one's where there are
// several.
func (m *Measured) take(f metrology.Form) {
	own := true
	m.Planes = nil
	for _, p := range f.Planes {
		m.Planes = append(m.Planes, Plane{Plane: p.Plane, N: p.N, SizeMM: p.Diameter.Value, U: p.Diameter.U})
		own = own && !p.FromStudy
	}
	if own {
		m.SpreadFrom = SpreadOwn
	}
	if o := f.Oval; o != nil {
		r := o.Roundness
		m.Ovality = &Ovality{Plane: o.Plane, ValueMM: r.Ovality.Value, U: r.Ovality.U, Direction: r.Direction, BiasMM: r.RoundOvality,
			RangeMM: r.Range, RangeBiasMM: r.RoundRange, PRound: r.PRound}
	} else if len(f.Planes) > 0 && f.Planes[0].N > 1 {
		// Too few directions for an oval: only the range, with its bias.
		p := f.Planes[0]
		m.Planes[0].RangeMM, m.Planes[0].RangeBiasMM = p.Range, p.RoundRange
	}
	if f.Taper != nil {
		m.Taper = &Taper{ValueMM: f.Taper.Difference.Value, U: f.Taper.Difference.StandardUncertainty(), Resolved: true}
	}
	if o := f.Outlier; o != nil {
		out := Outlying{ValueMM: o.Value, Plane: f.OutlierPlace.Plane, G: o.G, Critical: o.Critical, Suspect: o.Suspect, OfResiduals: f.OfResiduals}
		if f.OutlierPlace.Angle != nil {
			out.AngleDeg, out.Angled = *f.OutlierPlace.Angle, true
		}
		m.Outlier = &out
	}
}

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

// SpreadOwn says that the readings' own scatter was used.
const SpreadOwn = "own"

// cold is a part, or a scale, at 20 °C exactly.
var cold = metrology.Thermal{Temperature: metrology.ReferenceTemperature}

// Standard uncertainties of what nobody measured. Assumed, no source.
const (
	assumedExpansionU = 1e-6 // per kelvin, of a coefficient from a chart
	assumedApart      = 0.5  // kelvin, between a part and the gauge on it
	assumedCelsiusU   = 1.0  // of a gauge's temperature that was not read
)

// thermal is a part's expansion and temperature.
func (a *assessor) thermal(of string, warm *units.Read) metrology.Thermal {
	mat := a.b.Sheet.Materials
	of3 := map[string]*engine.Material{OfJournal: mat.Crank, OfHousingBore: mat.Rod, OfShellBore: mat.Shell, OfUpperWall: mat.Shell, OfLowerWall: mat.Shell}[of]
	t := metrology.Thermal{Alpha: expansion(of3), UAlpha: assumedExpansionU, Temperature: metrology.ReferenceTemperature, UTemperature: assumedApart}
	if warm != nil {
		t.Temperature = warm.Value
	}
	return t
}

// scaleThermal is the gauge's scale: at the temperature read, else at 20 °C,
// which is uncertain only where the part was found to be at another.
func scaleThermal(in Instrument, g partGroup) metrology.Thermal {
	t := metrology.Thermal{Alpha: in.Expansion, UAlpha: assumedExpansionU, Temperature: metrology.ReferenceTemperature}
	switch {
	case g.cool != nil:
		t.Temperature, t.UTemperature = g.cool.Value, assumedApart
	case g.warm != nil:
		t.UTemperature = assumedCelsiusU
	}
	return t
}

// expansion per kelvin; steel where the sheet names no material.
func expansion(m *engine.Material) float64 {
	if m == nil || !m.Expansion.Given() {
		return bearing.Steel.Expansion
	}
	return float64(m.Expansion.V) * 1e-6
}

// shared is what every reading with the gauge has in common: its calibration,
// that of what it is set with, and the persons.
func (a *assessor) shared(in Instrument) []metrology.Shared {
	var out []metrology.Shared
	add := func(name string, u float64) {
		if u > 0 {
			out = append(out, metrology.Shared{Name: name, U: u})
		}
	}
	add("calibration of "+in.Tool, in.StandardCalibration())
	if in.SetWith != "" {
		add("calibration of "+in.SetWith, a.b.Tools[in.SetWith].Instrument().StandardCalibration())
	}
	add("persons reading "+in.Tool, in.Reproducibility)
	return out
}

// better says which gauge of the register, in place of the one that drives the
// spread most, would shrink it, and to what; else what one of half the spread
// would do.
func (a *assessor) better(b Budgeted, parts []*Measured) *Better {
	r := metrology.BudgetResult{U: b.U}
	for _, l := range b.Lines {
		r.Lines = append(r.Lines, metrology.Line{Input: metrology.Input{Name: l.Name, U: l.U}, Sensitivity: l.Sensitivity, Contribution: l.ContributionMM})
	}
	var best *Better
	most := 0.0
	for _, m := range parts {
		if len(m.Gauges) != 1 {
			continue
		}
		in := a.b.Tools[m.Gauges[0]].Instrument()
		names := []string{ofWords[m.Part]}
		for _, s := range a.shared(in) {
			names = append(names, s.Name)
		}
		var lines []int
		now := 0.0
		for i, l := range b.Lines {
			if slices.Contains(names, l.Name) {
				lines = append(lines, i)
				now = math.Hypot(now, l.ContributionMM)
			}
		}
		if now <= most || len(lines) == 0 {
			continue
		}
		most = now
		best = &Better{Line: ofWords[m.Part], Gauge: in.Tool, U: r.UReplacing(lines, now/2)}
		if id, u := a.finer(m, now); id != "" {
			best.With, best.U = id, r.UReplacing(lines, u)
		}
	}
	if largest := driver(b); best != nil && largest != nil && largest.ContributionMM > most {
		return nil // no gauge would help most
	}
	return best
}

// finer is a gauge of the register that reads the part with less spread.
func (a *assessor) finer(m *Measured, now float64) (string, float64) {
	best, least := "", now
	for _, id := range sortedKeys(a.b.Tools) {
		t := a.b.Tools[id]
		if t.Retired != nil || slices.Contains(m.Gauges, id) || !slices.Contains(t.Measures(), m.Part) {
			continue
		}
		in := t.Instrument()
		read, err := in.Read(m.SizeMM)
		if err != nil || !in.InRange(m.SizeMM) {
			continue
		}
		if u := read.StandardUncertainty(); u < least {
			best, least = id, u
		}
	}
	return best, least
}

// driver is the line that brings most.
func driver(b Budgeted) *BudgetLine {
	var best *BudgetLine
	for i := range b.Lines {
		if best == nil || b.Lines[i].ContributionMM > best.ContributionMM {
			best = &b.Lines[i]
		}
	}
	return best
}
