// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// inventedCase is a bolt that no maker makes.
func inventedCase(t testing.TB) Case {
	t.Helper()
	th := thread(t, "M9x1")
	return Case{
		Bolt:           Bolt{Thread: th, Segments: []Segment{{Length: 25, Diameter: 8}, {Length: 10}}},
		Material:       class(t, "10.9", th.Diameter),
		BearingOuter:   13,
		BearingHole:    9.2,
		FrictionThread: Spread{0.10, 0.16},
		FrictionHead:   Spread{0.10, 0.16},
		StiffnessRatio: Exactly(4),
		Embedding:      DefaultEmbedding,
		Stages:         []Stage{{TorqueNm: 20}, {AngleDeg: 130}},
	}
}

// exact takes every doubt out of a case.
func exact(c Case) Case {
	c.FrictionThread, c.FrictionHead = Exactly(0.12), Exactly(0.13)
	c.YieldFactor = Exactly(1)
	c.Draws = 10
	return c
}

func preload(t testing.TB, c Case) Result {
	t.Helper()
	r, err := Preload(c)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestCompliance(t *testing.T) {
	// Derived by hand, term by term, for the invented bolt: E 205 GPa, d3
	// 7.773131 mm.
	b, err := inventedCase(t).Bolt.Compliance()
	if err != nil {
		t.Fatal(err)
	}
	const e, pi4 = 205000.0, math.Pi / 4
	d3 := 9 - 1.226869322
	near(t, "segments", b.Segments, 25/(e*pi4*64)+10/(e*pi4*d3*d3), 1e-14)
	near(t, "head", b.Head, 4.5/(e*pi4*81), 1e-16)
	near(t, "engaged", b.Engaged, 4.5/(e*pi4*d3*d3), 1e-16)
	near(t, "mate", b.Mate, 2.97/(e*pi4*81), 1e-16)
	g := e / 2.6
	near(t, "twist", b.Twist, 25/(g*math.Pi/32*4096)+14.5/(g*math.Pi/32*math.Pow(d3, 4)), 1e-15)
	near(t, "total less stretch", b.Total()-b.Stretch(), b.Mate, 1e-18)
}

// TestPreloadWithoutDoubt follows one bolt by hand through every kind of stage.
func TestPreloadWithoutDoubt(t *testing.T) {
	c := exact(inventedCase(t))
	c.Stages = []Stage{{TorqueNm: 10}, {TorqueNm: 20, AngleDeg: 45}}
	th := c.Bolt.Thread
	b, _ := c.Bolt.Compliance()
	kg := 1/(2*math.Pi) + 0.577*th.PitchDiameter()*0.12
	snug := 20000 / (kg + 11.1*0.13/2)
	turn := 2*math.Pi*b.Total()*1.25 + kg*b.Twist // δ_P is a quarter of δ_S, P is 1
	final := snug + (45*math.Pi/180-2*math.Pi*0.007)/turn
	r := preload(t, c)
	near(t, "snug", r.Snug.Min, snug, 1e-6)
	near(t, "final", r.Final.Max, final, 1e-6)
	near(t, "likely", r.Likely, final, 1e-6)
	near(t, "scatter", r.ScatterRatio, 1, 1e-12)
	near(t, "stretch", r.Stretch.Min, final*b.Stretch(), 1e-12)
	near(t, "utilisation", r.Utilisation.Max, 100*final/r.Yield, 1e-9)
	if r.PastYield || r.Permanent.Max != 0 {
		t.Errorf("past yield at %g of %g N", final, r.Yield)
	}

	// A turn further, the load stays at yield and the rest of the turn stays in
	// the bolt.
	c.Stages = []Stage{{TorqueNm: 20}, {AngleDeg: 360}}
	r = preload(t, c)
	near(t, "plateau", r.Final.Max, r.Yield, 1e-6)
	near(t, "utilisation", r.Utilisation.Min, 100, 1e-9)
	turned := 2*math.Pi*(1-0.007) - (r.Yield-snug)*turn
	near(t, "permanent", r.Permanent.Min, turned/(2*math.Pi), 1e-12)
	near(t, "stretch", r.Stretch.Min, r.Yield*b.Stretch()+turned/(2*math.Pi), 1e-12)
	if !r.PastYield || r.PastYieldShare != 1 {
		t.Errorf("not past yield after a whole turn: %+v", r)
	}

	// Stretch: alone, snug and final are the same; after a torque it decides.
	c.Stages = []Stage{{StretchMM: 0.1}}
	r = preload(t, c)
	near(t, "by stretch", r.Final.Min, 0.1/b.Stretch(), 1e-6)
	near(t, "snug by stretch", r.Snug.Min, r.Final.Min, 1e-9)
	c.Stages = []Stage{{TorqueNm: 20}, {StretchMM: 0.1}}
	r = preload(t, c)
	near(t, "snug before stretch", r.Snug.Min, snug, 1e-6)
	near(t, "by stretch", r.Final.Min, 0.1/b.Stretch(), 1e-6)

	// A torque beyond yield is never reached.
	c.Stages = []Stage{{TorqueNm: 300}}
	r = preload(t, c)
	near(t, "torque beyond yield", r.Final.Max, r.Yield, 1e-6)
	if !r.PastYield || !strings.Contains(strings.Join(r.Notes, " "), "go on turning") {
		t.Errorf("300 N·m on M9: %v", r.Notes)
	}
	// A lower torque after a higher one changes nothing.
	c.Stages = []Stage{{TorqueNm: 20}, {TorqueNm: 10}}
	near(t, "lower torque", preload(t, c).Final.Max, snug, 1e-6)
}

// TestPreloadQuantiles: with one friction for thread and head the load is a
// falling function of one uniform number, so that its quantiles are exact.
func TestPreloadQuantiles(t *testing.T) {
	c := inventedCase(t)
	c.SameFriction = true
	c.Stages = []Stage{{TorqueNm: 20}}
	r := preload(t, c)
	at := func(p float64) float64 {
		mu := 0.10 + 0.06*p
		f, err := ForceFromTorque(c.Bolt.Thread, 20, mu, mu, 11.1)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	// Standard error of the quantiles with 100,000 draws is below 0.05 %.
	near(t, "min", r.Final.Min, at(0.975), 0.002*at(0.975))
	near(t, "likely", r.Likely, at(0.5), 0.003*at(0.5))
	near(t, "max", r.Final.Max, at(0.025), 0.002*at(0.025))
	if r.Snug != r.Final {
		t.Errorf("torque alone: snug %v, final %v", r.Snug, r.Final)
	}
	if again := preload(t, c); !reflect.DeepEqual(r, again) {
		t.Error("the same case gave another result")
	}
}

// TestAngleNarrows is why the final angle is there: once past yield friction
// only enters through the torsion.
func TestAngleNarrows(t *testing.T) {
	c := inventedCase(t)
	angle := preload(t, c)
	alone, torque, err := TorqueAlone(c)
	if err != nil {
		t.Fatal(err)
	}
	if !(angle.ScatterRatio < 1.25 && alone.ScatterRatio > 1.35) {
		t.Errorf("scatter ratio %.3f by angle, %.3f by %.1f N·m alone", angle.ScatterRatio, alone.ScatterRatio, torque)
	}
	if alone.PastYield || alone.Utilisation.Max > 90.001 {
		t.Errorf("torque alone takes a bolt to %.1f %%; 90 is meant to be the most", alone.Utilisation.Max)
	}
}

func TestPreloadProperties(t *testing.T) {
	base := inventedCase(t)
	rapid.Check(t, func(t *rapid.T) {
		c := base
		c.Draws = 400
		mu := rapid.Float64Range(0.05, 0.2).Draw(t, "mu")
		c.FrictionThread = Spread{mu, mu + rapid.Float64Range(0, 0.1).Draw(t, "wider")}
		c.StiffnessRatio = Exactly(rapid.Float64Range(1, 8).Draw(t, "ratio"))
		torque, angle := rapid.Float64Range(5, 40).Draw(t, "torque"), rapid.Float64Range(0.1, 270).Draw(t, "angle")
		more := rapid.Float64Range(1, 1.5).Draw(t, "more")
		by := func(torque, angle float64) Result {
			c.Stages = []Stage{{TorqueNm: torque}, {AngleDeg: angle}}
			r, err := Preload(c)
			if err != nil {
				t.Fatal(err)
			}
			return r
		}
		r := by(torque, angle)
		top := YieldLoad(c.Bolt.Thread, c.Bolt.SmallestDiameter(), mu, 1.2*c.Material.Yield)
		ordered := r.Snug.Min <= r.Snug.Max && r.Snug.Min <= r.Final.Min && r.Final.Min <= r.Likely && r.Likely <= r.Final.Max &&
			r.Final.Max <= top*(1+1e-12) && r.ScatterRatio >= 1 && r.Service.Max <= r.Utilisation.Max &&
			r.Permanent.Min >= 0 && r.Stretch.Min >= r.Permanent.Min
		if !ordered {
			t.Fatalf("out of order: %+v, yield at most %g", r, top)
		}
		const eps = 1e-9
		if s := by(torque*more, angle); s.Final.Min < r.Final.Min-eps || s.Final.Max < r.Final.Max-eps {
			t.Fatalf("more torque, less load: %v, %v", r.Final, s.Final)
		}
		if s := by(torque, angle*more); s.Final.Min < r.Final.Min-eps || s.Stretch.Max < r.Stretch.Max-eps {
			t.Fatalf("more angle, less load: %v, %v", r.Final, s.Final)
		}
	})
}

func TestToolScatterWidens(t *testing.T) {
	c := inventedCase(t)
	c.Stages = []Stage{{TorqueNm: 25}}
	without := preload(t, c)
	c.Stages[0].TorqueTolerance = 0.04
	with := preload(t, c)
	if !(with.ScatterRatio > without.ScatterRatio) {
		t.Errorf("scatter ratio %.4f with a tool, %.4f without", with.ScatterRatio, without.ScatterRatio)
	}
	// Exact frictions leave the tool alone: 95 % of ±4 %.
	c = exact(c)
	c.Draws = 100_000
	r := preload(t, c)
	near(t, "tool alone", r.ScatterRatio, 1.038/0.962, 0.001)
}

func TestJointStiffnessOrRatio(t *testing.T) {
	c := exact(inventedCase(t))
	c.Stages[1].AngleDeg = 45
	byRatio := preload(t, c)
	b, _ := c.Bolt.Compliance()
	c.JointStiffness, c.StiffnessRatio = Exactly(4/b.Total()), Spread{}
	near(t, "final", preload(t, c).Likely, byRatio.Likely, 1e-6)
}

func TestCaseRefuses(t *testing.T) {
	for want, change := range map[string]func(*Case){
		"no segments":               func(c *Case) { c.Bolt.Segments = nil },
		"segment 1: length":         func(c *Case) { c.Bolt.Segments[0].Length = 0 },
		"segment 1: diameter":       func(c *Case) { c.Bolt.Segments[0].Diameter = 1 },
		"bolt: modulus":             func(c *Case) { c.Bolt.Modulus = 205 },
		"yield strength":            func(c *Case) { c.Material.Yield = 0 },
		"tensile strength":          func(c *Case) { c.Material.Tensile = 500 },
		"hole diameter":             func(c *Case) { c.BearingHole = 2 },
		"outer diameter":            func(c *Case) { c.BearingOuter = 9 },
		"friction of the thread: 0": func(c *Case) { c.FrictionThread = Spread{0, 0.1} },
		"friction of the head: NaN": func(c *Case) { c.FrictionHead = Exactly(math.NaN()) },
		"swap them":                 func(c *Case) { c.FrictionHead = Spread{0.2, 0.1} },
		"stiffness ratio":           func(c *Case) { c.StiffnessRatio = Spread{} },
		"joint stiffness":           func(c *Case) { c.JointStiffness = Spread{-1, 1} },
		"embedding":                 func(c *Case) { c.Embedding = -1 },
		"yield factor":              func(c *Case) { c.YieldFactor = Spread{-1, 1} },
		"stages: none":              func(c *Case) { c.Stages = nil },
		"without a snug torque":     func(c *Case) { c.Stages = []Stage{{AngleDeg: 90}} },
		"nothing to do":             func(c *Case) { c.Stages = append(c.Stages, Stage{}) },
		"-5 can't be":               func(c *Case) { c.Stages[0].TorqueNm = -5 },
		"NaN can't be":              func(c *Case) { c.Stages[0].TorqueNm = math.NaN() },
		"stretch stands alone":      func(c *Case) { c.Stages[0].StretchMM = 0.1 },
		"three turns":               func(c *Case) { c.Stages[1].AngleDeg = 5000 },
		"draws":                     func(c *Case) { c.Draws = -1 },
		"more than the 20":          func(c *Case) { c.Stages = make([]Stage, 21) },
	} {
		c := inventedCase(t)
		change(&c)
		if _, err := Preload(c); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}

func TestNotes(t *testing.T) {
	c := inventedCase(t)
	c.Draws = 100
	c.Bolt.Thread = thread(t, "M9x1.1")
	if n := strings.Join(preload(t, c).Notes, " "); !strings.Contains(n, "not in the list of ISO 261") || !strings.Contains(n, "single use") {
		t.Errorf("notes: %s", n)
	}
}

func BenchmarkPreload(b *testing.B) {
	c := inventedCase(b)
	for b.Loop() {
		if _, err := Preload(c); err != nil {
			b.Fatal(err)
		}
	}
}
