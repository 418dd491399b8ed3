// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// shape is a synthetic trace with known points.
type shape struct {
	low, snug, rate, yield, after, end, step, noise float64
	seed                                            uint64
}

// usual is turned to 150°, with 0.2 N·m of noise.
var usual = shape{low: 0.02, snug: 40, rate: 0.5, yield: 110, after: 0.04, end: 150, step: 0.5, noise: 0.2}

func (s shape) torque(a float64) float64 {
	return 1 + s.low*min(a, s.snug) + s.rate*(min(max(a, s.snug), s.yield)-s.snug) + s.after*max(0, a-s.yield)
}

func (s shape) trace(t interface{ Fatal(...any) }, name string) Trace {
	rng := rand.New(rand.NewPCG(s.seed, 7))
	c := collector{name: name}
	for i := 0; float64(i)*s.step <= s.end+1e-9; i++ {
		a := float64(i) * s.step
		if err := c.add(a, s.torque(a)+s.noise*rng.NormFloat64()); err != nil {
			t.Fatal(err)
		}
	}
	return c.trace()
}

// TestTraceFindsWhatIsThere: synthetic traces with known points over noise.
// What a curve turns within is 5° wide, so that a degree or two is what can be
// expected.
func TestTraceFindsWhatIsThere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := shape{
			low:   rapid.Float64Range(0, 0.05).Draw(t, "low"),
			snug:  rapid.Float64Range(5, 60).Draw(t, "snug"),
			rate:  rapid.Float64Range(0.5, 1.5).Draw(t, "rate"),
			step:  rapid.Float64Range(0.15, 1).Draw(t, "step"),
			noise: rapid.Float64Range(0, 0.2).Draw(t, "noise"),
			seed:  rapid.Uint64().Draw(t, "seed"),
		}
		s.after = s.rate * rapid.Float64Range(0, 0.2).Draw(t, "after")
		s.yield = s.snug + rapid.Float64Range(30, 90).Draw(t, "to yield")
		past := rapid.Float64Range(-25, 60).Draw(t, "past")
		s.end = s.yield + past
		if past < 0 {
			s.end = math.Max(s.end, s.snug+25)
			s.yield = s.end + 1
		}
		r := s.trace(t, "a").Read()
		if r.Rate == nil {
			t.Fatalf("no rate: %s", r.problem)
		}
		if e := *r.Rate/s.rate - 1; math.Abs(e) > 0.03+0.06*s.noise/s.rate {
			t.Errorf("rate %.4f, put in %.4f", *r.Rate, s.rate)
		}
		if e := *r.SnugAngle - s.snug; math.Abs(e) > 1.5+2*s.noise/s.rate+s.step {
			t.Errorf("snug at %.2f°, put in %.2f°", *r.SnugAngle, s.snug)
		}
		if e := *r.SnugTorque - s.torque(s.snug); math.Abs(e) > s.rate*(1.5+s.step)+2*s.noise {
			t.Errorf("snug torque %.3f, put in %.3f", *r.SnugTorque, s.torque(s.snug))
		}
		switch {
		case r.YieldAngle != nil && past < 0:
			t.Errorf("yield at %.2f°, none put in", *r.YieldAngle)
		case r.YieldAngle != nil:
			if e := *r.YieldAngle - s.yield; math.Abs(e) > 1.2+2*s.noise/s.rate+s.step {
				t.Errorf("yield at %.2f°, put in %.2f°", *r.YieldAngle, s.yield)
			}
		case past > rateWindow/2+yieldHold+2.5+s.step:
			t.Errorf("no yield, put in at %.2f° of %.2f°", s.yield, s.end)
		}
		if math.Abs(*r.AngleFromSnug-(r.lastAngle(s)-*r.SnugAngle)) > 0.11 {
			t.Errorf("%.2f° from snug", *r.AngleFromSnug)
		}
	})
}

func (r TraceResult) lastAngle(s shape) float64 { return math.Floor((s.end+1e-9)/s.step) * s.step }

// TestTraceWithoutNoise: the definitions, word by word, on straight lines.
func TestTraceWithoutNoise(t *testing.T) {
	s := usual
	s.noise, s.after, s.low = 0, 0, 0
	r := s.trace(t, "a").Read()
	near(t, "rate", *r.Rate, 0.5, 1e-9)
	near(t, "snug angle", *r.SnugAngle, 40, 0.5)
	near(t, "snug torque", *r.SnugTorque, 1, 0.25)
	// The rate over 5° is half when its middle stands at the corner.
	near(t, "yield", *r.YieldAngle, 110, 0.5)
	near(t, "final", r.FinalTorque, 36, 1e-9)

	// A dip of 2° is no yield, one of 8° is (5° of window and 3° of hold).
	for width, want := range map[float64]bool{2: false, 12: true} {
		c := collector{}
		torque := 0.0
		for a := 0.0; a <= 100; a += 0.25 {
			if a < 50 || a > 50+width {
				torque += 0.125
			}
			if err := c.add(a, torque); err != nil {
				t.Fatal(err)
			}
		}
		if r := c.trace().Read(); (r.YieldAngle != nil) != want {
			t.Errorf("level for %g°: yield %v", width, r.YieldAngle)
		}
	}
}

func TestTraceThatShowsNothing(t *testing.T) {
	for want, points := range map[string][][2]float64{
		"no rows":               {},
		"covers 0° of angle":    {{10, 5}},
		"covers 15° of angle":   {{0, 0}, {5, 1}, {10, 2}, {15, 3}},
		"the torque never":      {{0, 5}, {5, 5}, {10, 5}, {15, 5}, {20, 5}, {25, 4}},
		"a gap of 40° at 3°":    {{0, 1}, {1, 1}, {2, 1}, {3, 1}, {43, 9}, {44, 9}, {45, 9}},
		"two fasteners under":   {{0, 0}, {1, 10}, {2, 0}, {3, 10}, {4, 0}, {5, 10}, {6, 0}, {7, 10}, {8, 0}, {9, 10}, {10, 0}, {11, 10}, {12, 0}, {13, 10}, {14, 0}, {15, 10}, {16, 0}, {17, 10}, {18, 0}, {19, 10}, {20, 1}, {21, 11}},
		"covers 19.9° of angle": {{0, 0}, {10, 1}, {19.9, 2}},
	} {
		c := collector{}
		for _, p := range points {
			// Straight into points: what a wrench reads over doesn't matter here.
			q := c.point(int32(math.Floor(p[0] / pointWidth)))
			q.rows, q.angle, q.torque, q.squares = 1, p[0], p[1], p[1]*p[1]
		}
		results := ReadSet([]Trace{c.trace()})
		if !results[0].Odd || !strings.Contains(results[0].Why, want) {
			t.Errorf("want %q, got %q", want, results[0].Why)
		}
	}
}

// set makes eight usual traces, of which the fourth is changed.
func set(t testing.TB, change func(*shape)) []TraceResult {
	var list []Trace
	for i := range 8 {
		s := usual
		s.seed = uint64(i + 1)
		s.snug += 0.3 * float64(i%3)
		s.yield += 0.5 * float64(i%4)
		if i == 3 {
			change(&s)
		}
		list = append(list, s.trace(t, fmt.Sprint(i+1)))
	}
	return ReadSet(list)
}

func TestOddOnes(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*shape)
		why    []string // empty: not odd
	}{
		"none":          {func(*shape) {}, nil},
		"early":         {func(s *shape) { s.snug = 20; s.yield = 91.5 }, []string{"starts early", "bottoming, or a crossed, dirty or dry thread"}},
		"steep":         {func(s *shape) { s.rate = 0.7 }, []string{"steep"}},
		"late":          {func(s *shape) { s.snug += 25; s.yield += 25 }, []string{"starts late", "cap not seated, or something trapped"}},
		"low rate":      {func(s *shape) { s.rate = 0.35 }, []string{"low rate", "low friction, a soft washer, or a damaged bolt"}},
		"yields early":  {func(s *shape) { s.yield = 85 }, []string{"yields early"}},
		"no yield":      {func(s *shape) { s.yield = 1000 }, []string{"no yield where the set yields"}},
		"not as far":    {func(s *shape) { s.end = 130 }, []string{"turned 90"}},
		"within ten %":  {func(s *shape) { s.rate = 0.53 }, nil},
		"early and low": {func(s *shape) { s.snug = 20; s.yield = 91.5; s.rate = 0.3 }, []string{"starts early", "; low rate"}},
	} {
		for i, r := range set(t, c.change) {
			if i != 3 {
				if r.Odd {
					t.Errorf("%s: %s is odd: %s", name, r.Fastener, r.Why)
				}
				continue
			}
			if r.Odd != (len(c.why) > 0) || r.Odd != (r.Why != "") {
				t.Errorf("%s: odd %v: %s", name, r.Odd, r.Why)
			}
			for _, w := range c.why {
				if !strings.Contains(r.Why, w) {
					t.Errorf("%s: %q doesn't say %q", name, r.Why, w)
				}
			}
		}
	}
}

func TestOddNeedsASet(t *testing.T) {
	late := usual
	late.snug, late.yield = 70, 140
	results := ReadSet([]Trace{usual.trace(t, "a"), late.trace(t, "b")})
	for _, r := range results {
		if r.Odd {
			t.Errorf("of two, %s is odd: %s", r.Fastener, r.Why)
		}
	}
	if got := ReadSet(nil); len(got) != 0 {
		t.Errorf("no traces gave %v", got)
	}
}

func TestRobust(t *testing.T) {
	// Derived by hand: median 4, MAD 1, so that z of 10 is 0.6745·6/1 = 4.05.
	r := newRobust([]float64{2, 3, 4, 5, 10}, 0)
	near(t, "median", r.median, 4, 0)
	near(t, "MAD", r.mad, 1, 0)
	if r.side(10) != 1 || r.side(5) != 0 || r.side(-2) != -1 || r.side(9) != 0 {
		t.Error("only 10 and −2 are beyond 3.5: 0.6745·5 is 3.37")
	}
	// All but one agree: MAD is zero and ten percent decide.
	r = newRobust([]float64{100, 100, 100, 100, 109, 111}, 0)
	if r.side(109) != 0 || r.side(111) != 1 || r.side(100) != 0 {
		t.Error("111 of 100 is odd, 109 is not")
	}
	if newRobust([]float64{1, 100}, 0).side(100) != 0 || newRobust(nil, 0).side(1) != 0 {
		t.Error("two are no set")
	}
	if newRobust([]float64{0, 0.1, 0.2}, oddAngle).side(1.5) != 0 {
		t.Error("1.5° is too near to be odd, wherever the scale begins")
	}
}
