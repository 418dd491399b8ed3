// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Another program's: scipy.stats.beta 1.10, through testdata/make_golden.py.
func TestPERTAgainstSciPy(t *testing.T) {
	for _, g := range readGolden(t).PERT {
		p := PERT{g.Least, g.Likely, g.Most}
		near(t, "mean", p.Mean(), g.Mean)
		near(t, "variance", p.Variance(), g.Variance)
		for i, x := range g.X {
			near(t, "CDF", p.CDF(x), g.CDF[i])
		}
		for i, q := range g.Q {
			if got := p.Quantile(q); math.Abs(got-g.Quantile[i]) > 1e-7*(g.Most-g.Least) {
				t.Errorf("%v: quantile %g is %.10g, SciPy has %.10g", p, q, got, g.Quantile[i])
			}
		}
	}
}

// By hand: 2, 5, 14 has the mean (2 + 20 + 14)/6 = 6 and the classic variance 4.
func TestPERTByHand(t *testing.T) {
	p := PERT{2, 5, 14}
	if p.Mean() != 6 || p.ClassicVariance() != 4 || math.Abs(p.Variance()-4*8./7) > 1e-12 {
		t.Errorf("%g %g %g", p.Mean(), p.ClassicVariance(), p.Variance())
	}
	if s := Sure(3); s.Mean() != 3 || s.Variance() != 0 || s.Quantile(0.3) != 3 || s.CDF(2.9) != 0 || s.CDF(3) != 1 {
		t.Error(s)
	}
	if p.Quantile(0) != 2 || p.Quantile(1) != 14 || p.CDF(1) != 0 || p.CDF(20) != 1 {
		t.Error("the ends")
	}
	for _, p := range []PERT{{3, 2, 4}, {1, 5, 4}, {math.NaN(), 1, 2}, {1, 2, math.Inf(1)}} {
		if p.Check() == nil {
			t.Errorf("%v is taken", p)
		}
	}
}

// The table from which is drawn keeps the distribution: its quantiles lie
// within half a thousandth of the range, mean and variance within 1e-5 and 3e-4.
func TestTable(t *testing.T) {
	for _, a := range []float64{1, 1.3, 2, 3, 4.7, 5} {
		table := betaTable(a)
		mean, square := 0.0, 0.0
		const n = 16 * cells
		last := 0.0
		for k := range n {
			x := table.at((float64(k) + 0.5) / n)
			if x < last {
				t.Fatalf("shape %g: the table falls at %d", a, k)
			}
			last = x
			mean += x / n
			square += x * x / n
		}
		p := PERT{0, (a - 1) / 4, 1}
		if math.Abs(mean-p.Mean()) > 1e-5 || math.Abs(square-mean*mean-p.Variance()) > 3e-4*p.Variance() {
			t.Errorf("shape %g: mean %.7f for %.7f, variance %.7f for %.7f", a, mean, p.Mean(), square-mean*mean, p.Variance())
		}
		for _, q := range []float64{0.001, 0.05, 0.3333, 0.5, 0.95, 0.999} {
			if got := table.at(q); math.Abs(got-p.Quantile(q)) > 5e-4 {
				t.Errorf("shape %g: quantile %g is %.5f, want %.5f", a, q, got, p.Quantile(q))
			}
		}
	}
}

// Draws have the mean and the variance of the distribution: 200 000 of them
// within four standard errors, with a fixed seed.
func TestDraws(t *testing.T) {
	p := PERT{7, 14, 42}
	d := draw{p.Least, p.Most - p.Least, betaTable(p.shape())}
	rng := rand.New(rand.NewPCG(1, 2))
	const n = 200_000
	sum, square := 0.0, 0.0
	for range n {
		x := d.at(rng.Float64()) - p.Mean()
		sum, square = sum+x, square+x*x
	}
	if e := math.Sqrt(p.Variance() / n); math.Abs(sum/n) > 4*e {
		t.Errorf("mean off by %g, standard error %g", sum/n, e)
	}
	if got := square / n; math.Abs(got/p.Variance()-1) > 0.015 {
		t.Errorf("variance %g, want %g", got, p.Variance())
	}
}
