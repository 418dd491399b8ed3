// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"errors"
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// Published: NIST Statistical Reference Datasets, univariate summary; the
// NumAcc sets are built as NIST describes them.
func TestSummariseNIST(t *testing.T) {
	built := func(first, a, b float64, pairs int) []float64 {
		x := []float64{first}
		for range pairs {
			x = append(x, a, b)
		}
		return x
	}
	for _, c := range []struct {
		name           string
		x              []float64
		mean, sd, lag1 float64
		digits         float64
	}{
		{"NumAcc1", []float64{10000001, 10000003, 10000002}, 10000002, 1, -0.5, 14},
		{"NumAcc2", built(1.2, 1.1, 1.3, 500), 1.2, 0.1, -0.999, 13},
		{"NumAcc3", built(1000000.2, 1000000.1, 1000000.3, 500), 1000000.2, 0.1, -0.999, 9},
		{"NumAcc4", built(10000000.2, 10000000.1, 10000000.3, 500), 10000000.2, 0.1, -0.999, 8},
		{"Michelso", column(t, "nist_michelso.csv"), 299.852400000000, 0.0790105478190518, 0.535199668621283, 13},
		{"Mavro", column(t, "nist_mavro.csv"), 2.00185600000000, 0.000429123454003053, 0.937989183438248, 12},
		{"Lew", column(t, "nist_lew.csv"), -177.435000000000, 277.332168044316, -0.307304800605679, 13},
	} {
		s, err := Summarise(c.x)
		if err != nil {
			t.Fatal(err)
		}
		nearRel(t, c.name+" mean", s.Mean, c.mean, 1e-14)
		nearRel(t, c.name+" sd", s.StdDev, c.sd, math.Pow(10, -c.digits))
		nearRel(t, c.name+" lag 1", s.Lag1, c.lag1, math.Pow(10, -c.digits))
	}
}

func column(t *testing.T, name string) []float64 {
	t.Helper()
	var out []float64
	for i, row := range readCSV(t, name) {
		if i == 0 {
			continue
		}
		x, err := strconv.ParseFloat(row[0], 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, x)
	}
	return out
}

func TestSummariseRefuses(t *testing.T) {
	for _, x := range [][]float64{nil, {1, math.NaN()}, {math.Inf(1)}} {
		if _, err := Summarise(x); !errors.Is(err, ErrInput) {
			t.Errorf("%v: %v", x, err)
		}
	}
}

// From memory: Grubbs' table as reprinted in ISO 5725-2:1994, table 5 (one
// outlying observation, upper 5 % and 1 % of the two-sided test).
func TestGrubbsTable(t *testing.T) {
	for _, c := range []struct {
		n               int
		alpha, critical float64
	}{
		{3, 0.05, 1.155}, {8, 0.05, 2.126}, {8, 0.01, 2.274}, {10, 0.05, 2.290}, {10, 0.01, 2.482}, {20, 0.05, 2.709},
	} {
		near(t, "Grubbs", GrubbsCritical(c.n, c.alpha), c.critical, 0.001)
	}
}

func TestGrubbs(t *testing.T) {
	// From memory: NIST/SEMATECH e-Handbook, 1.3.5.17.1, G = 2.4687.
	x := []float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57}
	o, err := Grubbs(x, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "G", o.G, 2.4687, 1e-4)
	if !o.Suspect || o.Index != 7 || o.Value != 245.57 || !(o.PValue < 0.001) {
		t.Errorf("%+v", o)
	}
	o, err = Grubbs([]float64{1, 1, 1}, 0.05)
	if err != nil || o.Suspect || o.PValue != 1 {
		t.Errorf("%+v %v", o, err)
	}
	for _, bad := range [][]float64{nil, {1, 2}, {1, 2, math.NaN()}} {
		if _, err := Grubbs(bad, 0.05); !errors.Is(err, ErrInput) {
			t.Errorf("%v: %v", bad, err)
		}
	}
	if _, err := Grubbs(x, 5); !errors.Is(err, ErrInput) {
		t.Error(err)
	}
	if !math.IsNaN(GrubbsCritical(2, 0.05)) || !math.IsNaN(StudentFactor(1, 5)) {
		t.Error("outside is NaN")
	}
}

func TestMeanOf(t *testing.T) {
	gauge := Repeatability{StdDev: 0.002, DegreesOfFreedom: 22}
	few, err := MeanOf([]float64{47.99, 47.99, 47.99}, gauge)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "under six repeats the study's", few.U, 0.002/math.Sqrt(3), 1e-12)
	if !few.FromStudy || few.DegreesOfFreedom != 22 || few.Input("a").Shape != Student {
		t.Errorf("%+v", few)
	}
	six, err := MeanOf([]float64{1, 2, 3, 4, 5, 6}, gauge)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "from six on their own", six.U, math.Sqrt(3.5/6), 1e-12) // by hand: s² = 17.5/5
	low, high := six.CoverageInterval(0.95)
	near(t, "t of 5", (high-low)/2, 2.5706*math.Sqrt(3.5/6), 1e-4) // JCGM 100 Table G.2: 2.57
	if six.FromStudy || six.DegreesOfFreedom != 5 {
		t.Errorf("%+v", six)
	}
	exact, err := MeanOf([]float64{1}, Repeatability{StdDev: 1, Assumed: true})
	if err != nil || !exact.Assumed || exact.Input("a").Shape != Normal || !exact.Input("a").Assumed {
		t.Errorf("%+v %v", exact, err)
	}
	two, err := MeanOf([]float64{1, 3}, Repeatability{})
	if err != nil || two.U != 1 || two.FromStudy {
		t.Errorf("%+v %v", two, err)
	}
	for _, c := range []struct {
		x []float64
		r Repeatability
	}{{nil, gauge}, {[]float64{1}, Repeatability{}}, {[]float64{1, 2}, Repeatability{StdDev: -1}}, {[]float64{math.NaN(), 2}, gauge}} {
		if _, err := MeanOf(c.x, c.r); !errors.Is(err, ErrInput) {
			t.Errorf("%+v: %v", c, err)
		}
	}
}

// An oval that was built comes back, whatever its direction.
func TestRoundnessFindsTheOval(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, oval := 47.98, rapid.Float64Range(0.002, 0.05).Draw(t, "ovality")
		direction := rapid.Float64Range(0, 179.99).Draw(t, "direction")
		var readings []AngleReading
		for _, a := range []float64{0, 40, 80, 130, 200} {
			readings = append(readings, AngleReading{a, d + oval/2*math.Cos(2*(a-direction)*math.Pi/180)})
		}
		fit, err := FitRoundness(readings, Repeatability{StdDev: 0.001})
		if err != nil {
			t.Fatal(err)
		}
		off := math.Abs(fit.Direction - direction)
		if math.Abs(fit.Diameter.Value-d) > 1e-9 || math.Abs(fit.Ovality.Value-oval) > 1e-9 || math.Min(off, 180-off) > 1e-5 {
			t.Fatalf("%+v", fit)
		}
		if fit.Range > oval+1e-12 || fit.Residual > 1e-9 {
			t.Fatalf("range %g, residual %g", fit.Range, fit.Residual)
		}
	})
}

// By hand: four directions evenly apart. The greatest less the least of a round
// journal is d₂(4) = 2.059 readings' spreads on average (control-chart tables),
// its fitted ovality 2·√(π/2)·u/√2.
func TestRoundnessBias(t *testing.T) {
	var readings []AngleReading
	for _, a := range []float64{0, 45, 90, 135} {
		readings = append(readings, AngleReading{a, 48})
	}
	fit, err := FitRoundness(readings, Repeatability{StdDev: 0.001})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "range", fit.RoundRange, 0.002059, 5e-7)
	near(t, "ovality", fit.RoundOvality, 2*0.001*math.Sqrt(math.Pi)/2, 1e-9)
	near(t, "u of the mean", fit.Diameter.U, 0.0005, 1e-12)
	if fit.Ovality.Value != 0 || fit.PRound != 1 || fit.UDirection != anyDirection {
		t.Errorf("%+v", fit)
	}
}

func TestRoundnessSpread(t *testing.T) {
	var readings []AngleReading
	for k := range 9 {
		readings = append(readings, AngleReading{float64(20 * k), 48 + 0.001*float64(k%2)})
	}
	fit, err := FitRoundness(readings, Repeatability{StdDev: 1})
	if err != nil || fit.FromStudy || fit.DegreesOfFreedom != 6 || !(fit.PRound > 0 && fit.PRound <= 1) {
		t.Errorf("six degrees of freedom stand for themselves: %+v %v", fit, err)
	}
	for name, c := range map[string]struct {
		x []AngleReading
		r Repeatability
	}{
		"two":           {readings[:2], Repeatability{StdDev: 1}},
		"no spread":     {readings[:3], Repeatability{}},
		"one direction": {[]AngleReading{{10, 1}, {10, 1}, {190, 1}}, Repeatability{StdDev: 1}},
		"NaN":           {[]AngleReading{{0, 1}, {60, math.NaN()}, {120, 1}}, Repeatability{StdDev: 1}},
		"bad spread":    {readings[:3], Repeatability{StdDev: math.NaN()}},
	} {
		if _, err := FitRoundness(c.x, c.r); !errors.Is(err, ErrInput) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Published, from memory: d₂ of control charts, ISO 7870-2 and every table.
func TestRangeFactor(t *testing.T) {
	for n, d2 := range map[int]float64{2: 1.128, 3: 1.693, 4: 2.059, 5: 2.326, 6: 2.534, 10: 3.078} {
		near(t, "d2", RangeFactor(n), d2, 0.0005)
	}
	if RangeFactor(1) != 0 {
		t.Error("one reading has no range")
	}
}

func TestFitTaper(t *testing.T) {
	m := Measurement{Value: 47.990, U: 0.002, CommonU: 0.0016}
	n := m
	n.Value = 47.984
	two, err := FitTaper([]Plane{{20, n}, {4, m}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "front less rear", two.Difference.Value, 0.006, 1e-12)
	near(t, "common part drops out", two.Difference.U, 0.0012*math.Sqrt2, 1e-12)
	near(t, "per length", two.PerLength, 0.006/16, 1e-12)
	waist := Direct(47.980, 0.001)
	three, err := FitTaper([]Plane{{0, Direct(47.990, 0.001)}, {10, waist}, {20, Direct(47.990, 0.001)}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "no taper", three.Difference.Value, 0, 1e-12)
	near(t, "waist", three.Bow, -0.010*2/3, 1e-12)                 // by hand: residuals 1, −2, 1 thirds
	near(t, "its spread", three.UBow, 0.001*math.Sqrt(6)/3, 1e-12) // by hand: weights −1, 2, −1 thirds
	for _, bad := range [][]Plane{nil, {{1, m}}, {{1, m}, {1, n}}, {{math.NaN(), m}, {2, n}}} {
		if _, err := FitTaper(bad); !errors.Is(err, ErrInput) {
			t.Errorf("%v: %v", bad, err)
		}
	}
	if _, err := FitTaper([]Plane{{1, Direct(math.NaN(), 0)}, {2, n}}); !errors.Is(err, ErrMeasurement) {
		t.Error(err)
	}
}

func TestTemperature(t *testing.T) {
	steel := Thermal{Alpha: 11.5e-6, Temperature: 30}
	same, err := AtReference(Direct(48, 0.001), steel, steel)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "part and scale alike", same.Value, 48, 1e-12)
	light := Thermal{Alpha: 23e-6, UAlpha: 1e-6, Temperature: 30, UTemperature: 1}
	m, err := AtReference(Direct(60, 0.001), light, steel)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "warm light alloy", m.Value, 60*(1+115e-6)/(1+230e-6), 1e-12)
	near(t, "spread", m.U, math.Hypot(0.001, 60*math.Hypot(10e-6, 23e-6)), 1e-6)
	if !(m.CommonU > 0 && m.CommonU <= m.U) {
		t.Errorf("%+v", m)
	}
	// Recomputed by hand: 60 mm, 23 against 11.5, 80 K warmer: 55.2 µm.
	near(t, "clearance grows", AtTemperature(60, 23e-6, 100)-AtTemperature(60, 11.5e-6, 100), 0.0552, 1e-12)
	if _, err := AtReference(Direct(60, 0), Thermal{Alpha: 23}, steel); !errors.Is(err, ErrInput) {
		t.Error(err)
	}
	if _, err := AtReference(Direct(60, -1), light, steel); !errors.Is(err, ErrMeasurement) {
		t.Error(err)
	}
}

// Recomputed: 95 % guard bands against the width of the limits, in u.
func TestAcceptanceLimits(t *testing.T) {
	for width, w := range map[float64]float64{4: 1.796213, 5: 1.648767, 6: 1.644918, 8: 1.644854, 20: 1.644854} {
		a, ok, err := AcceptanceLimits(Direct(0, 1), Between(0, width), 0.95)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		near(t, "lower", a.Min, w, 1e-6)
		near(t, "upper", width-a.Max, w, 1e-6)
	}
	if _, ok, err := AcceptanceLimits(Direct(0, 1), Between(0, 3), 0.95); ok || err != nil {
		t.Error("3 u wide: at most 0.866")
	}
	a, ok, err := AcceptanceLimits(Direct(0, 1), AtMost(10), 0.999)
	if err != nil || !ok || a.HasMin() {
		t.Fatal(a, ok, err)
	}
	near(t, "one limit", a.Max, 10-3.090232, 1e-6)
	for _, c := range []float64{0, 1, math.NaN()} {
		if _, _, err := AcceptanceLimits(Direct(0, 1), AtMost(10), c); !errors.Is(err, ErrConfidence) {
			t.Error(c, err)
		}
	}
}

// From memory, recomputed by quadrature: JCGM 106:2012, resistors N(1500, 0.12).
func TestGlobalRisks(t *testing.T) {
	l := Between(1499.8, 1500.2)
	for _, c := range []struct{ w, consumer, producer float64 }{
		{0, 0.018942, 0.037208}, {0.08, 0.00046863, 0.24767}, {-0.08, 0.069405, 0.00068060},
	} {
		r, err := GlobalRisks(1500, 0.12, Direct(0, 0.04), l, Between(l.Min+c.w, l.Max-c.w))
		if err != nil {
			t.Fatal(err)
		}
		nearRel(t, "consumer", r.Consumer, c.consumer, 5e-5)
		nearRel(t, "producer", r.Producer, c.producer, 5e-5)
	}
	if _, err := GlobalRisks(0, 0, Direct(0, 1), l, l); !errors.Is(err, ErrInput) {
		t.Error(err)
	}
	if _, err := GlobalRisks(0, 1, Direct(0, 1), Between(2, 1), l); !errors.Is(err, ErrLimits) {
		t.Error(err)
	}
}
