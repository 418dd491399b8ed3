// SPDX-License-Identifier: Apache-2.0

package film

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestTableau holds the integrator's coefficients against the order conditions.
func TestTableau(t *testing.T) {
	a := [7][6]float64{{}, {a21}, {a31, a32}, {a41, a42, a43}, {a51, a52, a53, a54}, {a61, a62, a63, a64, a65}, {b1, 0, b3, b4, b5, b6}}
	b := [7]float64{b1, 0, b3, b4, b5, b6, 0}
	c := [7]float64{0, c2, c3, c4, c5, 1, 1}
	e := [7]float64{e1, 0, e3, e4, e5, e6, e7}
	for i := range a {
		sum := 0.0
		for _, v := range a[i] {
			sum += v
		}
		near(t, "row sum", sum, c[i], 1e-14)
	}
	// Σ b c^k = 1/(k+1) to order five; the difference of the pair to order four.
	for k := range 5 {
		sb, se, sbac, seac := 0.0, 0.0, 0.0, 0.0
		for i := range b {
			ac := 0.0
			for j := range a[i] {
				ac += a[i][j] * math.Pow(c[j], float64(k))
			}
			sb += b[i] * math.Pow(c[i], float64(k))
			se += e[i] * math.Pow(c[i], float64(k))
			sbac += b[i] * ac
			seac += e[i] * ac
		}
		near(t, "Σ b c^k", sb, 1/float64(k+1), 1e-14)
		if k < 4 {
			near(t, "Σ e c^k", se, 0, 1e-14)
			near(t, "Σ b a c^k", sbac, 1/float64((k+1)*(k+2)), 1e-14)
		}
		if k < 3 {
			near(t, "Σ e a c^k", seac, 0, 1e-14)
		}
	}
}

// TestDenseOutput: the continuous output meets both ends with their slopes, and
// follows exp to fourth order.
func TestDenseOutput(t *testing.T) {
	var errs [2]float64
	for n, h := range []float64{0.4, 0.2} {
		var k [7]float64
		y := 1.0
		stage := func(s float64) float64 { return s } // y' = y
		k[0] = stage(y)
		k[1] = stage(y + h*a21*k[0])
		k[2] = stage(y + h*(a31*k[0]+a32*k[1]))
		k[3] = stage(y + h*(a41*k[0]+a42*k[1]+a43*k[2]))
		k[4] = stage(y + h*(a51*k[0]+a52*k[1]+a53*k[2]+a54*k[3]))
		k[5] = stage(y + h*(a61*k[0]+a62*k[1]+a63*k[2]+a64*k[3]+a65*k[4]))
		y1 := y + h*(b1*k[0]+b3*k[2]+b4*k[3]+b5*k[4]+b6*k[5])
		k[6] = stage(y1)
		var p pathStep
		dense(&p.rx, &k, h, y, y1)
		at := func(x float64) float64 { v, _ := p.within(x); return v }
		near(t, "start", at(0), y, 1e-15)
		near(t, "end", at(1), y1, 1e-15)
		for x := 0.1; x < 1; x += 0.1 {
			errs[n] = math.Max(errs[n], math.Abs(at(x)-math.Exp(x*h)))
		}
	}
	if order := math.Log2(errs[0] / errs[1]); order < 4.5 {
		t.Errorf("errors %v: order %.2f of one step, about 5 expected", errs, order)
	}
}

// TestSyntheticCycle: an invented four-stroke cycle, the exact short film
// integrated in SciPy at tolerances of 1e-9.
func TestSyntheticCycle(t *testing.T) {
	c := Case{Bearing: Bearing{0.05, 0.02, 50e-6}, Viscosity: 0.01, Speed: rpm(3000), Load: cycleOf(t, 720, smoothForce), Method: Short,
		Options: Options{Points: 12}}
	r := must(Solve(c))
	nearRel(t, "least film", r.MinFilm*1e6, 2.83855, 0.002)
	near(t, "its angle", deg(r.MinFilmAngle), 80.20, 1)
	if !r.Converged {
		t.Error("the orbit did not close")
	}
	for i, row := range table(t, "synthetic_cycle.csv") {
		if i < 12 {
			nearRel(t, "film at "+row["cycle_angle_deg"], r.Points[i].Film*1e6, num(row["h_um_exact_short_pi_film"]), 0.002)
		}
	}
}

// TestSciPyOrbits: scripts/bench/film_scipy.py integrates the same equations by
// DOP853 at 1e-10; the least film agrees to 0.1 %.
func TestSciPyOrbits(t *testing.T) {
	for _, row := range table(t, "scipy_orbits.csv") {
		f := smoothForce
		if row["cycle"] == "firing" {
			f = firingForce
		}
		clearance := num(row["clearance_um"]) * 1e-6
		c := Case{Bearing: Bearing{0.05, 0.02, clearance}, Viscosity: 0.01, Speed: rpm(num(row["rpm"])), Load: cycleOf(t, 1440, f), Method: Short}
		r := must(Solve(c))
		name := row["cycle"] + " " + row["clearance_um"] + " µm"
		nearRel(t, name+": least film", r.MinFilm/(clearance/2), num(row["film_ratio"]), 0.001)
		near(t, name+": its angle", deg(r.MinFilmAngle), num(row["at_deg"]), 1)
	}
}

// TestStepConvergence: over the demo engine the default tolerance is within
// 0.2 % of a hundredth of it.
func TestStepConvergence(t *testing.T) {
	t.Parallel()
	for _, speed := range []float64{1500, 4000, 7000} {
		c := demoCase(t, speed, Map)
		a := must(Solve(c))
		c.Options.Tolerance = 3e-6
		b := must(Solve(c))
		nearRel(t, "least film", a.MinFilm, b.MinFilm, 0.002)
		nearRel(t, "pressure", a.MaxPressure, b.MaxPressure, 0.01)
		nearRel(t, "friction", a.Friction, b.Friction, 0.002)
		nearRel(t, "side flow", a.SideFlow, b.SideFlow, 0.005)
	}
}

// TestMapAgainstFieldOrbit: the map's least film within 0.3 % of the field
// solved at every step, the demo engine at two speeds; more in docs/film.md.
func TestMapAgainstFieldOrbit(t *testing.T) {
	t.Parallel()
	for _, speed := range []float64{4000, 7000} {
		m := must(Solve(demoCase(t, speed, Map)))
		c := demoCase(t, speed, Field)
		c.Options = Options{Grid: Grid{128, 8}, Tolerance: 1e-3}
		f := must(Solve(c))
		nearRel(t, "least film", m.MinFilm, f.MinFilm, 0.003)
		nearRel(t, "pressure", m.MaxPressure, f.MaxPressure, 0.02)
		nearRel(t, "friction", m.Friction, f.Friction, 0.005)
		nearRel(t, "side flow", m.SideFlow, f.SideFlow, 0.02)
	}
}

// TestMapAgainstFieldByWidth: the same at width ratios from 0.25 to 1, within
// 0.5 %, the load growing with the width.
func TestMapAgainstFieldByWidth(t *testing.T) {
	t.Parallel()
	for _, ld := range []float64{0.25, 0.6, 1} {
		c := demoCase(t, 5000, Map)
		c.Bearing.Width = ld * c.Bearing.Diameter
		c.Load = c.Load.Scaled(ld / 0.346)
		m := must(Solve(c))
		c.Method, c.Options = Field, Options{Bare: true, Tolerance: 1e-3}
		nearRel(t, fmt.Sprintf("least film at L/D %g", ld), m.MinFilm, must(Solve(c)).MinFilm, 0.005)
	}
}

// TestConstantLoadEndsAtSteadyPoint: with an unchanging load the orbit ends
// where the steady solution of the same method stands.
func TestConstantLoadEndsAtSteadyPoint(t *testing.T) {
	t.Parallel()
	load := cycleOf(t, 720, func(float64) (fx, fy, spin float64) { return 6000, 0, 0.5 })
	for _, m := range []Method{Short, Map, Field} {
		b := Bearing{0.048, 0.018, 45e-6}
		r := must(Solve(Case{Bearing: b, Viscosity: 0.012, Speed: rpm(4000), Load: load, Method: m}))
		s := must(SolveSteady(SteadyCase{Bearing: b, Viscosity: 0.012, Speed: rpm(4000), Load: 6000, Method: m}))
		nearRel(t, string(m)+" least film", r.MinFilm, s.MinFilm, 0.002)
		near(t, string(m)+" direction", deg(r.MinFilmDirection), deg(s.Direction), 0.5)
		nearRel(t, string(m)+" friction", r.Friction, s.Friction, 0.002)
		nearRel(t, string(m)+" side flow", r.SideFlow, s.SideFlow, 0.01)
		nearRel(t, string(m)+" pressure", r.MaxPressure, s.MaxPressure, 0.01)
	}
}

// TestSteadyExample: made for this check and recomputed: Ocvirk's closed form
// and finite differences in NumPy (widest gap).
func TestSteadyExample(t *testing.T) {
	c := SteadyCase{Bearing: Bearing{0.048, 0.018, 45e-6}, Viscosity: 0.012, Speed: rpm(4000), Load: 6000, Method: Short}
	r := must(SolveSteady(c))
	nearRel(t, "S", r.Sommerfeld, 0.131072, 1e-5)
	near(t, "ε short", r.Eccentricity, 0.771235, 1e-6)
	near(t, "film short", r.MinFilm*1e6, 5.1472, 1e-4)
	c.Method, c.Boundary = Field, WidestGap
	r = must(SolveSteady(c))
	nearRel(t, "ε field", r.Eccentricity, 0.80505, 0.001)
	nearRel(t, "film field", r.MinFilm*1e6, 4.386, 0.005)
	c.Method, c.Boundary = Map, Natural
	m := must(SolveSteady(c))
	nearRel(t, "film map", m.MinFilm, r.MinFilm, 0.005)
	// U. C. Jindal, Machine Design, example 17-2, p. 482: 6.293 mPa·s for S = 0.0446.
	j := SteadyCase{Bearing: Bearing{0.060, 0.060, 80e-6}, Viscosity: 6.293e-3, Speed: rpm(1260), Load: 6000, Method: Field, Boundary: WidestGap}
	r = must(SolveSteady(j))
	nearRel(t, "S of the textbook", r.Sommerfeld, 0.0446, 0.001)
	nearRel(t, "its least film", r.MinFilm*1e6, 8, 0.005)
}

// TestEnergyBalance: what the load and the turning journal put in is what
// viscosity turns into heat. For the short film the dissipation of the pressure
// flow is ∫ (h³/12μ)(∂p/∂z)² and equals W̄·V; Couette's is μU²/h.
func TestEnergyBalance(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawState(t, 0.98)
		f := must(NewShortFilm(0.4))
		vx, vy, _ := f.Velocity(&s)
		// P = 6k (V·n)⁺(1−Z²)/H³: ∫∫ H³ P_Z²/(12·k) with P_Z = −12k (V·n)⁺ Z/H³,
		// over the width's mean, is 4k ∫(V·n)⁺²/H³ dθ.
		const n = 40000
		heat := 0.0
		for i := range n {
			sn, cs := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / n)
			if v := vx*cs + vy*sn; v > 0 {
				h := 1 - s.X*cs - s.Y*sn
				heat += 4 * 0.16 * v * v / (h * h * h) * 2 * math.Pi / n
			}
		}
		if in := s.Wx*vx + s.Wy*vy; math.Abs(heat/in-1) > 2e-3 {
			t.Fatalf("%+v: heat %g, work %g", s, heat, in)
		}
	})
}

// TestWorkOverTheCycle: what the journal's path itself takes from the load over a
// closed orbit is nothing that friction does not hold: friction is at least
// Couette's at the centre.
func TestWorkOverTheCycle(t *testing.T) {
	c := demoCase(t, 4000, Map)
	r := must(Solve(c))
	rc, rad := c.Bearing.radial()
	petroff := 2 * math.Pi * c.Viscosity * c.Speed * c.Speed * math.Pow(rad, 3) * c.Bearing.Width / rc
	if !(r.Friction > petroff && r.Friction < 4*petroff) {
		t.Errorf("friction %g W, the unloaded bearing has %g W", r.Friction, petroff)
	}
}

// TestOverload: no film is an answer with the load, not a NaN.
func TestOverload(t *testing.T) {
	t.Parallel()
	for _, m := range []Method{Short, Map, Field} {
		c := demoCase(t, 4000, m)
		c.Load = c.Load.Scaled(1e5)
		_, err := Solve(c)
		var over *OverloadError
		if !errors.As(err, &over) || !(over.Load > 1e5) || over.Method != m {
			t.Errorf("%s: %v", m, err)
		}
		s := SteadyCase{Bearing: c.Bearing, Viscosity: 0.009, Speed: c.Speed, Load: 1e9, Method: m}
		_, err = SolveSteady(s)
		if !errors.As(err, &over) || !(over.Held > 1e4 && over.Held < 1e9) {
			t.Errorf("%s steady: %v", m, err)
		}
		// The load that it says it holds, it holds.
		s.Load = over.Held * (1 - 1e-6)
		if r, err := SolveSteady(s); err != nil || !(r.MinFilm > 0) {
			t.Errorf("%s at the load held: %+v, %v", m, r, err)
		}
	}
}

func TestBadCases(t *testing.T) {
	nan := math.NaN()
	good := demoCase(t, 4000, Map)
	for name, spoil := range map[string]func(*Case){
		"no clearance":       func(c *Case) { c.Bearing.Clearance = 0 },
		"negative clearance": func(c *Case) { c.Bearing.Clearance = -1e-6 },
		"clearance NaN":      func(c *Case) { c.Bearing.Clearance = nan },
		"clearance in mm":    func(c *Case) { c.Bearing.Clearance = 0.05 },
		"too wide":           func(c *Case) { c.Bearing.Width = 0.07 },
		"too narrow":         func(c *Case) { c.Bearing.Width = 0.001 },
		"width NaN":          func(c *Case) { c.Bearing.Width = nan },
		"diameter infinite":  func(c *Case) { c.Bearing.Diameter = math.Inf(1) },
		"viscosity zero":     func(c *Case) { c.Viscosity = 0 },
		"viscosity NaN":      func(c *Case) { c.Viscosity = nan },
		"speed zero":         func(c *Case) { c.Speed = 0 },
		"speed negative":     func(c *Case) { c.Speed = -1 },
		"no load":            func(c *Case) { c.Load = nil },
		"no method":          func(c *Case) { c.Method = "" },
		"shape on the map":   func(c *Case) { c.Shape.JournalTaper = 1e-6 },
		"shape NaN":          func(c *Case) { c.Method = Field; c.Shape.JournalTaper = nan },
		"shape too large":    func(c *Case) { c.Method = Field; c.Shape.JournalTaper = 1e-3 },
	} {
		c := good
		spoil(&c)
		if r, err := Solve(c); err == nil {
			t.Errorf("%s: %+v", name, r)
		}
	}
}

func TestLoadTables(t *testing.T) {
	ok := []float64{0, 1, 2, 3, 4}
	for name, c := range map[string][4][]float64{
		"falls":          {{0, 1, 1, 3, 4}, {1, 1, 1, 1, 1}, ok, nil},
		"starts late":    {{1, 2, 3, 4, 5}, {1, 1, 1, 1, 1}, {0, 0, 0, 0, 0}, nil},
		"does not close": {ok, {1, 2, 3, 4, 5}, {0, 0, 0, 0, 0}, nil},
		"NaN":            {ok, {1, math.NaN(), 1, 1, 1}, {0, 0, 0, 0, 0}, nil},
		"too few":        {{0, 1}, {1, 1}, {1, 1}, nil},
		"uneven columns": {ok, {1, 1, 1, 1, 1}, {0, 0}, nil},
		"spin open":      {ok, {1, 1, 1, 1, 1}, {0, 0, 0, 0, 0}, {0, 1, 2, 3, 4}},
	} {
		var te *TableError
		if _, err := NewCycle(c[0], c[1], c[2], c[3]); !errors.As(err, &te) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestCycleInterpolation: the table is met at its rows, and between them to
// second order or better.
func TestCycleInterpolation(t *testing.T) {
	c := cycleOf(t, 144, firingForce) // 5°
	for i := range 1440 {
		a := 4 * math.Pi * float64(i) / 1440
		fx, fy, s := c.At(a)
		wx, wy, ws := firingForce(a)
		tol := 600.0 // 2 % of the peak between rows 5° apart
		if i%10 == 0 {
			tol = 1e-6 * 40000
		}
		near(t, "fx", fx, wx, tol)
		near(t, "fy", fy, wy, tol/10+1)
		near(t, "spin", s, ws, 1e-3)
	}
	a, _, _ := c.At(-1)
	b, _, _ := c.At(4*math.Pi - 1)
	d, _, _ := c.At(40*math.Pi - 1)
	near(t, "periodic", a, b, 1e-6)
	near(t, "periodic, far", d, b, 1e-6)
}

// FuzzCycle: whatever the table, a cycle answers with numbers or is refused.
func FuzzCycle(f *testing.F) {
	f.Add(1.0, 2.0, 3.0, 4.0, 100.0, -50.0, 1e4)
	f.Add(0.1, 0.2, 0.3, 12.56, 0.0, 0.0, 0.0)
	f.Add(1.0, 1.0, 3.0, 4.0, 1e300, -1e300, 5.0)
	f.Fuzz(func(t *testing.T, a, b, c, d, p, q, r float64) {
		cy, err := NewCycle([]float64{0, a, b, c, d}, []float64{p, q, r, q, p}, []float64{q, r, p, r, q}, nil)
		if err != nil {
			return
		}
		for i := range 50 {
			fx, fy, s := cy.At(d * float64(i) / 49)
			if math.IsNaN(fx+fy) || math.Abs(s-0.5) > 1e-9 {
				t.Fatalf("at %d/49: %g, %g, %g", i, fx, fy, s)
			}
		}
	})
}
