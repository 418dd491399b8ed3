// SPDX-License-Identifier: Apache-2.0

package film

import (
	"context"
	"math"
	"strconv"
	"syscall"
	"testing"
)

// cpuNow is the process's own time: the machine may be shared.
func cpuNow() float64 {
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		return math.NaN()
	}
	return float64(r.Utime.Nano() + r.Stime.Nano())
}

// BenchmarkOrbit is one converged orbit, least film only, on one core.
func BenchmarkOrbit(b *testing.B) {
	for _, v := range []struct {
		name   string
		method Method
		tol    float64
		bare   bool
	}{{"short", Short, 0, true}, {"map", Map, 0, true}, {"map_closer", Map, 2e-4, true}, {"map_1_percent", Map, 1e-3, true}, {"map_with_pressure_and_flow", Map, 0, false}, {"field_96x8", Field, 0, true}} {
		b.Run(v.name, func(b *testing.B) {
			c := demoCase(b, 4000, v.method)
			c.Options = Options{Bare: v.bare, Tolerance: v.tol}
			f := must(NewFilm(c))
			var w worker
			must(w.solve(&c, f)) // grow the scratch
			b.ReportAllocs()     // none: worker and film keep their memory
			n, start := 0, cpuNow()
			for b.Loop() {
				w.forget()
				must(w.solve(&c, f))
				n++
			}
			b.ReportMetric((cpuNow()-start)/float64(n), "cpu-ns/op")
			b.ReportMetric(float64(w.o.evals), "evals/op")
		})
	}
}

// BenchmarkOrbitByLoad shows how the cost grows with eccentricity.
func BenchmarkOrbitByLoad(b *testing.B) {
	for _, k := range []float64{0.1, 0.3, 1, 3, 10} {
		b.Run(strconv.FormatFloat(k, 'g', -1, 64), func(b *testing.B) {
			c := demoCase(b, 4000, Map)
			c.Load = c.Load.Scaled(k)
			c.Options.Bare = true
			timeOrbits(b, c)
		})
	}
}

// BenchmarkVelocity is one evaluation.
func BenchmarkVelocity(b *testing.B) {
	for _, f := range []Film{must(NewShortFilm(0.35)), must(NewMapFilm(0.35)), must(NewFieldFilm(0.35, Grid{64, 6})), must(NewFieldFilm(0.35, DefaultGrid)), must(NewFieldFilm(0.35, Grid{192, 12}))} {
		name := string(f.Method())
		if g, ok := f.(*FieldFilm); ok {
			name += map[int]string{64: "_64x6", 96: "_96x8", 192: "_192x12"}[g.r.n]
		}
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			s := State{X: 0.85, Y: 0.1, Wx: 3, Wy: 2, Spin: 0.5}
			n, start := 0, cpuNow()
			for b.Loop() {
				vx, _, _ := f.Velocity(&s)
				s.X = 0.85 + 1e-9*vx // each waits for the last, as in an orbit
				n++
			}
			b.ReportMetric((cpuNow()-start)/float64(n), "cpu-ns/op")
		})
	}
}

// BenchmarkOrbitsAllCores is one map orbit after another on every core, each
// from nothing; the time is that of one while the others run.
func BenchmarkOrbitsAllCores(b *testing.B) {
	c := demoCase(b, 4000, Map)
	c.Options.Bare = true
	b.ReportAllocs()
	b.RunParallel(func(pb *testing.PB) {
		f := must(NewFilm(c))
		var w worker
		for pb.Next() {
			w.forget()
			must(w.solve(&c, f))
		}
	})
}

// BenchmarkSweepAllCores is the same map on as many cores as there are;
// scripts/bench/film_cores.sh runs it with one after another.
func BenchmarkSweepAllCores(b *testing.B) {
	e := demoEngine()
	s := SweepSpec{Bearing: Bearing{Diameter: 0.052, Width: 0.018}, Cycle: e.Cycle, Method: Map, Options: Options{Bare: true}}
	for i := range 20 {
		s.Clearances = append(s.Clearances, (25+3*float64(i))*1e-6)
		s.Speeds = append(s.Speeds, rpm(1000+350*float64(i)))
	}
	for i := range 5 {
		s.Oils = append(s.Oils, Grade{Viscosity: 0.006 + 0.003*float64(i)})
	}
	for b.Loop() {
		must(Sweep(context.Background(), s, nil))
	}
}

// BenchmarkSweep is a map of 20 × 20 × 5.
func BenchmarkSweep(b *testing.B) {
	e := demoEngine()
	s := SweepSpec{Bearing: Bearing{Diameter: 0.052, Width: 0.018}, Cycle: e.Cycle, Method: Map, Options: Options{Bare: true}}
	for i := range 20 {
		s.Clearances = append(s.Clearances, (25+3*float64(i))*1e-6)
		s.Speeds = append(s.Speeds, rpm(1000+350*float64(i)))
	}
	for i := range 5 {
		s.Oils = append(s.Oils, Grade{Viscosity: 0.006 + 0.003*float64(i)})
	}
	for _, workers := range []int{1, 2} {
		b.Run(map[int]string{1: "1_worker", 2: "2_workers"}[workers], func(b *testing.B) {
			s.Workers = workers
			n, start := 0, cpuNow()
			for b.Loop() {
				must(Sweep(context.Background(), s, nil))
				n++
			}
			b.ReportMetric((cpuNow()-start)/float64(n), "cpu-ns/op")
		})
	}
}

// BenchmarkMonteCarlo is 10,000 samples.
func BenchmarkMonteCarlo(b *testing.B) {
	c := demoCase(b, 4000, Map)
	n, start := 0, cpuNow()
	for b.Loop() {
		must(MonteCarlo(context.Background(), c, Spread{Clearance: 3e-6, Temperature: 6, Load: 0.08, Model: 0.25}, func(dt float64) float64 { return math.Exp(-0.03 * dt) }, 10000, 1, nil))
		n++
	}
	b.ReportMetric((cpuNow()-start)/float64(n), "cpu-ns/op")
}

// BenchmarkOrbitByGrid shows how a field orbit grows with the mesh, and
// BenchmarkOrbitBySteps how a map orbit grows with its tolerance.
func BenchmarkOrbitByGrid(b *testing.B) {
	for _, g := range []Grid{{48, 4}, {64, 6}, {96, 8}, {128, 10}} {
		b.Run(strconv.Itoa(g.Around)+"x"+strconv.Itoa(g.Across), func(b *testing.B) {
			c := demoCase(b, 4000, Field)
			c.Options = Options{Bare: true, Grid: g}
			timeOrbits(b, c)
		})
	}
}

func BenchmarkOrbitBySteps(b *testing.B) {
	for _, tol := range []float64{1e-2, 1e-3, 3e-4, 1e-4, 1e-5, 1e-6} {
		b.Run(strconv.FormatFloat(tol, 'g', -1, 64), func(b *testing.B) {
			c := demoCase(b, 4000, Map)
			c.Options = Options{Bare: true, Tolerance: tol}
			timeOrbits(b, c)
		})
	}
}

func timeOrbits(b *testing.B, c Case) {
	f := must(NewFilm(c))
	var w worker
	var r Result
	n, start := 0, cpuNow()
	for b.Loop() {
		w.forget()
		r = must(w.solve(&c, f))
		n++
	}
	b.ReportMetric((cpuNow()-start)/float64(n), "cpu-ns/op")
	b.ReportMetric(float64(w.o.evals), "evals/op")
	b.ReportMetric(float64(r.Steps), "steps")
	b.ReportMetric(r.EccentricityMax, "eccentricity")
}

// BenchmarkSciPyCases are the orbits of scripts/bench/film_scipy.py.
func BenchmarkSciPyCases(b *testing.B) {
	for name, v := range map[string]struct {
		f     func(float64) (float64, float64, float64)
		speed float64
	}{"smooth": {smoothForce, 3000}, "firing": {firingForce, 4000}} {
		b.Run(name, func(b *testing.B) {
			c := Case{Bearing: Bearing{0.05, 0.02, 50e-6}, Viscosity: 0.01, Speed: rpm(v.speed), Load: cycleOf(b, 1440, v.f), Method: Short, Options: Options{Bare: true}}
			f := must(NewFilm(c))
			var w worker
			n, start := 0, cpuNow()
			for b.Loop() {
				w.forget()
				must(w.solve(&c, f))
				n++
			}
			b.ReportMetric((cpuNow()-start)/float64(n), "cpu-ns/op")
		})
	}
}

// TestNoAllocations: the inner loops allocate nothing.
func TestNoAllocations(t *testing.T) {
	for _, m := range []Method{Short, Map, Field} {
		c := demoCase(t, 4000, m)
		c.Options = Options{Grid: Grid{48, 4}, Tolerance: 3e-3}
		f := must(NewFilm(c))
		var w worker
		must(w.solve(&c, f))
		if n := testing.AllocsPerRun(3, func() { w.forget(); must(w.solve(&c, f)) }); n != 0 {
			t.Errorf("%s: %g allocations in an orbit", m, n)
		}
	}
}

// BenchmarkNewMap makes the table of a width ratio not seen before.
func BenchmarkNewMap(b *testing.B) {
	ld := 0.3
	for b.Loop() {
		ld += 1e-9
		must(NewMapFilm(ld))
	}
}
