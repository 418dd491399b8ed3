// SPDX-License-Identifier: Apache-2.0

package film

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"witnessmark/oil"
)

func testOil(t testing.TB) *oil.Model {
	t.Helper()
	// Invented: an SAE 40 multigrade.
	m, err := oil.Oil{V40: 91, V100: 14.4, HTHS: 3.7, Density15: 855}.Prepare()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func smallSweep() SweepSpec {
	e := demoEngine()
	return SweepSpec{
		Bearing: Bearing{Diameter: 0.052, Width: 0.018}, Method: Map, Options: Options{Bare: true}, Cycle: e.Cycle,
		Clearances: []float64{30e-6, 45e-6, 60e-6, 80e-6}, Speeds: []float64{rpm(2000), rpm(5000)},
		Oils: []Grade{{Name: "thin", Viscosity: 0.006}, {Name: "thick", Viscosity: 0.012}},
	}
}

// TestSweep: every cell is what Solve gives, on any number of workers.
func TestSweep(t *testing.T) {
	s := smallSweep()
	var told []int
	m := must(Sweep(context.Background(), s, func(done, total int) { told = append(told, done*1000+total) }))
	if len(told) != 16 || !slices.IsSorted(told) || told[15] != 16016 {
		t.Errorf("progress told %v", told)
	}
	s.Workers = 1
	one := must(Sweep(context.Background(), s, nil))
	if !slices.Equal(m.Cells, one.Cells) {
		t.Error("the result depends on the number of workers")
	}
	for o, g := range s.Oils {
		for v, speed := range s.Speeds {
			for c, cl := range s.Clearances {
				r := must(Solve(Case{Bearing: Bearing{0.052, 0.018, cl}, Viscosity: g.Viscosity, Speed: speed, Load: must(s.Cycle(speed)), Method: Map}))
				nearRel(t, "cell", m.At(c, v, o).MinFilm, r.MinFilm, 0.002)
			}
		}
	}
}

func TestSweepStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	done := 0
	_, err := Sweep(ctx, smallSweep(), func(d, _ int) {
		if done = d; d == 3 {
			cancel()
		}
	})
	if !errors.Is(err, context.Canceled) || done > 8 {
		t.Errorf("stopped after %d cells: %v", done, err)
	}
	bad := smallSweep()
	bad.Clearances[2] = 0
	var re *RangeError
	if _, err := Sweep(context.Background(), bad, nil); !errors.As(err, &re) {
		t.Errorf("no clearance: %v", err)
	}
	over := smallSweep()
	over.Oils[0].Viscosity = 1e-5
	cycle := over.Cycle
	over.Cycle = func(v float64) (*Cycle, error) { c, err := cycle(v); return c.Scaled(1e4), err }
	m := must(Sweep(context.Background(), over, nil))
	var o *OverloadError
	if !errors.As(m.At(3, 0, 0).Err, &o) || m.At(3, 0, 0).MinFilm != 0 {
		t.Errorf("an overloaded cell: %+v", m.At(3, 0, 0))
	}
}

// TestHeatBalance: what the oil carries off is what friction makes, and thinner
// for warmer oil.
func TestHeatBalance(t *testing.T) {
	m := testOil(t)
	last := math.Inf(1)
	for _, inlet := range []float64{60, 90, 120} {
		r, w, err := SolveWarm(demoCase(t, 4000, Map), Thermal{Oil: m, Inlet: inlet})
		if err != nil {
			t.Fatal(err)
		}
		rho := must(m.Density(w.Temperature))
		nearRel(t, "heat carried", rho*2000*r.SideFlow*(w.Outlet-inlet), r.Friction, 1e-5)
		near(t, "film temperature", w.Temperature, (w.Outlet+inlet)/2, 1e-9)
		eta := must(m.Sheared(w.Temperature, r.ShearRate))
		nearRel(t, "viscosity", w.Viscosity*1e3, eta, 2e-3)
		if !(r.MinFilm < last) {
			t.Errorf("inlet %g °C: film %g, not below %g", inlet, r.MinFilm, last)
		}
		last = r.MinFilm
	}
	// A steady load on the same rule.
	s := SteadyCase{Bearing: Bearing{0.048, 0.018, 45e-6}, Speed: rpm(4000), Load: 6000, Method: Map}
	r, w, err := SolveSteadyWarm(s, Thermal{Oil: m, Inlet: 80, Share: 0.8, SpecificHeat: 1900})
	if err != nil {
		t.Fatal(err)
	}
	nearRel(t, "steady heat", must(m.Density(w.Temperature))*1900*r.SideFlow*(w.Outlet-80), 0.8*r.Friction, 1e-5)
}

func TestHeatBalanceFails(t *testing.T) {
	m := testOil(t)
	c := demoCase(t, 4000, Map)
	c.Load = c.Load.Scaled(2000)
	var over *OverloadError
	if _, _, err := SolveWarm(c, Thermal{Oil: m, Inlet: 100}); !errors.As(err, &over) {
		t.Errorf("overloaded at the inlet's viscosity: %v", err)
	}
	s := SteadyCase{Bearing: Bearing{0.048, 0.018, 45e-6}, Speed: rpm(4000), Load: 6000, Method: Map}
	s.Viscosity = 0.01
	top := s
	top.Load = 1e9
	_, err := SolveSteady(top)
	if !errors.As(err, &over) {
		t.Fatal(err)
	}
	// A load that cold oil holds and warm oil does not.
	eta := must(m.Sheared(40, 1e6)) * 1e-3
	s.Load = over.Held * eta / 0.01 * 0.5
	var settle *SettleError
	if r, w, err := SolveSteadyWarm(s, Thermal{Oil: m, Inlet: 40}); !errors.As(err, &settle) && !errors.As(err, &over) {
		t.Errorf("no temperature should settle: %+v, %+v, %v", r, w, err)
	}
	nan := math.NaN()
	for name, th := range map[string]Thermal{"no oil": {Inlet: 80}, "NaN": {Oil: m, Inlet: nan}, "too hot": {Oil: m, Inlet: 300}, "share": {Oil: m, Inlet: 80, Share: 2}, "heat": {Oil: m, Inlet: 80, SpecificHeat: -1}} {
		if _, _, err := SolveWarm(demoCase(t, 4000, Map), th); err == nil {
			t.Errorf("%s was accepted", name)
		}
	}
}

// TestTemperatureDoesNotSettle: oil that the film's heat drives beyond what is
// known of it, and one that carries the load cold only, say between which
// temperatures was looked.
func TestTemperatureDoesNotSettle(t *testing.T) {
	thin := must(oil.Oil{V40: 40, V100: 8, Density15: 850}.Prepare())
	s := SteadyCase{Bearing: Bearing{0.050, 0.020, 10e-6}, Speed: rpm(9000), Load: 300e3, Method: Map}
	_, _, err := SolveSteadyWarm(s, Thermal{Oil: thin, Inlet: 150})
	var settle *SettleError
	if !errors.As(err, &settle) || settle.Low != 150 || !(settle.High > 200) || settle.Cause != nil {
		t.Errorf("too hot: %v", err)
	}
	// Tight and fast: a balance there is, with the oil leaving at over 400 °C.
	c := demoCase(t, 12000, Map)
	c.Bearing.Clearance = 12e-6
	if _, _, err := SolveWarm(c, Thermal{Oil: testOil(t), Inlet: 40}); !errors.As(err, &settle) || !(settle.Outlet > 250) {
		t.Errorf("tight and fast: %v", err)
	}
	c = demoCase(t, 4000, Map)
	for k := 8.0; k < 1e5; k *= 1.5 {
		d := c
		d.Load = c.Load.Scaled(k)
		_, _, err := SolveWarm(d, Thermal{Oil: testOil(t), Inlet: 20})
		if err == nil {
			continue
		}
		var over *OverloadError
		if errors.As(err, &settle) && !errors.As(settle.Cause, &over) {
			t.Errorf("load × %g: %v", k, err)
		}
		if !errors.As(err, &settle) && !errors.As(err, &over) {
			t.Errorf("load × %g: %v", k, err)
		}
		return
	}
	t.Error("every load was carried")
}

// TestSolveAt: at a known film temperature only the shear is settled.
func TestSolveAt(t *testing.T) {
	m := testOil(t)
	r, mu, err := SolveAt(demoCase(t, 4000, Map), m, 110)
	if err != nil {
		t.Fatal(err)
	}
	nearRel(t, "viscosity", 1e3*mu, must(m.Sheared(110, r.ShearRate)), 1e-3)
	if _, _, err := SolveAt(demoCase(t, 4000, Map), m, 900); err == nil {
		t.Error("900 °C was accepted")
	}
}

// TestMonteCarlo: the samples are those of direct solutions, the same for one
// seed, and spread as the inputs make them.
func TestMonteCarlo(t *testing.T) {
	c := demoCase(t, 4000, Map)
	m := testOil(t)
	base := must(m.Sheared(110, 1e6))
	visc := func(dt float64) float64 {
		v, err := m.Sheared(110+dt, 1e6)
		if err != nil {
			return 0
		}
		return v / base
	}
	sp := Spread{Clearance: 3e-6, Temperature: 6, Load: 0.08, Model: UsualModelSpread}
	a := must(MonteCarlo(context.Background(), c, sp, visc, 2000, 42, nil))
	b := must(MonteCarlo(context.Background(), c, sp, visc, 2000, 42, nil))
	if !slices.Equal(a.Films, b.Films) {
		t.Error("one seed gave two results")
	}
	// Single draws, solved directly.
	for i := range 25 {
		var d draw
		d.take(&c, sp, visc, 42, i)
		e := c
		e.Options.Bare, e.Options.Tolerance = true, 1e-5
		e.Viscosity = c.Viscosity * math.Exp(-d.logK)
		r := must(Solve(e))
		nearRel(t, "draw", a.Films[i], r.MinFilm/c.Bearing.Clearance*d.clearance*d.model, 0.003)
	}
	// The model's spread alone: log-normal with that relative deviation.
	only := must(MonteCarlo(context.Background(), c, Spread{Model: 0.25}, nil, 20000, 7, nil))
	mid := must(Solve(c)).MinFilm
	nearRel(t, "median", only.Quantile(0.5), mid, 0.01)
	nearRel(t, "upper quantile", only.Quantile(0.975), mid*math.Exp(1.96*math.Sqrt(math.Log(1.0625))), 0.02)
	// Two positions with one seed share the model factor draw by draw.
	wide := c
	wide.Bearing.Clearance *= 1.4
	two := must(MonteCarlo(context.Background(), wide, Spread{Model: 0.25}, nil, 20000, 7, nil))
	ratio := two.Films[0] / only.Films[0]
	for i := range 100 {
		nearRel(t, "ratio of positions", two.Films[i]/only.Films[i], ratio, 1e-9)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := MonteCarlo(ctx, c, sp, visc, 100, 1, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
	for name, bad := range map[string]Spread{"NaN": {Load: math.NaN()}, "negative": {Clearance: -1}, "huge": {Model: 50}} {
		if _, err := MonteCarlo(context.Background(), c, bad, visc, 100, 1, nil); err == nil {
			t.Errorf("%s was accepted", name)
		}
	}
}

// TestShape: one micrometre of cone takes about half of the film (an earlier,
// separate calculation of a like bearing: 1.82 to 1.04 µm); ovality takes or
// gives by where it stands; a shape of nothing is the round bearing.
func TestShape(t *testing.T) {
	t.Parallel()
	c := demoCase(t, 4000, Field)
	c.Options = Options{Bare: true, Grid: Grid{48, 4}, Tolerance: 2e-3}
	round := must(Solve(c)).MinFilm
	solve := func(s Shape) float64 { d := c; d.Shape = s; return must(Solve(d)).MinFilm / round }
	if r := solve(Shape{JournalBarrel: 1e-12}); math.Abs(r-1) > 0.004 {
		t.Errorf("a shape of nothing leaves %.4f of the film", r)
	}
	if r := solve(Shape{JournalTaper: 4e-6}); r < 0.4 || r > 0.65 {
		t.Errorf("1 µm of cone in the radius leaves %.2f of the film", r)
	}
	near(t, "a bore tapered with the journal is no taper", solve(Shape{JournalTaper: 3e-6, BoreTaper: 3e-6}), 1, 0.004)
	oval, half := solve(Shape{JournalOvality: 10e-6}), solve(Shape{JournalOvality: 10e-6, JournalOvalityAt: math.Pi})
	near(t, "an oval looks the same after half a turn", oval, half, 0.005)
	if oval > 0.96 || oval < 0.8 {
		t.Errorf("10 µm of ovality leave %.2f", oval)
	}
}

// TestOvalFrames: an oval journal turning past a bore is, seen from the journal,
// an oval bore turning the other way; the squeeze velocity is the same.
func TestOvalFrames(t *testing.T) {
	b := Bearing{0.052, 0.018, 50e-6}
	j := must(NewShapedFilm(b, Shape{JournalOvality: 8e-6, JournalOvalityAt: 0.4}, Grid{64, 4}, func(float64) float64 { return 0 }))
	o := must(NewShapedFilm(b, Shape{BoreOvality: -8e-6, BoreOvalityAt: 0.4}, Grid{64, 4}, nil))
	for i := range 10 {
		a := 0.6 * float64(i)
		s := State{X: 0.7 * math.Cos(a), Y: 0.7 * math.Sin(a), Wx: 3, Wy: 1, Spin: 0.5}
		jx, jy, ok1 := j.Velocity(&s)
		s.Spin = -0.5
		ox, oy, ok2 := o.Velocity(&s)
		if !ok1 || !ok2 {
			t.Fatal("no film")
		}
		near(t, "Vx", jx, ox, 1e-9)
		near(t, "Vy", jy, oy, 1e-9)
	}
}

// TestShapeLeast: the least gap of a shape against a fine search.
func TestShapeLeast(t *testing.T) {
	s := Shape{BoreOvality: 8e-6, BoreOvalityAt: 0.7, JournalTaper: 3e-6, JournalBarrel: 2e-6, TiltX: 1e-6}
	g := s.gap(25e-6, 0.3)
	for i := range 20 {
		x, y := 0.8*math.Cos(float64(i)), 0.8*math.Sin(float64(i))
		want := math.Inf(1)
		for a := 0.0; a < 2*math.Pi; a += 0.002 {
			sn, cs := math.Sincos(a)
			for z := -1.0; z <= 1; z += 0.02 {
				want = math.Min(want, 1-x*cs-y*sn+g.around(cs, sn)+g.across(cs, sn, z))
			}
		}
		h, _ := g.least(x, y)
		near(t, "least gap", h, want, 5e-4)
	}
}

// Two positions of one engine share oil, load and model draw by draw; their
// clearances have errors of their own where a position is named.
func TestSamplesOfPositions(t *testing.T) {
	c := demoCase(t, 4000, Map)
	s := Spread{Clearance: 3e-6, Load: 0.1, Model: UsualModelSpread}
	draw := func(position uint64) []float64 {
		s.Position = position
		return must(MonteCarlo(context.Background(), c, s, nil, 500, 7, nil)).Films
	}
	a, again, b := draw(1), draw(1), draw(2)
	same, logA, logR := 0, 0.0, 0.0
	for i := range a {
		if a[i] != again[i] {
			t.Fatalf("sample %d differs from one run to the next", i)
		}
		if a[i] == b[i] {
			same++
		}
		logA += math.Pow(math.Log(a[i]/a[0]), 2)
		logR += math.Pow(math.Log(a[i]/b[i]), 2)
	}
	if same > 0 {
		t.Errorf("%d samples of two positions are the same", same)
	}
	// The ratio knows nothing of the common doubt, so it scatters less.
	if logR > 0.5*logA {
		t.Errorf("the ratio scatters as much as the film itself: %g, %g", logR, logA)
	}
}

// The film over roughness, by hand: 3, 4 and 5.
func TestLambda(t *testing.T) {
	if s := Roughness(0.3e-6, 0.4e-6); math.Abs(s-0.5e-6) > 1e-12 || Lambda(1e-6, s) != 2 {
		t.Errorf("σ %g, λ %g", s, Lambda(1e-6, s))
	}
	// √(2/π) by hand: 0.797885.
	near(t, "Ra of Rq 1", RaFromRq(1), 0.797885, 5e-7)
	if Lambda(1e-6, Roughness(0, 0)) != 0 {
		t.Error("without roughness there is no ratio")
	}
}

// The balance settles at every clearance, also where an orbit's own tolerance
// is all that is left of the bracket: films fall smoothly as clearance grows.
func TestHeatBalanceEverywhere(t *testing.T) {
	m := must(oil.Oil{V40: 84, V100: 13.9, HTHS: 3.7, Density15: 852}.Prepare())
	c := demoCase(t, 6500, Map)
	was := math.Inf(1)
	for um := 40.0; um <= 80; um++ {
		c.Bearing.Clearance = um * 1e-6
		r, w, err := SolveWarm(c, Thermal{Oil: m, Inlet: 105})
		if err != nil {
			t.Fatalf("%g µm: %v", um, err)
		}
		if !(w.Temperature < was+0.05) {
			t.Errorf("%g µm: %g °C after %g", um, w.Temperature, was)
		}
		was = w.Temperature
		if !(r.MinFilm > 0) {
			t.Errorf("%g µm: no film", um)
		}
	}
}
