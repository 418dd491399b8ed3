// SPDX-License-Identifier: Apache-2.0

package film

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

func near(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.8g, want %.8g ± %.2g", name, got, want, tol)
	}
}

// nearRel takes a relative tolerance.
func nearRel(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	near(t, name, got, want, tol*math.Abs(want))
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// table reads a CSV of testdata as maps by column.
func table(t testing.TB, file string) []map[string]string {
	t.Helper()
	f, err := os.Open("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range all[1:] {
		m := map[string]string{}
		for i, v := range row {
			m[all[0][i]] = v
		}
		out = append(out, m)
	}
	return out
}

// num reads a number or a ratio such as 1/4.
func num(s string) float64 {
	if len(s) > 2 && s[:2] == "1/" {
		return 1 / num(s[2:])
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

// demoEngine is invented: a four-cylinder petrol engine of two litres.
func demoEngine() Engine {
	return Engine{Crank: Crank{Radius: 0.0435, Rod: 0.144}, Bore: 0.0865, ReciprocatingMass: 0.52, RotatingMass: 0.42,
		Strokes: 4, Gas: Gas{Compression: 11, Intake: 95e3, Peak: 85e5}}
}

func rpm(v float64) float64 { return v * math.Pi / 30 }

// demoCase is the demo engine's big end; its oil is 9 mPa·s.
func demoCase(t testing.TB, speed float64, m Method) Case {
	t.Helper()
	c, err := demoEngine().Cycle(rpm(speed))
	if err != nil {
		t.Fatal(err)
	}
	return Case{Bearing: Bearing{Diameter: 0.052, Width: 0.018, Clearance: 50e-6}, Viscosity: 0.009, Speed: rpm(speed), Load: c, Method: m}
}

// cycleOf samples a formula at even angles over two turns.
func cycleOf(t testing.TB, n int, f func(a float64) (fx, fy, spin float64)) *Cycle {
	t.Helper()
	a, fx, fy, s := make([]float64, n+1), make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
	for i := range n + 1 {
		a[i] = 4 * math.Pi * float64(i) / float64(n)
		fx[i], fy[i], s[i] = f(4 * math.Pi * float64(i%n) / float64(n))
	}
	c, err := NewCycle(a, fx, fy, s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func smoothForce(a float64) (fx, fy, spin float64) {
	return 4000 + 6000*math.Cos(a/2), 3000 * math.Sin(a), 0.5
}

// firingForce is the invented cycle of scripts/bench/film_scipy.py.
func firingForce(a float64) (fx, fy, spin float64) {
	t := math.Mod(a+1, 4*math.Pi) - 1
	fx = 32000*math.Exp(-math.Pow((t-0.35)/0.25, 2)) - 8000*math.Cos(a)
	s := 0.3 * math.Sin(a)
	return fx, 5000*math.Sin(a) - 3000*math.Sin(2*a), 0.5 * (1 + 0.3*math.Cos(a)/math.Sqrt(1-s*s))
}
