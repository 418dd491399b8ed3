// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// sumOf is a budget of a plain sum.
func sumOf(in ...Input) Budget {
	return Budget{in, func(x []float64) float64 {
		s := 0.0
		for _, v := range x {
			s += v
		}
		return s
	}}
}

func propagate(t *testing.T, b Budget, mc MonteCarlo) Propagated {
	t.Helper()
	p, err := b.Propagate(mc)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// From memory, recomputed: JCGM 101:2008, 9.2.2 to 9.2.4, additive model.
func TestPropagateAdditive(t *testing.T) {
	one := math.Sqrt(3) // half width of a rectangular law of standard deviation 1
	for _, c := range []struct {
		name         string
		b            Budget
		u, u95, gum  float64
		tolU, tolEnd float64
	}{
		{"9.2.2", sumOf(NormalInput("a", 0, 1), NormalInput("b", 0, 1), NormalInput("c", 0, 1), NormalInput("d", 0, 1)), 2, 3.92, 3.919928, 0.01, 0.03},
		{"9.2.3", sumOf(RectangularInput("a", 0, one), RectangularInput("b", 0, one), RectangularInput("c", 0, one), RectangularInput("d", 0, one)), 2, 3.879407, 3.919928, 0.01, 0.02},
		{"9.2.4", sumOf(RectangularInput("a", 0, one), RectangularInput("b", 0, one), RectangularInput("c", 0, one), RectangularInput("d", 0, 10*one)), 10.14889, 17.0158, 19.8915, 0.03, 0.06},
	} {
		p := propagate(t, c.b, MonteCarlo{Seed: 1, Trials: 400_000})
		near(t, c.name+" value", p.Value, 0, 3*c.u/math.Sqrt(400_000)+1e-3)
		near(t, c.name+" u", p.U, c.u, c.tolU)
		near(t, c.name+" high", p.High, c.u95, c.tolEnd)
		near(t, c.name+" low", p.Low, -c.u95, c.tolEnd)
		r, err := c.b.Evaluate()
		if err != nil {
			t.Fatal(err)
		}
		_, high, _ := r.CoverageInterval(0.95)
		near(t, c.name+" budget", high, c.gum, 1e-4)
	}
}

// From memory, recomputed: JCGM 101:2008, 9.5, gauge block, in nm. The laws are
// those of its Table 10: t for what was repeated, curvilinear trapezoids.
func TestPropagateGaugeBlock(t *testing.T) {
	p := propagate(t, gaugeBlock(), MonteCarlo{Seed: 3, Trials: 600_000, Coverage: 0.99, Shortest: true})
	near(t, "value", p.Value-50000000, 838, 1)
	near(t, "u", p.U, 36, 0.5)
	near(t, "low", p.Low-50000000, 745, 1.5)
	near(t, "high", p.High-50000000, 932, 1.5)
}

// gaugeBlock is JCGM 101:2008, 9.5, in nm.
func gaugeBlock() Budget {
	b := endGauge()
	b.Inputs[1] = StudentInput("repeats", 215, 6, 24)
	b.Inputs[2] = StudentInput("comparator, random", 0, 4, 5)
	b.Inputs[3] = StudentInput("comparator, systematic", 0, 7, 8)
	b.Inputs[7] = TrapezoidInput("difference of expansion", 0, 1e-6, 0.1e-6)
	b.Inputs[8] = TrapezoidInput("difference of temperature", 0, 0.05, 0.025)
	return b
}

// The adaptive procedure ends, within its own tolerance of the truth.
func TestPropagateAdaptive(t *testing.T) {
	p := propagate(t, sumOf(NormalInput("a", 0, 1), NormalInput("b", 0, 1)), MonteCarlo{Seed: 2})
	if !p.Converged || p.Trials%10000 != 0 || p.Tolerance != 0.05 {
		t.Fatalf("%+v", p)
	}
	near(t, "high", p.High, 1.959964*math.Sqrt2, 2*p.Tolerance)
	p = propagate(t, sumOf(NormalInput("a", 0, 1)), MonteCarlo{Seed: 2, Digits: 4, MaxTrials: 30000})
	if p.Converged || p.Trials != 30000 {
		t.Errorf("%+v", p)
	}
}

// The result does not depend on how many processors there are.
func TestPropagateSameOnAnyMachine(t *testing.T) {
	b := sumOf(NormalInput("a", 1, 0.1), RectangularInput("b", 2, 0.3))
	many := propagate(t, b, MonteCarlo{Seed: 9})
	before := runtime.GOMAXPROCS(1)
	alone := propagate(t, b, MonteCarlo{Seed: 9})
	runtime.GOMAXPROCS(before)
	if many != alone {
		t.Errorf("%+v and %+v", many, alone)
	}
	if other := propagate(t, b, MonteCarlo{Seed: 10}); other.Value == many.Value {
		t.Error("another seed gives the same")
	}
}

// JCGM 101:2008, clause 8: the normal sum validates, the one dominated by a
// rectangular law does not, and then Monte Carlo counts.
func TestCompare(t *testing.T) {
	c, err := sumOf(NormalInput("a", 0, 1), NormalInput("b", 0, 1)).Compare(MonteCarlo{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if !c.Agrees || c.Measurement().U != c.Budget.U {
		t.Errorf("%+v", c)
	}
	one := math.Sqrt(3)
	c, err = sumOf(RectangularInput("a", 0, one), RectangularInput("d", 0, 10*one)).Compare(MonteCarlo{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if c.Agrees || c.Measurement().U != c.MonteCarlo.U {
		t.Errorf("%+v", c)
	}
}

// Every law has the mean and standard deviation that its input says.
func TestSamplers(t *testing.T) {
	for _, in := range []Input{
		NormalInput("normal", 5, 0.5), RectangularInput("rectangular", 5, 0.5), TrapezoidInput("trapezoid", 5, 0.5, 0.3),
		TriangularInput("triangular", 5, 0.5), ArcsineInput("arcsine", 5, 0.5),
		MeasurementInput("convolved", Measurement{Value: 5, U: 0.3, HalfWidth: 0.4}),
	} {
		p := propagate(t, sumOf(in), MonteCarlo{Seed: 4, Trials: 200_000})
		near(t, in.Name+" mean", p.Value, 5, 5*in.U/math.Sqrt(200_000))
		nearRel(t, in.Name+" u", p.U, in.U, 0.01)
	}
	p := propagate(t, sumOf(StudentInput("student", 5, 0.5, 5)), MonteCarlo{Seed: 4, Trials: 200_000})
	nearRel(t, "student u", p.U, 0.5*math.Sqrt(5.0/3), 0.02)               // by hand: √(ν/(ν−2))
	nearRel(t, "student high", p.High-5, 0.5*StudentFactor(0.95, 5), 0.02) //
}

func TestSelectNth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.SliceOfN(rapid.Float64Range(-3, 3), 1, 50).Draw(t, "y")
		n := rapid.IntRange(0, len(y)-1).Draw(t, "n")
		sorted := slices.Clone(y)
		slices.Sort(sorted)
		if got := selectNth(y, n); got != sorted[n] {
			t.Fatalf("%g, want %g", got, sorted[n])
		}
		for i, v := range y {
			if i < n && v > y[n] || i > n && v < y[n] {
				t.Fatalf("not parted at %d: %v", n, y)
			}
		}
	})
}

// Published: JCGM 101:2008, 7.9.2 examples, from memory: u = 0.000 035 with two
// digits gives δ = 0.5e-6, u = 2 with one digit 0.5.
func TestNumericalTolerance(t *testing.T) {
	nearRel(t, "0.000035", numericalTolerance(0.000035, 2), 0.5e-6, 1e-9)
	nearRel(t, "2", numericalTolerance(2, 1), 0.5, 1e-9)
	nearRel(t, "9.96", numericalTolerance(9.96, 2), 0.5, 1e-9)
	near(t, "0", numericalTolerance(0, 2), 0, 0)
}

// clearanceFromParts is bore less journal less two walls, lengths in mm.
func clearanceFromParts() Budget {
	return Budget{
		Inputs: []Input{
			NormalInput("bore", 51.000, 0.002), NormalInput("journal", 47.990, 0.0015),
			RectangularInput("upper wall", 1.485, 0.001), RectangularInput("lower wall", 1.485, 0.001),
		},
		Model: func(x []float64) float64 { return x[0] - x[1] - x[2] - x[3] },
	}
}

// One million draws of a clearance from four parts; the aim is under 100 ms.
func BenchmarkMillionClearances(b *testing.B) {
	budget := clearanceFromParts()
	for b.Loop() {
		if _, err := budget.Propagate(MonteCarlo{Trials: 1_000_000, Seed: rand.Uint64()}); err != nil {
			b.Fatal(err)
		}
	}
}
