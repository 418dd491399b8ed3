// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"

	"witnessmark/film"
	"witnessmark/oil"
	"witnessmark/units"
)

// filmYAML is the file that `film` reads.
type filmYAML struct {
	Bearing struct {
		Diameter  *metres `yaml:"diameter"`
		Width     *metres `yaml:"width"`
		Clearance *metres `yaml:"clearance"`
	} `yaml:"bearing"`
	Oil       filmOilYAML                      `yaml:"oil"`
	Speed     *quantity[units.RotationalSpeed] `yaml:"speed"`
	Load      filmLoadYAML                     `yaml:"load"`
	Method    yamlText                         `yaml:"method"`
	Boundary  yamlText                         `yaml:"boundary"`
	Grid      *struct{ Around, Across int }    `yaml:"grid"`
	Tolerance float64                          `yaml:"tolerance"`
	Roughness *struct{ Journal, Shell metres } `yaml:"roughness"`
	Shape     *filmShapeYAML                   `yaml:"shape"`
	Points    int                              `yaml:"points"`
}

// metres is a length with its unit.
type metres struct{ quantity[units.Length] }

func (m metres) m() float64 { return m.q.MM() * 1e-3 }

type filmOilYAML struct {
	Viscosity    *quantity[units.DynamicViscosity]   `yaml:"viscosity"`
	Grade        yamlText                            `yaml:"grade"`
	V40          *quantity[units.KinematicViscosity] `yaml:"v40"`
	V100         *quantity[units.KinematicViscosity] `yaml:"v100"`
	HTHS         *quantity[units.DynamicViscosity]   `yaml:"hths"`
	Density      float64                             `yaml:"density_15C_kg_m3"`
	Temperature  *quantity[units.Temperature]        `yaml:"temperature"`
	Inlet        *quantity[units.Temperature]        `yaml:"inlet"`
	SpecificHeat float64                             `yaml:"specific_heat_J_kgK"`
	Share        float64                             `yaml:"heat_share"`
}

type filmLoadYAML struct {
	Steady      *quantity[units.Force] `yaml:"steady"`
	Table       yamlText               `yaml:"table"`
	Frame       yamlText               `yaml:"frame"`
	CrankRadius *metres                `yaml:"crank_radius"`
	RodLength   *metres                `yaml:"rod_length"`
	Engine      *filmEngineYAML        `yaml:"engine"`
}

// filmEngineYAML uses the words of an engine sheet's duty.
type filmEngineYAML struct {
	Cycle         yamlText                  `yaml:"cycle"`
	Bore          *metres                   `yaml:"bore"`
	Stroke        *metres                   `yaml:"stroke"`
	RodLength     *metres                   `yaml:"rod_length"`
	PinOffset     *metres                   `yaml:"pin_offset"`
	Reciprocating *quantity[units.Mass]     `yaml:"reciprocating_mass"`
	Rotating      *quantity[units.Mass]     `yaml:"rotating_mass"`
	Compression   float64                   `yaml:"compression_ratio"`
	Peak          *quantity[units.Pressure] `yaml:"peak_pressure"`
	Mean          *quantity[units.Pressure] `yaml:"mean_effective_pressure"`
	Intake        *quantity[units.Pressure] `yaml:"intake_pressure"`
	Exhaust       *quantity[units.Pressure] `yaml:"exhaust_pressure"`
	BurnStart     *quantity[units.Angle]    `yaml:"burn_start"`
	BurnDuration  *quantity[units.Angle]    `yaml:"burn_duration"`
	PortOpen      *quantity[units.Angle]    `yaml:"port_open"`
	PressureTable yamlText                  `yaml:"pressure_table"`
}

type filmShapeYAML struct {
	BoreOvality      *metres                `yaml:"bore_ovality"`
	BoreOvalityAt    *quantity[units.Angle] `yaml:"bore_ovality_at"`
	JournalOvality   *metres                `yaml:"journal_ovality"`
	JournalOvalityAt *quantity[units.Angle] `yaml:"journal_ovality_at"`
	JournalTaper     *metres                `yaml:"journal_taper"`
	JournalBarrel    *metres                `yaml:"journal_barrel"`
	BoreTaper        *metres                `yaml:"bore_taper"`
	TiltX            *metres                `yaml:"tilt_x"`
	TiltY            *metres                `yaml:"tilt_y"`
}

// filmCase is a case ready to be solved.
type filmCase struct {
	varying     film.Case
	steady      film.SteadyCase
	isSteady    bool
	rod         bool // the frame is the rod's
	oil         *oil.Model
	temperature float64 // °C, if atFixed
	atFixed     bool
	thermal     film.Thermal
	balanced    bool
	roughness   float64 // m, combined
	assumed     []string
}

// si returns a quantity's value through get, or zero if it was not given.
func si[Q units.Quantity](q *quantity[Q], get func(Q) float64) float64 {
	if q == nil {
		return 0
	}
	return get(q.q)
}

func length(m *metres) float64 {
	if m == nil {
		return 0
	}
	return m.m()
}

func radians(a *quantity[units.Angle]) float64 {
	return si(a, func(a units.Angle) float64 { return float64(a) * math.Pi / 180 })
}

func (y *filmYAML) toCase(a *app, dir string) (filmCase, error) {
	var c filmCase
	if y.Bearing.Diameter == nil || y.Bearing.Width == nil || y.Bearing.Clearance == nil {
		return c, errors.New("bearing: diameter, width and clearance (diametral) are all needed, such as 52 mm, 18 mm, 50 µm")
	}
	b := film.Bearing{Diameter: length(y.Bearing.Diameter), Width: length(y.Bearing.Width), Clearance: length(y.Bearing.Clearance)}
	if y.Speed == nil {
		return c, errors.New("speed: it is needed, such as 4000 rpm")
	}
	speed := y.Speed.q.RadPerSecond()
	method := film.Method(y.Method)
	if method == "" {
		method = film.Map
		if y.Shape != nil || (y.Boundary != "" && film.Boundary(y.Boundary) != film.Natural) {
			method = film.Field
		}
	}
	var grid film.Grid
	if y.Grid != nil {
		grid = film.Grid{Around: y.Grid.Around, Across: y.Grid.Across}
	}
	if r := y.Roughness; r != nil {
		c.roughness = math.Hypot(r.Journal.m(), r.Shell.m())
	}
	if err := y.Oil.into(&c); err != nil {
		return c, err
	}
	mu := si(y.Oil.Viscosity, units.DynamicViscosity.PascalSeconds)
	if y.Load.Steady != nil {
		if y.Load.Table != "" || y.Load.Engine != nil {
			return c, errors.New("load: give one of steady, table and engine")
		}
		if y.Shape != nil {
			return c, errors.New("shape: it needs a load that varies; give the load as a table, which may repeat one value")
		}
		c.isSteady = true
		c.steady = film.SteadyCase{Bearing: b, Viscosity: mu, Speed: speed, Load: y.Load.Steady.q.Newtons(),
			Method: method, Boundary: film.Boundary(y.Boundary), Grid: grid}
		return c, nil
	}
	if y.Boundary != "" && film.Boundary(y.Boundary) != film.Natural {
		return c, fmt.Errorf("boundary: a load that varies knows %q only", film.Natural)
	}
	cycle, err := y.Load.cycle(&c, a, dir, speed)
	if err != nil {
		return c, err
	}
	c.varying = film.Case{Bearing: b, Viscosity: mu, Speed: speed, Load: cycle, Method: method,
		Options: film.Options{Tolerance: y.Tolerance, Grid: grid, Points: y.Points}}
	if y.Points < 0 || y.Points > 7200 {
		return c, errors.New("points: a number from 0 to 7200")
	}
	if y.Tolerance != 0 && !(y.Tolerance >= 1e-9 && y.Tolerance <= 0.01) {
		return c, errors.New("tolerance: a number from 1e-9 to 0.01")
	}
	if s := y.Shape; s != nil {
		c.varying.Shape = film.Shape{
			BoreOvality: length(s.BoreOvality), BoreOvalityAt: radians(s.BoreOvalityAt),
			JournalOvality: length(s.JournalOvality), JournalOvalityAt: radians(s.JournalOvalityAt),
			JournalTaper: length(s.JournalTaper), JournalBarrel: length(s.JournalBarrel), BoreTaper: length(s.BoreTaper),
			TiltX: length(s.TiltX), TiltY: length(s.TiltY),
		}
	}
	return c, nil
}

// into reads the oil: a viscosity, or an oil with a temperature or an inlet.
func (y *filmOilYAML) into(c *filmCase) error {
	own := y.V40 != nil || y.V100 != nil
	kinds := 0
	for _, given := range []bool{y.Viscosity != nil, y.Grade != "", own} {
		if given {
			kinds++
		}
	}
	if kinds != 1 {
		return errors.New("oil: give one of viscosity (such as 10 mPa·s), grade (such as 5W-40), or v40 and v100")
	}
	if y.Viscosity != nil {
		if y.Temperature != nil || y.Inlet != nil {
			return errors.New("oil: a viscosity needs neither temperature nor inlet; for those give grade, or v40 and v100")
		}
		return nil
	}
	if (y.Temperature == nil) == (y.Inlet == nil) {
		return errors.New("oil: give either temperature (of the film) or inlet (for the heat balance)")
	}
	o := oil.Oil{
		V40:       si(y.V40, units.KinematicViscosity.SquareMillimetresPerSecond),
		V100:      si(y.V100, units.KinematicViscosity.SquareMillimetresPerSecond),
		HTHS:      si(y.HTHS, units.DynamicViscosity.MillipascalSeconds),
		Density15: y.Density,
	}
	if y.Grade != "" {
		g, err := oil.ParseGrade(string(y.Grade))
		if err != nil {
			return fmt.Errorf("oil: %w", err)
		}
		band, err := g.Band()
		if err != nil {
			return fmt.Errorf("oil: %w", err)
		}
		hths, density := o.HTHS, o.Density15
		o = band.Mid
		o.Density15 = density
		if hths != 0 {
			o.HTHS = hths
		}
	}
	m, err := o.Prepare()
	if err != nil {
		return fmt.Errorf("oil: %w", err)
	}
	c.oil, c.assumed = m, m.Oil().Assumed
	if o.HTHS == 0 {
		c.assumed = append(c.assumed[:len(c.assumed):len(c.assumed)], notThinning)
	}
	if y.Temperature != nil {
		c.temperature, c.atFixed = y.Temperature.q.Celsius(), true
		return nil
	}
	c.balanced = true
	c.thermal = film.Thermal{Oil: m, Inlet: y.Inlet.q.Celsius(), SpecificHeat: y.SpecificHeat, Share: y.Share}
	if y.SpecificHeat == 0 {
		c.assumed = append(c.assumed[:len(c.assumed):len(c.assumed)], "specific heat 2000 J/(kg·K)")
	}
	if y.Share == 0 {
		c.assumed = append(c.assumed[:len(c.assumed):len(c.assumed)], "the oil carries off all of the friction")
	}
	return nil
}

// cycle reads the load that varies.
func (y *filmLoadYAML) cycle(c *filmCase, a *app, dir string, speed float64) (*film.Cycle, error) {
	switch {
	case y.Table != "" && y.Engine != nil, y.Table == "" && y.Engine == nil:
		return nil, errors.New("load: give one of steady (such as 8 kN), table (a CSV file) and engine")
	case y.Engine != nil:
		e, err := y.Engine.engine(a, dir)
		if err != nil {
			return nil, fmt.Errorf("load: engine: %w", err)
		}
		c.rod = true
		c.assumed = append(c.assumed[:len(c.assumed):len(c.assumed)], e.Gas.Assumed()...)
		cycle, err := e.Cycle(speed)
		if err != nil {
			return nil, fmt.Errorf("load: engine: %w", err)
		}
		return cycle, nil
	}
	t, err := a.readTable(dir, string(y.Table), "angle_deg", "fx_N", "fy_N")
	if err != nil {
		return nil, err
	}
	switch y.Frame {
	case "fixed":
		if y.CrankRadius != nil || y.RodLength != nil {
			return nil, errors.New("load: crank_radius and rod_length belong to frame: rod")
		}
		return film.NewCycle(t[0], t[1], t[2], nil)
	case "rod":
		if y.CrankRadius == nil || y.RodLength == nil {
			return nil, errors.New("load: frame rod needs crank_radius and rod_length")
		}
		c.rod = true
		return film.RodCycle(film.Crank{Radius: y.CrankRadius.m(), Rod: y.RodLength.m()}, t[0], t[1], t[2])
	}
	return nil, fmt.Errorf("load: frame %q is neither fixed nor rod", y.Frame)
}

func (y *filmEngineYAML) engine(a *app, dir string) (film.Engine, error) {
	var e film.Engine
	switch y.Cycle {
	case "four_stroke", "":
		e.Strokes = 4
	case "two_stroke":
		e.Strokes = 2
	default:
		return e, fmt.Errorf("cycle %q is neither four_stroke nor two_stroke", y.Cycle)
	}
	if y.Bore == nil || y.Stroke == nil || y.RodLength == nil || y.Reciprocating == nil || y.Rotating == nil {
		return e, errors.New("bore, stroke, rod_length, reciprocating_mass and rotating_mass are all needed")
	}
	pascals := func(p *quantity[units.Pressure]) float64 {
		return si(p, func(p units.Pressure) float64 { return p.Megapascals() * 1e6 })
	}
	e.Crank = film.Crank{Radius: length(y.Stroke) / 2, Rod: length(y.RodLength), Offset: length(y.PinOffset)}
	e.Bore = length(y.Bore)
	e.ReciprocatingMass, e.RotatingMass = y.Reciprocating.q.Kilograms(), y.Rotating.q.Kilograms()
	e.Gas = film.Gas{Compression: y.Compression, Peak: pascals(y.Peak), MeanEffective: pascals(y.Mean),
		Intake: pascals(y.Intake), Exhaust: pascals(y.Exhaust),
		BurnStart: radians(y.BurnStart), BurnDuration: radians(y.BurnDuration), PortOpen: radians(y.PortOpen)}
	if y.PressureTable != "" {
		t, err := a.readTable(dir, string(y.PressureTable), "angle_deg", "pressure_bar")
		if err != nil {
			return e, err
		}
		for i := range t[1] {
			t[1][i] *= 1e5
		}
		e.Gas.Angle, e.Gas.Pressure = t[0], t[1]
	}
	return e, e.Check()
}

// maxTableBytes bounds a table file; a row a degree over two turns is 30 kB.
const maxTableBytes = 8 << 20

// readTable reads the named columns of a CSV file beside the case; the first is
// an angle in degrees and becomes radians.
func (a *app) readTable(dir, name string, columns ...string) ([][]float64, error) {
	path := name
	if !filepath.IsAbs(path) {
		path = filepath.Join(dir, path)
	}
	text, err := a.readFile(path, maxTableBytes)
	if err != nil {
		return nil, err
	}
	t, err := parseTable(string(text), columns...)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	for i := range t[0] {
		t[0][i] *= math.Pi / 180
	}
	return t, nil
}

func parseTable(text string, columns ...string) ([][]float64, error) {
	r := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff")))
	r.Comment, r.TrimLeadingSpace = '#', true
	rows, err := r.ReadAll()
	if err != nil {
		return nil, err
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("the table is empty; its first line must be %s", strings.Join(columns, ","))
	}
	at := make([]int, len(columns))
	for k, want := range columns {
		at[k] = -1
		for i, got := range rows[0] {
			if strings.TrimSpace(got) == want {
				at[k] = i
			}
		}
		if at[k] < 0 {
			return nil, fmt.Errorf("line 1: there is no column %s; the first line must be %s", want, strings.Join(columns, ","))
		}
	}
	t := make([][]float64, len(columns))
	for n, row := range rows[1:] {
		for k, i := range at {
			v, err := strconv.ParseFloat(strings.TrimSpace(row[i]), 64)
			if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
				return nil, fmt.Errorf("row %d, %s: %q is not a number", n+1, columns[k], row[i])
			}
			t[k] = append(t[k], v)
		}
	}
	return t, nil
}
