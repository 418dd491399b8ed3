// SPDX-License-Identifier: Apache-2.0

package filmwork

import (
	"fmt"
	"math"

	"witnessmark/bearing"
	"witnessmark/engine"
	"witnessmark/film"
	"witnessmark/oil"
	"witnessmark/units"
)

// What stands in for values that a sheet does not give. Common practice, no
// source; every result lists those that it used.
const (
	usualInletC      = 100.0
	usualWarmUpC     = 40.0
	usualWarmUpRPM   = 2500.0
	usualIdleRPM     = 900.0
	usualEfficiency  = 0.85 // of the engine: brake over indicated
	temperatureDoubt = 5.0  // K, standard deviation of the film's temperature
	loadDoubt        = 0.10 // relative
)

// model is the sheet as package film wants it.
type model struct {
	engine        film.Engine
	bearing       film.Bearing // its clearance is replaced
	rated, warmUp float64      // rad/s
	idle, over    float64
	inlet, cold   float64   // °C
	middle        float64   // mm, diametral
	hotChange     float64   // mm, of the clearance when hot
	rough         Roughness // by the sheet
	least         *float64
	oils          []fill
	assumed       []string
}

// fill is one oil of the sheet: as it is known, and the ends of its grade.
type fill struct {
	Oil
	m, low, high *oil.Model // low and high are nil for a product's own figures
}

// surfaces is the roughness of a position: what was measured, else the sheet's.
// It is nil unless both surfaces are known.
func (m *model) surfaces(measured *Roughness) *Surfaces {
	s := Surfaces{Roughness: m.rough}
	if measured != nil && measured.JournalUM > 0 {
		s.JournalUM, s.JournalMeasured = measured.JournalUM, true
	}
	if measured != nil && measured.ShellUM > 0 {
		s.ShellUM, s.ShellMeasured = measured.ShellUM, true
	}
	if !(s.JournalUM > 0 && s.ShellUM > 0) {
		return nil
	}
	s.CombinedUM = film.Roughness(s.JournalUM, s.ShellUM)
	return &s
}

func (m *model) assume(format string, args ...any) {
	m.assumed = append(m.assumed, fmt.Sprintf(format, args...))
}

// newModel reads a sheet. missing names what it lacks.
func newModel(s *engine.Sheet) (m *model, missing []string, err error) {
	if s == nil {
		return nil, []string{"an engine sheet"}, nil
	}
	if missing = lacking(s); len(missing) > 0 {
		return nil, missing, nil
	}
	m = &model{}
	be, d := s.BigEnd, s.Duty
	diameter, _ := be.Journal.Target()
	width, _ := be.Width.Target()
	m.bearing = film.Bearing{Diameter: diameter * 1e-3, Width: width * 1e-3}
	lo, hi := be.Clearance.New.Range()
	m.middle = (lo + hi) / 2
	if be.Clearance.Target.Given() {
		m.middle = be.Clearance.Target.V.MM()
	}
	m.rough = Roughness{JournalUM: be.JournalFinish.V.Micrometres(), ShellUM: be.Shell.Roughness.V.Micrometres()}
	if be.LeastFilm.Min != nil {
		um := be.LeastFilm.Min.Micrometres()
		m.least = &um
	}
	m.speeds(d)
	m.engineOf(d)
	m.temperatures(s)
	if err := m.fills(s); err != nil {
		return nil, nil, err
	}
	m.bearing.Clearance = m.middle * 1e-3
	if err := m.bearing.Check(); err != nil {
		return nil, nil, err
	}
	return m, nil, m.engine.Check()
}

// lacking names what the film cannot do without, and where it belongs.
func lacking(s *engine.Sheet) []string {
	var out []string
	need := func(given bool, what string) {
		if !given {
			out = append(out, what)
		}
	}
	d := s.Duty
	_, journal := s.BigEnd.Journal.Target()
	_, width := s.BigEnd.Width.Target()
	need(journal, "the journal's diameter (big_end, journal)")
	need(width, "the width that carries load (big_end, width)")
	lo, hi := s.BigEnd.Clearance.New.Range()
	need(s.BigEnd.Clearance.Target.Given() || !math.IsInf(lo, 0) && !math.IsInf(hi, 0), "a middle of the clearance (big_end, clearance, target)")
	need(d.Reciprocating.Given(), "the mass of piston, pin, rings and the rod’s upper share (duty, reciprocating_mass)")
	need(d.Rotating.Given(), "the rod’s turning share (duty, rotating_mass)")
	if len(d.Pressures) == 0 {
		need(d.Compression.Given(), "the compression ratio (duty, compression_ratio)")
		need(d.PeakPressure.Given() || d.MeanPressure.Given(), "the peak or the mean effective pressure (duty, peak_pressure)")
	}
	need(len(s.Oil.Allowed) > 0, "an allowed oil (oil, allowed)")
	return out
}

func (m *model) speeds(d engine.Duty) {
	m.rated = d.RatedSpeed.V.RadPerSecond()
	m.over = m.rated
	if d.OverSpeed.Given() {
		m.over = d.OverSpeed.V.RadPerSecond()
	}
	idle, warm := units.RotationalSpeed(usualIdleRPM), units.RotationalSpeed(usualWarmUpRPM)
	if d.Idle.Given() {
		idle = d.Idle.V
	}
	if d.WarmUpSpeed.Given() {
		warm = d.WarmUpSpeed.V
	} else {
		m.assume("warming up at no more than %.0f rev/min", warm.RPM())
	}
	m.idle, m.warmUp = math.Min(idle.RadPerSecond(), m.rated/2), math.Min(warm.RadPerSecond(), m.rated)
}

func (m *model) engineOf(d engine.Duty) {
	m.engine = film.Engine{
		Crank:             film.Crank{Radius: d.Stroke.V.Metres() / 2, Rod: d.RodLength.V.Metres(), Offset: d.PinOffset.V.Metres()},
		Bore:              d.Bore.V.Metres(),
		ReciprocatingMass: d.Reciprocating.V.Kilograms(), RotatingMass: d.Rotating.V.Kilograms(),
		Strokes: map[bool]int{true: 2, false: 4}[d.Cycle == "two_stroke"],
	}
	g := film.Gas{Compression: float64(d.Compression.V), Peak: d.PeakPressure.V.Pascals(), Intake: d.Intake.V.Pascals(), Exhaust: d.Exhaust.V.Pascals(),
		BurnStart: d.BurnStart.V.Radians(), BurnDuration: d.BurnDuration.V.Radians(), PortOpen: d.PortOpen.V.Radians()}
	if d.MeanPressure.Given() {
		g.MeanEffective = film.Indicated(d.MeanPressure.V.Pascals(), usualEfficiency)
		m.assume("%.0f %% of the work on the pistons reaches the flywheel", 100*usualEfficiency)
	}
	for _, r := range d.Pressures {
		g.Angle, g.Pressure = append(g.Angle, r.Angle.V.Radians()), append(g.Pressure, r.Pressure.V.Pascals())
	}
	m.engine.Gas = g
	for _, a := range g.Assumed() {
		m.assume("%s", a)
	}
	m.assume("the gas pressure of full load at every speed")
}

func (m *model) temperatures(s *engine.Sheet) {
	m.inlet, m.cold = usualInletC, usualWarmUpC
	if s.Oil.Inlet.Given() {
		m.inlet = s.Oil.Inlet.V.Celsius()
	} else {
		m.assume("oil at %.0f °C at the bearing, hot", m.inlet)
	}
	if s.Oil.WarmUp.Given() {
		m.cold = s.Oil.WarmUp.V.Celsius()
	} else {
		m.assume("oil at %.0f °C at the bearing, warming up", m.cold)
	}
	t := s.Materials
	if t.Rod == nil || t.Crank == nil || !s.Duty.Running.Given() {
		m.assume("the clearance when hot is that measured cold")
		return
	}
	const perMicro = 1e-6
	change, err := bearing.ExpansionChange(m.bearing.Diameter*1e3, float64(t.Rod.Expansion.V)*perMicro, float64(t.Crank.Expansion.V)*perMicro, s.Duty.Running.V.Celsius())
	if err != nil {
		m.assume("the clearance when hot is that measured cold")
		return
	}
	m.hotChange = change
}

func (m *model) fills(s *engine.Sheet) error {
	var ready float64
	for i, g := range s.Oil.Allowed {
		f, err := newFill(g)
		if err != nil {
			return fmt.Errorf("oil %s: %w", g.Grade, err)
		}
		if f.HotMM2S, err = f.m.Kinematic(m.inlet); err != nil {
			return fmt.Errorf("oil %s: %w", g.Grade, err)
		}
		if f.WarmUpMM2S, err = f.m.Kinematic(m.cold); err != nil {
			return fmt.Errorf("oil %s: %w", g.Grade, err)
		}
		if from := s.Run.LoadFrom; from.Given() {
			at := from.V.Celsius()
			if i == 0 {
				ready, err = f.m.Kinematic(at)
			} else {
				at, err = f.m.TemperatureAt(ready)
			}
			if err == nil {
				f.ReadyAtC = &at
			}
		}
		m.oils = append(m.oils, f)
	}
	return nil
}

// newFill takes the product's own figures where the sheet has them, else the
// range of the grade, which it marks assumed.
func newFill(g engine.OilGrade) (fill, error) {
	f := fill{Oil: Oil{Grade: g.Grade, When: g.When, Notes: []string{}}}
	own := oil.Oil{Name: g.Grade, V40: g.V40.V.SquareMillimetresPerSecond(), V100: g.V100.V.SquareMillimetresPerSecond(),
		HTHS: g.HTHS.V.MillipascalSeconds(), Density15: float64(g.Density.V)}
	if g.V40.Given() && g.V100.Given() {
		m, err := own.Prepare()
		if err != nil {
			return f, err
		}
		f.m, f.Notes = m, append(f.Notes, m.Oil().Assumed...)
		return f, nil
	}
	grade, err := oil.ParseGrade(g.Grade)
	if err != nil {
		return f, err
	}
	band, err := grade.Band()
	if err != nil {
		return f, err
	}
	f.Assumed = true
	for _, p := range []struct {
		of oil.Oil
		to **oil.Model
	}{{band.Low, &f.low}, {band.Mid, &f.m}, {band.High, &f.high}} {
		if *p.to, err = p.of.Prepare(); err != nil {
			return f, err
		}
	}
	f.Notes = append(f.Notes, f.m.Oil().Assumed...)
	return f, nil
}
