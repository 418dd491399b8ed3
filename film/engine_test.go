// SPDX-License-Identifier: Apache-2.0

package film

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestSliderCrank: exact motion from NumPy and a symbolic derivative; 40 mm,
// 140 mm, 6000 rev/min.
func TestSliderCrank(t *testing.T) {
	k, w := Crank{Radius: 0.040, Rod: 0.140}, rpm(6000)
	top, _ := k.Ends()
	for _, r := range table(t, "slider_crank.csv") {
		m := k.At(num(r["crank_deg"]) * math.Pi / 180)
		at := "at " + r["crank_deg"] + "°: "
		near(t, at+"x", 1e3*(top-m.X), num(r["x_from_TDC_mm"]), 1e-6)
		near(t, at+"v", -m.X1*w, num(r["v_mps_exact"]), 1e-6)
		near(t, at+"a", -m.X2*w*w, num(r["a_mps2_exact"]), 1e-4)
		near(t, at+"rod angle", deg(m.Psi), num(r["rod_angle_deg"]), 1e-6)
		near(t, at+"rod speed", m.Psi1*w, num(r["rod_omega_radps"]), 1e-5)
		near(t, at+"rod acceleration", m.Psi2*w*w, num(r["rod_alpha_radps2"]), 1e-3)
	}
	// A teaching problem's inputs, recomputed: 80 mm, 245 mm, 1000 rev/min.
	k, w = Crank{Radius: 0.080, Rod: 0.245}, rpm(1000)
	near(t, "a(TDC)", -k.At(0).X2*w*w, 1163.76288, 1e-4)
	near(t, "a(BDC)", -k.At(math.Pi).X2*w*w, -590.83346, 1e-4)
	peak := 0.0
	for d := 0.0; d < 180; d += 0.001 {
		peak = math.Max(peak, -k.At(d*math.Pi/180).X1*w)
	}
	near(t, "peak speed", peak, 8.816969, 1e-5)
}

// TestMotionDerivatives, with offset: against central differences.
func TestMotionDerivatives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := Crank{Radius: 0.04, Rod: 0.04 * rapid.Float64Range(2, 5).Draw(t, "ratio"), Offset: rapid.Float64Range(-0.02, 0.02).Draw(t, "offset")}
		a := rapid.Float64Range(0, 2*math.Pi).Draw(t, "angle")
		const h = 1e-4
		m, p, q := k.At(a), k.At(a+h), k.At(a-h)
		for name, v := range map[string][2]float64{
			"x'": {m.X1, (p.X - q.X) / (2 * h)}, "x''": {m.X2, (p.X1 - q.X1) / (2 * h)},
			"ψ'": {m.Psi1, (p.Psi - q.Psi) / (2 * h)}, "ψ''": {m.Psi2, (p.Psi1 - q.Psi1) / (2 * h)},
		} {
			if math.Abs(v[0]-v[1]) > 1e-6 {
				t.Fatalf("%s = %g, differences give %g", name, v[0], v[1])
			}
		}
		top, bottom := k.Ends()
		if m.X > top+1e-12 || m.X < bottom-1e-12 {
			t.Fatalf("x = %g outside %g to %g", m.X, bottom, top)
		}
	})
}

// TestInertiaLoad: by hand, no gas force: 0.5 kg and 0.4 kg at top dead centre
// of the gas exchange, 10151.593 + 6316.547 N, pulling the cap's half.
func TestInertiaLoad(t *testing.T) {
	flat := Gas{Angle: []float64{0, 1, 2, 3, 4 * math.Pi}, Pressure: []float64{atmosphere, atmosphere, atmosphere, atmosphere, atmosphere}}
	e := Engine{Crank: Crank{Radius: 0.040, Rod: 0.140}, Bore: 0.08, ReciprocatingMass: 0.5, RotatingMass: 0.4, Strokes: 4, Gas: flat}
	in := must(e.Instants(rpm(6000)))
	tdc := in[gasSteps]
	near(t, "Fx at 360°", tdc.Fx, -16468.140, 0.01)
	near(t, "Fy at 360°", tdc.Fy, 0, 1e-6)
	near(t, "in the pin's frame", tdc.Px, -16468.140, 0.01)
	near(t, "spin", tdc.Spin, 0.5*(1+0.04/0.14), 1e-12)
	if OnUpperHalf(math.Atan2(tdc.Fy, tdc.Fx)) {
		t.Error("inertia at top dead centre loads the cap")
	}
	for _, v := range in {
		near(t, "same size in both frames", math.Hypot(v.Px, v.Py), math.Hypot(v.Fx, v.Fy), 1e-6)
	}
}

// TestGasCycle: the peak and the mean effective pressure asked for come out;
// compression and expansion follow p V^γ; gas loads the rod's half.
func TestGasCycle(t *testing.T) {
	e := demoEngine()
	p := must(e.Gas.pressures(e.Crank, e.Bore, 4))
	peak, at := 0.0, 0
	for i, v := range p {
		if v > peak {
			peak, at = v, i
		}
	}
	nearRel(t, "peak", peak, 85e5, 1e-6)
	if a := float64(at) / 2; a < 2 || a > 40 {
		t.Errorf("the peak stands at %g° after top dead centre", a)
	}
	// Motored compression by hand: p V^1.33 from 95 kPa at 180° to −40°, before the spark.
	c := newCharge(e.Gas.usual(), e.Crank, e.Bore, 4)
	i := 2*720 - 80
	nearRel(t, "compression", p[i], 95e3*math.Pow(c.volume[3*gasSteps/2]/c.volume[i], 1.33), 1e-9)
	near(t, "volume at TDC", c.displacement/c.volume[0], 10, 1e-9)

	e.Gas.Peak, e.Gas.MeanEffective = 0, 11e5
	p = must(e.Gas.pressures(e.Crank, e.Bore, 4))
	nearRel(t, "mean effective pressure", newCharge(e.Gas.usual(), e.Crank, e.Bore, 4).work(p)/c.displacement, 11e5, 1e-6)

	e.Strokes = 2
	e.Gas.MeanEffective = 6e5
	p = must(e.Gas.pressures(e.Crank, e.Bore, 2))
	if len(p) != gasSteps+1 || p[0] != p[gasSteps] {
		t.Error("a two-stroke cycle is one turn and closes")
	}
	nearRel(t, "two-stroke mean pressure", newCharge(e.Gas.usual(), e.Crank, e.Bore, 2).work(p)/c.displacement, 6e5, 1e-6)
}

func TestBadEngines(t *testing.T) {
	nan := math.NaN()
	for name, spoil := range map[string]func(*Engine){
		"short rod":      func(e *Engine) { e.Rod = 0.04 },
		"rod NaN":        func(e *Engine) { e.Rod = nan },
		"offset NaN":     func(e *Engine) { e.Offset = nan },
		"strokes":        func(e *Engine) { e.Strokes = 3 },
		"bore":           func(e *Engine) { e.Bore = -1 },
		"mass NaN":       func(e *Engine) { e.ReciprocatingMass = nan },
		"no pressure":    func(e *Engine) { e.Gas.Peak = 0 },
		"both pressures": func(e *Engine) { e.Gas.MeanEffective = 1e6 },
		"peak too low":   func(e *Engine) { e.Gas.Peak = 10e5 },
		"compression":    func(e *Engine) { e.Gas.Compression = 1 },
		"Wiebe NaN":      func(e *Engine) { e.Gas.WiebeM = nan },
		"table short":    func(e *Engine) { e.Gas = Gas{Angle: []float64{0, 1, 2, 3, 6}, Pressure: []float64{1, 1, 1, 1, 1}} },
		"table negative": func(e *Engine) {
			e.Gas = Gas{Angle: []float64{0, 1, 2, 3, 4 * math.Pi}, Pressure: []float64{-1, -1, -1, -1, -1}}
		},
	} {
		e := demoEngine()
		spoil(&e)
		if _, err := e.Cycle(rpm(4000)); err == nil {
			t.Errorf("%s was accepted", name)
		}
	}
	if _, err := demoEngine().Cycle(nan); err == nil {
		t.Error("NaN speed was accepted")
	}
}
