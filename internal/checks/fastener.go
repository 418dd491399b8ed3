// SPDX-License-Identifier: Apache-2.0

package checks

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"witnessmark/fastener"
)

// fastenerChecks holds threads, strength, torque, angle, tools, traces and
// inertia against standards' tables and hand calculations.
func fastenerChecks() []Check {
	list := threadChecks()
	list = append(list, strengthChecks()...)
	list = append(list, tighteningChecks()...)
	list = append(list, toolChecks()...)
	list = append(list, inertiaChecks()...)
	return append(list, traceChecks()...)
}

func threadChecks() []Check {
	var list []Check
	for _, c := range []struct {
		thread string
		d2, as float64
	}{
		{"M8x1", 7.3505, 39.167}, {"M9x1", 8.3505, 51.045}, {"M10x1.25", 9.1881, 61.199}, {"M11x1.25", 10.1881, 75.850}, {"M12x1.25", 11.1881, 92.072},
	} {
		list = append(list,
			Check{Name: "fastener: pitch diameter of " + c.thread + ", mm", Expected: c.d2, Tolerance: 0.00005, Kind: Recomputed,
				Source: "ISO 724, d − 0.6495·P, in NumPy", Got: ofThread(c.thread, fastener.Thread.PitchDiameter)},
			Check{Name: "fastener: stress area of " + c.thread + ", mm²", Expected: c.as, Tolerance: 0.0005, Kind: Recomputed,
				Source: "ISO 898-1, 9.1.6.1, in NumPy", Got: ofThread(c.thread, fastener.Thread.StressArea)})
	}
	for _, c := range []struct {
		thread string
		as     float64
	}{{"M8", 36.6}, {"M10", 58.0}, {"M12", 84.3}} {
		list = append(list, Check{Name: "fastener: stress area of " + c.thread + ", mm²", Expected: c.as, Tolerance: 0.05, Kind: Published,
			Source: "ISO 898-1, table of coarse threads, in a supplier's copy", Got: ofThread(c.thread, fastener.Thread.StressArea)})
	}
	return append(list, Check{Name: "fastener: stress area of 3/8-24 UNF, in²", Expected: 0.0878, Tolerance: 0.00005, Kind: FromMemory,
		Source: "ASME B1.1, table of UNF", Got: ofThread("3/8-24 UNF", func(t fastener.Thread) float64 { return t.StressArea() / 645.16 })})
}

func ofThread(name string, f func(fastener.Thread) float64) func() (float64, error) {
	return func() (float64, error) {
		t, err := fastener.ParseThread(name)
		return f(t), err
	}
}

func strengthChecks() []Check {
	var list []Check
	for _, c := range []struct {
		thread, class   string
		proof, ultimate float64
		kind            Kind
		source          string
	}{
		{"M8", "10.9", 30400, 38100, Published, "ISO 898-1, proof and ultimate loads, in two suppliers' copies"},
		{"M10", "10.9", 48100, 60300, Published, "ISO 898-1, proof and ultimate loads, in two suppliers' copies"},
		{"M12", "10.9", 70000, 87700, Published, "ISO 898-1, proof and ultimate loads, in two suppliers' copies"},
		{"M10", "12.9", 56300, 70800, Published, "ISO 898-1, proof and ultimate loads, in two suppliers' copies"},
		{"M8x1", "10.9", 32500, 40734, FromMemory, "ISO 898-1, fine threads; the ultimate load is area times 1040 MPa"},
		{"M10x1.25", "10.9", 50800, 63647, FromMemory, "ISO 898-1, fine threads; the ultimate load is area times 1040 MPa"},
		{"M12x1.25", "10.9", 76400, 95755, FromMemory, "ISO 898-1, fine threads; the ultimate load is area times 1040 MPa"},
	} {
		name := c.thread + " " + c.class
		list = append(list,
			Check{Name: "fastener: proof load of " + name + ", N", Expected: c.proof, Tolerance: 0.005 * c.proof, Kind: c.kind, Source: c.source,
				Got: strength(c.thread, c.class, func(m fastener.Material) float64 { return m.Proof })},
			Check{Name: "fastener: ultimate load of " + name + ", N", Expected: c.ultimate, Tolerance: 0.005 * c.ultimate, Kind: c.kind, Source: c.source,
				Got: strength(c.thread, c.class, func(m fastener.Material) float64 { return m.Tensile })})
	}
	return list
}

func strength(thread, class string, stress func(fastener.Material) float64) func() (float64, error) {
	return func() (float64, error) {
		t, err := fastener.ParseThread(thread)
		if err != nil {
			return 0, err
		}
		m, err := fastener.PropertyClass(class, t.Diameter)
		return stress(m) * t.StressArea(), err
	}
}

func tighteningChecks() []Check {
	list := []Check{
		{Name: "fastener: torque of M10 at 44.5 kN, µ 0.12, N·m", Expected: 72.627, Tolerance: 0.018, Kind: Recomputed,
			Source: "VDI 2230 long form by hand, 1/(2·cos 30°) unrounded; 0.577 takes 0.017 off",
			Got: func() (float64, error) {
				t, err := fastener.ParseThread("M10")
				if err != nil {
					return 0, err
				}
				return fastener.Torque(t, 44500, 0.12, 0.12, 12.8)
			}},
		{Name: "fastener: torque coefficient K", Expected: 0.163207, Tolerance: 5e-7, Kind: Recomputed,
			Source: "ISO 16047, K = T/(F·d), by hand",
			Got:    func() (float64, error) { return fastener.TorqueCoefficient(72.6272, 44500, 10), nil }},
		{Name: "fastener: total friction", Expected: 0.12003, Tolerance: 5e-6, Kind: Recomputed,
			Source: "ISO 16047, µ_tot, by hand",
			Got: ofThread("M10", func(t fastener.Thread) float64 {
				return fastener.TotalFriction(t, 72.6272, 44500, 12.8)
			})},
		{Name: "fastener: preload after 90° on M10, elastic, N", Expected: 65640.6, Tolerance: 0.07, Kind: Recomputed,
			Source: "F = θ/360·P/(δS+δP) by hand; 60 mm at 58.0 mm², E 205 GPa, joint 1.5e6 N/mm",
			Got: func() (float64, error) {
				t, err := fastener.ParseThread("M10")
				if err != nil {
					return 0, err
				}
				return fastener.ForceFromAngle(t, 90, 60/(205000*58.0), 1/1.5e6)
			}},
		{Name: "fastener: snug load after two torques, before the angle, N", Expected: 20000 / (1/(2*math.Pi) + 0.577*8.3504809472*0.12 + 11.1*0.12/2), Tolerance: 0.01, Kind: Practice,
			Source: "two torques, then an angle: the last torque before it makes the snug load; by hand for M9x1",
			Got:    twoTorquesThenAngle},
	}
	for _, c := range []struct {
		thread string
		mu, kN float64
		class  string
		ring   float64
		nm     float64
	}{
		{"M8x1", 0.10, 20.7, "8.8", 10.3, 22.8}, {"M8x1", 0.12, 29.7, "10.9", 10.3, 38.3}, {"M8x1", 0.14, 33.9, "12.9", 10.3, 50.1},
		{"M10x1.25", 0.10, 47.5, "10.9", 12.8, 65}, {"M10x1.25", 0.12, 46.4, "10.9", 12.8, 75}, {"M10x1.25", 0.14, 52.9, "12.9", 12.8, 98},
		{"M12x1.25", 0.10, 49.1, "8.8", 15.05, 79}, {"M12x1.25", 0.12, 82.5, "12.9", 15.05, 155}, {"M12x1.25", 0.14, 68.7, "10.9", 15.05, 149},
	} {
		force := func() (fastener.Thread, float64, error) {
			t, err := fastener.ParseThread(c.thread)
			if err != nil {
				return t, 0, err
			}
			m, err := fastener.PropertyClass(c.class, t.Diameter)
			return t, 0.9 * fastener.YieldLoad(t, t.StressDiameter(), c.mu, m.Yield), err
		}
		name := fmt.Sprintf("%s %s at µ %.2f", c.thread, c.class, c.mu)
		list = append(list,
			Check{Name: "fastener: assembly preload of " + name + ", kN", Expected: c.kN, Tolerance: 0.005 * c.kN, Kind: Published,
				Source: "catalogue page 685 after VDI 2230:2001, fine threads, 90 % of Rp0.2",
				Got:    func() (float64, error) { _, f, err := force(); return f / 1000, err }},
			Check{Name: "fastener: tightening torque of " + name + ", N·m", Expected: c.nm, Tolerance: 0.02 * c.nm, Kind: Published,
				Source: "the same page; bearing ring assumed",
				Got: func() (float64, error) {
					t, f, err := force()
					if err != nil {
						return 0, err
					}
					return fastener.Torque(t, f, c.mu, c.mu, c.ring)
				}})
	}
	return list
}

func twoTorquesThenAngle() (float64, error) {
	t, err := fastener.ParseThread("M9x1")
	if err != nil {
		return 0, err
	}
	m, err := fastener.PropertyClass("10.9", t.Diameter)
	if err != nil {
		return 0, err
	}
	mu := fastener.Exactly(0.12)
	r, err := fastener.Preload(fastener.Case{
		Bolt:     fastener.Bolt{Thread: t, Segments: []fastener.Segment{{Length: 30, Diameter: 8}}},
		Material: m, BearingOuter: 13, BearingHole: 9.2, FrictionThread: mu, FrictionHead: mu,
		StiffnessRatio: fastener.Exactly(4), Draws: 10,
		Stages: []fastener.Stage{{TorqueNm: 10}, {TorqueNm: 20}, {AngleDeg: 90}},
	})
	return r.Snug.Min, err
}

func toolChecks() []Check {
	tolerance := func(class string, torque float64) func() (float64, error) {
		return func() (float64, error) {
			c, err := fastener.ParseToolClass(class)
			if err != nil {
				return 0, err
			}
			x, err := c.Tolerance(torque)
			return 100 * x, err
		}
	}
	const read, memory = "ISO 6789, setting tool with scale, in a tool's manual that reviews it", "ISO 6789-1:2017, 5.1.5"
	return []Check{
		{Name: "fastener: tolerance of a type II class A tool at 20 N·m, %", Expected: 4, Tolerance: 1e-9, Kind: Published, Source: read, Got: tolerance("II A", 20)},
		{Name: "fastener: tolerance of a type II class A tool at 10 N·m, %", Expected: 6, Tolerance: 1e-9, Kind: Published, Source: read, Got: tolerance("II A", 10)},
		{Name: "fastener: tolerance of a type I class A tool at 20 N·m, %", Expected: 6, Tolerance: 1e-9, Kind: FromMemory, Source: memory, Got: tolerance("I A", 20)},
		{Name: "fastener: tolerance of a type I class C tool at 20 N·m, %", Expected: 4, Tolerance: 1e-9, Kind: FromMemory, Source: memory, Got: tolerance("I C", 20)},
	}
}

func inertiaChecks() []Check {
	list := []Check{{Name: "fastener: pull on the cap at 6000 rev/min, N", Expected: 16468.140, Tolerance: 0.001, Kind: Recomputed,
		Source: "slider-crank by hand: crank 40 mm, rod 140 mm, 0.5 kg reciprocating, 0.4 kg rotating",
		Got:    func() (float64, error) { return fastener.PartingForce(0.5, 0.4, 0, 40, 140, 6000) }}}
	for _, c := range []struct{ angle, r, l, rpm, want, tol float64 }{
		{0, 40, 140, 6000, 20303.186, 0.001}, {60, 40, 140, 6000, 5643.2966, 0.0001}, {90, 40, 140, 6000, -4708.0760, 0.0001}, {180, 40, 140, 6000, -11279.548, 0.001},
		{0, 80, 245, 1000, 1163.76288, 0.00001}, {180, 80, 245, 1000, -590.83346, 0.00001},
	} {
		list = append(list, Check{Name: fmt.Sprintf("fastener: piston acceleration at %g°, crank %g, rod %g mm, %g rev/min, m/s²", c.angle, c.r, c.l, c.rpm),
			Expected: c.want, Tolerance: c.tol, Kind: Recomputed, Source: "exact slider-crank in NumPy; SymPy's second derivative agrees",
			Got: func() (float64, error) { return fastener.PistonAcceleration(c.angle, c.r, c.l, c.rpm), nil }})
	}
	return list
}

// traceChecks reads an invented trace whose points are known by construction:
// snug at 40°, 0.5 N·m/°, yield at 110°, 0.2 N·m of noise (seeded).
func traceChecks() []Check {
	const source = "by construction: three straight lines and seeded noise"
	read := func(pick func(fastener.TraceResult) *float64) func() (float64, error) {
		return func() (float64, error) {
			f, err := fastener.ReadTraces(strings.NewReader(syntheticTrace()), fastener.Columns{})
			if err != nil {
				return 0, err
			}
			x := pick(f.Traces[0].Read())
			if x == nil {
				return 0, fmt.Errorf("nothing was found")
			}
			return *x, nil
		}
	}
	return []Check{
		{Name: "fastener: snug torque of a synthetic trace, N·m", Expected: 1.8, Tolerance: 0.6, Kind: Recomputed, Source: source,
			Got: read(func(r fastener.TraceResult) *float64 { return r.SnugTorque })},
		{Name: "fastener: steady rate of a synthetic trace, N·m/°", Expected: 0.5, Tolerance: 0.015, Kind: Recomputed, Source: source,
			Got: read(func(r fastener.TraceResult) *float64 { return r.Rate })},
		{Name: "fastener: yield angle of a synthetic trace, °", Expected: 110, Tolerance: 1.5, Kind: Recomputed, Source: source,
			Got: read(func(r fastener.TraceResult) *float64 { return r.YieldAngle })},
	}
}

func syntheticTrace() string {
	rng := rand.New(rand.NewPCG(1, 2))
	var b strings.Builder
	b.WriteString("fastener,angle_deg,torque_Nm\n")
	for a := 0.0; a <= 150; a += 0.5 {
		t := 1 + 0.02*min(a, 40) + 0.5*(min(max(a, 40), 110)-40) + 0.04*max(0, a-110)
		fmt.Fprintf(&b, "1,%.1f,%.4f\n", a, t+0.2*rng.NormFloat64())
	}
	return b.String()
}
