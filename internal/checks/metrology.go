// SPDX-License-Identifier: Apache-2.0

package checks

import (
	"errors"
	"math"
	"sync"

	"witnessmark/metrology"
)

// metrologyChecks are the checks of readings, budgets, decisions and studies.
func metrologyChecks() []Check {
	var list []Check
	for _, part := range [][]Check{
		conformityChecks(), stripChecks(), endGaugeChecks(), propagationChecks(),
		gaugeStudyChecks(), summaryChecks(), outlierChecks(), roundnessChecks(),
	} {
		list = append(list, part...)
	}
	return list
}

func within95(m metrology.Measurement, l metrology.Limits) func() (float64, error) {
	return func() (float64, error) {
		d, err := metrology.Decide(m, l, 0.95)
		return d.Within, err
	}
}

// conformityChecks: JCGM 106:2012. The examples are from memory; their numbers
// were recomputed from the normal distribution, risks by quadrature.
func conformityChecks() []Check {
	list := []Check{
		{"JCGM 106: one upper limit, -5.47 V against -5.40 V", 0.919243, within95(metrology.Direct(-5.47, 0.05), metrology.AtMost(-5.40)), 5e-7, "JCGM 106:2012, clause 7, breakdown voltage", FromMemory},
		{"JCGM 106: two limits, 13.6 in 12.5 to 16.3 mm²/s", 0.662630, within95(metrology.Direct(13.6, 1.8), metrology.Between(12.5, 16.3)), 5e-7, "JCGM 106:2012, clause 7, kinematic viscosity", FromMemory},
		{"JCGM 106: speed limit 100, probability beyond it at 106.588", 0.999, func() (float64, error) {
			d, err := metrology.Decide(metrology.Direct(106.588, 0.02*106.588), metrology.AtMost(100), 0.999)
			return d.Above, err
		}, 5e-6, "JCGM 106:2012, clause 8, speed enforcement", FromMemory},
	}
	for _, z := range []struct {
		name  string
		c, z  float64
		bound float64
	}{{"80 %", 0.80, 0.84162, 5e-6}, {"90 %", 0.90, 1.28155, 5e-6}, {"95 %", 0.95, 1.64485, 5e-6}, {"99 %", 0.99, 2.32635, 5e-6}, {"99.9 %", 0.999, 3.09023, 5e-6}} {
		list = append(list, Check{"one limit, guard band in u at " + z.name, z.z, guardBand(metrology.AtMost(0), z.c), z.bound, "one-sided normal quantiles, SciPy 1.10 stats.norm.ppf", Recomputed})
	}
	for _, g := range []struct {
		name     string
		width, w float64
	}{{"4", 4, 1.796213}, {"5", 5, 1.648767}, {"6", 6, 1.644918}, {"8", 8, 1.644854}, {"20", 20, 1.644854}} {
		list = append(list, Check{"two limits " + g.name + " u apart, guard band in u at 95 %", g.w, guardBand(metrology.Between(-g.width, 0), 0.95), 1e-5, "JCGM 106:2012, 8.3; root of the normal distribution by SciPy 1.10", Recomputed})
	}
	for _, r := range []struct {
		name               string
		w                  float64
		consumer, producer float64
	}{{"no guard band", 0, 0.018942, 0.037208}, {"guard band U", 0.08, 0.00046863, 0.24767}, {"guard band -U", -0.08, 0.069405, 0.00068060}} {
		list = append(list,
			Check{"JCGM 106: resistors, consumer's risk, " + r.name, r.consumer, globalRisk(r.w, true), 1e-4 * r.consumer, "JCGM 106:2012, 9.5; recomputed by quadrature", FromMemory},
			Check{"JCGM 106: resistors, producer's risk, " + r.name, r.producer, globalRisk(r.w, false), 1e-4 * r.producer, "JCGM 106:2012, 9.5; recomputed by quadrature", FromMemory})
	}
	return list
}

// guardBand is what the upper acceptance limit lies under l.Max, in u.
func guardBand(l metrology.Limits, confidence float64) func() (float64, error) {
	return func() (float64, error) {
		a, ok, err := metrology.AcceptanceLimits(metrology.Direct(0, 1), l, confidence)
		if err == nil && !ok {
			err = errors.New("nothing can be proved")
		}
		return l.Max - a.Max, err
	}
}

func globalRisk(w float64, consumer bool) func() (float64, error) {
	return func() (float64, error) {
		l := metrology.Between(1499.8, 1500.2)
		r, err := metrology.GlobalRisks(1500, 0.12, metrology.Direct(0, 0.04), l, metrology.Between(l.Min+w, l.Max-w))
		if consumer {
			return r.Consumer, err
		}
		return r.Producer, err
	}
}

// practiceScale is an invented strip scale in mm.
var practiceScale = metrology.StripScale{Graduations: []float64{0.025, 0.038, 0.050, 0.063, 0.076, 0.100}}

func stripChecks() []Check {
	var list []Check
	for _, c := range []struct {
		name string
		w, c float64
	}{{"1.4137", 1.4137, 0.0500}, {"0.9425", 0.9425, 0.0750}, {"2.8274", 2.8274, 0.0250}} {
		list = append(list, Check{"strip of 0.30 mm flattened to " + c.name + " mm: clearance, mm", c.c,
			func() (float64, error) { return metrology.StripClearance(0.30, c.w), nil }, 5e-6, "area law c = πd²/(4w), worked by hand", Recomputed})
	}
	return append(list,
		Check{"strip between 0.038 and 0.050 mm is within 0.025 to 0.064 mm at 95 % (1 is yes)", 1,
			stripVerdict(metrology.BetweenBars(0.038, 0.050), metrology.Between(0.025, 0.064), metrology.Within), 0.5, "strip of 6 %", Practice},
		Check{"strip at 0.076 mm is above 0.064 mm at 95 % (1 is yes)", 1,
			stripVerdict(metrology.AtGraduation(0.076), metrology.AtMost(0.064), metrology.Above), 0.5, "strip of 6 %", Practice})
}

func stripVerdict(e metrology.StripEnd, l metrology.Limits, want metrology.Verdict) func() (float64, error) {
	return func() (float64, error) {
		m, err := practiceScale.MeasureEnd(e)
		if err != nil {
			return 0, err
		}
		d, err := metrology.Decide(m, l, 0.95)
		if d.Verdict == want {
			return 1, err
		}
		return 0, err
	}
}

// endGauge is JCGM 100:2008, H.1, in nm; gaugeBlock the same after JCGM
// 101:2008, 9.5. rounded takes the printed uncertainties 0.58e-6 and 0.029
// instead of the half-widths ±1e-6 and ±0.05 behind them.
func endGauge(rounded bool) metrology.Budget {
	δα := metrology.RectangularInput("difference of expansion", 0, 1e-6)
	δθ := metrology.RectangularInput("difference of temperature", 0, 0.05)
	if rounded {
		δα, δθ = metrology.NormalInput(δα.Name, 0, 0.58e-6), metrology.NormalInput(δθ.Name, 0, 0.029)
	}
	return blockBudget(5.8, 3.9, 6.7, δα.WithDegreesOfFreedom(50), δθ.WithDegreesOfFreedom(2))
}

func gaugeBlock() metrology.Budget {
	return blockBudget(6, 4, 7,
		metrology.TrapezoidInput("difference of expansion", 0, 1e-6, 0.1e-6),
		metrology.TrapezoidInput("difference of temperature", 0, 0.05, 0.025))
}

func blockBudget(repeats, random, systematic float64, δα, δθ metrology.Input) metrology.Budget {
	return metrology.Budget{
		Inputs: []metrology.Input{
			metrology.StudentInput("standard", 50000623, 25, 18), metrology.StudentInput("repeats", 215, repeats, 24),
			metrology.StudentInput("comparator, random", 0, random, 5), metrology.StudentInput("comparator, systematic", 0, systematic, 8),
			metrology.RectangularInput("expansion of the standard", 11.5e-6, 2e-6),
			metrology.NormalInput("mean temperature", -0.1, 0.2), metrology.ArcsineInput("cyclic temperature", 0, 0.5), δα, δθ,
		},
		Model: func(x []float64) float64 { // (H.3), all lengths in nm
			return x[0] + x[1] + x[2] + x[3] - x[0]*(x[7]*(x[5]+x[6])+x[4]*x[8])
		},
	}
}

func endGaugeChecks() []Check {
	figure := func(rounded bool, f func(metrology.BudgetResult) float64) func() (float64, error) {
		return func() (float64, error) {
			r, err := endGauge(rounded).Evaluate()
			if err != nil {
				return 0, err
			}
			return f(r), nil
		}
	}
	length := func(r metrology.BudgetResult) float64 { return r.Value - 50000000 }
	u := func(r metrology.BudgetResult) float64 { return r.U }
	ν := func(r metrology.BudgetResult) float64 { return r.DegreesOfFreedom }
	expanded := func(r metrology.BudgetResult) float64 {
		low, high, _ := r.CoverageInterval(0.99)
		return (high - low) / 2
	}
	second := func(r metrology.BudgetResult) float64 { return r.SecondOrderU }
	const print, again = "JCGM 100:2008, H.1, as quoted by the GTC documentation", "JCGM 100:2008, H.1, worked again in Python from the same inputs"
	return []Check{
		{"end gauge: length less 50 mm, nm (half-widths)", 838, figure(false, length), 0.5, print, Published},
		{"end gauge: u, nm (half-widths)", 32, figure(false, u), 0.5, print, Published},
		{"end gauge: effective degrees of freedom (rounded inputs)", 16.7, figure(true, ν), 0.1, print, Published},
		{"end gauge: U at 99 %, nm (half-widths)", 93, figure(false, expanded), 1, print, Published},
		{"end gauge: u with second order, nm (half-widths)", 34, figure(false, second), 0.5, print, Published},
		{"end gauge: u, nm, again (half-widths)", 31.66388, figure(false, u), 0.01, again, Recomputed},
		{"end gauge: u, nm, again (rounded inputs)", 31.7051, figure(true, u), 0.01, again, Recomputed},
		{"end gauge: degrees of freedom, again (half-widths)", 16.7519, figure(false, ν), 0.001, again, Recomputed},
		{"end gauge: u with second order, nm, again (half-widths)", 33.807, figure(false, second), 0.01, again, Recomputed},
	}
}

// propagationChecks: JCGM 101:2008, clause 9, drawn from a fixed seed.
func propagationChecks() []Check {
	root3 := math.Sqrt(3)
	normal, rectangular := metrology.NormalInput("", 0, 1), metrology.RectangularInput("", 0, root3)
	wide := metrology.RectangularInput("", 0, 10*root3)
	sum := func(in ...metrology.Input) metrology.Budget {
		return metrology.Budget{Inputs: in, Model: func(x []float64) float64 { return x[0] + x[1] + x[2] + x[3] }}
	}
	high := func(b metrology.Budget) func() (float64, error) {
		return func() (float64, error) {
			p, err := b.Propagate(metrology.MonteCarlo{Seed: 1, Trials: 500_000})
			return p.High, err
		}
	}
	drawn := sync.OnceValues(func() (metrology.Propagated, error) {
		return gaugeBlock().Propagate(metrology.MonteCarlo{Seed: 3, Trials: 1_000_000, Coverage: 0.99, Shortest: true})
	})
	block := func(f func(metrology.Propagated) float64) func() (float64, error) {
		return func() (float64, error) {
			p, err := drawn()
			return f(p), err
		}
	}
	const source = "JCGM 101:2008, "
	return []Check{
		{"sum of four normals: 95 % to ±", 3.92, high(sum(normal, normal, normal, normal)), 0.02, source + "9.2.2", FromMemory},
		{"sum of four rectangulars: 95 % to ±", 3.88, high(sum(rectangular, rectangular, rectangular, rectangular)), 0.02, source + "9.2.3", FromMemory},
		{"one wide rectangular of four: 95 % to ±", 17.0, high(sum(rectangular, rectangular, rectangular, wide)), 0.06, source + "9.2.4", FromMemory},
		{"one wide rectangular of four: budget's 95 %", 19.9, func() (float64, error) {
			r, err := sum(rectangular, rectangular, rectangular, wide).Evaluate()
			_, h, _ := r.CoverageInterval(0.95)
			return h, err
		}, 0.05, source + "9.2.4", FromMemory},
		{"gauge block: length less 50 mm, nm", 838, block(func(p metrology.Propagated) float64 { return p.Value - 50000000 }), 1, source + "9.5", FromMemory},
		{"gauge block: u, nm", 36, block(func(p metrology.Propagated) float64 { return p.U }), 0.5, source + "9.5", FromMemory},
		{"gauge block: 99 % from, nm", 745, block(func(p metrology.Propagated) float64 { return p.Low - 50000000 }), 1, source + "9.5", FromMemory},
		{"gauge block: 99 % to, nm", 932, block(func(p metrology.Propagated) float64 { return p.High - 50000000 }), 1, source + "9.5", FromMemory},
	}
}

// gaugeStudyReadings: persons, then parts, then trials.
var gaugeStudyReadings = [3][3][3]float64{
	{{1.27, 0.90, 1.09}, {1.12, 1.09, 1.15}, {1.73, 1.28, 1.77}},
	{{1.34, 1.32, 1.27}, {1.24, 1.00, 1.14}, {1.64, 1.65, 1.77}},
	{{1.09, 1.26, 1.09}, {1.48, 1.15, 1.15}, {1.64, 1.44, 1.68}},
}

func gaugeStudyChecks() []Check {
	names := []string{"1", "2", "3"}
	var readings []metrology.StudyReading
	for j, person := range gaugeStudyReadings {
		for i, part := range person {
			for _, x := range part {
				readings = append(readings, metrology.StudyReading{Part: names[i], Person: names[j], Reading: x})
			}
		}
	}
	figure := func(f func(metrology.StudyResult) float64) func() (float64, error) {
		return func() (float64, error) {
			r, err := metrology.Study(readings)
			return f(r), err
		}
	}
	const source = "E. L. Cano, J. M. Moguerza, A. Redchuk, Six Sigma with R (Springer 2012), ch. 5; data of the R package SixSigma, variable time1"
	return []Check{
		{"gauge study: repeatability", 0.14597518, figure(func(r metrology.StudyResult) float64 { return r.Repeatability.StdDev }), 1e-7, source, Published},
		{"gauge study: persons", 0.02394813, figure(func(r metrology.StudyResult) float64 { return r.Reproducibility.StdDev }), 1e-7, source, Published},
		{"gauge study: gauge", 0.14792656, figure(func(r metrology.StudyResult) float64 { return r.Gauge.StdDev }), 1e-7, source, Published},
		{"gauge study: part", 0.25365123, figure(func(r metrology.StudyResult) float64 { return r.Part.StdDev }), 1e-7, source, Published},
		{"gauge study: total", 0.29363449, figure(func(r metrology.StudyResult) float64 { return r.Total.StdDev }), 1e-7, source, Published},
		{"gauge study: distinct categories", 2, figure(func(r metrology.StudyResult) float64 { return float64(r.DistinctCategories) }), 0.5, source, Published},
		{"gauge study: p of the interaction", 0.44619, figure(func(r metrology.StudyResult) float64 { return r.InteractionP }), 5e-6, source + "; p by R 4.2 aov", Recomputed},
	}
}

// summaryChecks: the two sets that are built by rule and lose their digits in
// careless arithmetic.
func summaryChecks() []Check {
	sd := func(base float64) func() (float64, error) {
		return func() (float64, error) {
			x := []float64{base + 0.2}
			for range 500 {
				x = append(x, base+0.1, base+0.3)
			}
			s, err := metrology.Summarise(x)
			return s.StdDev, err
		}
	}
	const source = "NIST Statistical Reference Datasets, univariate summary, "
	return []Check{
		{"NumAcc3: standard deviation", 0.1, sd(1000000), 1e-10, source + "NumAcc3", Published},
		{"NumAcc4: standard deviation", 0.1, sd(10000000), 1e-9, source + "NumAcc4", Published},
	}
}

func outlierChecks() []Check {
	grubbs := func(n int, alpha float64) func() (float64, error) {
		return func() (float64, error) { return metrology.GrubbsCritical(n, alpha), nil }
	}
	t := func(p, ν float64) func() (float64, error) {
		return func() (float64, error) { return metrology.StudentFactor(p, ν), nil }
	}
	return []Check{
		{"Grubbs' critical value, 8 readings, 5 %", 2.126, grubbs(8, 0.05), 0.001, "ISO 5725-2:1994, table 5", FromMemory},
		{"Grubbs' critical value, 10 readings, 1 %", 2.482, grubbs(10, 0.01), 0.001, "ISO 5725-2:1994, table 5", FromMemory},
		{"Student's t, 95 %, 16 degrees of freedom", 2.12, t(0.95, 16), 0.005, "JCGM 100:2008, Table G.2, as quoted in public test files", Published},
		{"Student's t, 95.45 %, 16 degrees of freedom", 2.17, t(0.9545, 16), 0.005, "JCGM 100:2008, Table G.2, as quoted in public test files", Published},
		{"Student's t, 99 %, 16 degrees of freedom", 2.92, t(0.99, 16), 0.005, "JCGM 100:2008, Table G.2, as quoted in public test files", Published},
	}
}

func roundnessChecks() []Check {
	d2 := func(n int) func() (float64, error) {
		return func() (float64, error) { return metrology.RangeFactor(n), nil }
	}
	return []Check{
		{"mean range of 4 readings over their spread (d2)", 2.059, d2(4), 0.0005, "control-chart tables, e.g. ISO 7870-2", FromMemory},
		{"mean range of 6 readings over their spread (d2)", 2.534, d2(6), 0.0005, "control-chart tables, e.g. ISO 7870-2", FromMemory},
	}
}
