// SPDX-License-Identifier: Apache-2.0

package oil

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func near(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.8g, want %.8g ± %.2g", name, got, want, tol)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func rows(t *testing.T, file string) [][]string {
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
	return all[1:]
}

func TestWalther(t *testing.T) {
	// Another's spreadsheet with T = °C + 273 prints A 9.5259, B 3.7449 and 8.5 mm²/s
	// at 80 °C for (40; 32), (100; 5.4). With 273.15, recomputed by hand:
	w := must(WaltherThrough(40, 32, 100, 5.4))
	near(t, "A", w.A, 9.530815, 1e-6)
	near(t, "B", w.B, 3.746578, 1e-6)
	near(t, "ν(80)", must(w.At(80)), 8.53321, 1e-4)
	// Recomputed by hand from the same equation.
	for _, c := range []struct{ v40, v100, t, want float64 }{
		{100, 11.1, 20, 341.798}, {100, 11.1, 80, 19.4653}, {100, 11.1, 120, 7.0581}, {100, 11.1, 150, 4.1360},
		{91.3, 14.5, 20, 237.815}, {91.3, 14.5, 80, 23.6399}, {91.3, 14.5, 120, 9.6743}, {91.3, 14.5, 150, 5.9228},
		{160, 17.5, 80, 31.1080}, {160, 17.5, 120, 10.9544}, {160, 17.5, 150, 6.2695},
	} {
		w := must(WaltherThrough(40, c.v40, 100, c.v100))
		near(t, "ν", must(w.At(c.t)), c.want, 1e-4*c.want)
	}
}

func TestWaltherProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v100 := rapid.Float64Range(0.6, 100).Draw(t, "v100")
		v40 := v100 * rapid.Float64Range(1.5, 20).Draw(t, "ratio")
		w, err := WaltherThrough(40, v40, 100, v100)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range [][2]float64{{40, v40}, {100, v100}} {
			v, err := w.At(p[0])
			if err != nil || math.Abs(v-p[1]) > 1e-9*p[1] {
				t.Fatalf("ν(%g) = %g, %v; the curve goes through %g", p[0], v, err, p[1])
			}
		}
		a, b := rapid.Float64Range(-20, 150).Draw(t, "a"), rapid.Float64Range(-20, 150).Draw(t, "b")
		va, ea := w.At(a)
		vb, eb := w.At(b)
		if ea == nil && eb == nil && a+0.01 < b && !(va > vb) {
			t.Fatalf("ν(%g) = %g, ν(%g) = %g: must fall", a, va, b, vb)
		}
	})
}

func TestViscosityIndex(t *testing.T) {
	// Published: ASTM D2270, 5.1.4 and 6.1.4 (seen); the third's Y and H from memory.
	near(t, "VI 5.1.4", must(ViscosityIndex(73.30, 8.86)), 92.43, 0.005)
	near(t, "VI 6.1.4 (1)", must(ViscosityIndex(22.83, 5.05)), 156.37, 0.06) // the print rounds H to 28.97
	near(t, "VI 6.1.4 (2)", must(ViscosityIndex(53.47, 7.80)), 111, 0.5)
	l, h := lowHigh(8.86)
	near(t, "L", l, 119.94, 0.005)
	near(t, "H", h, 69.48, 0.005)
	// Equations above 70 mm²/s, seen; by hand.
	l, h = lowHigh(75)
	near(t, "L(75)", l, 5582.8125, 1e-4)
	near(t, "H(75)", h, 1739.000, 1e-3)
	l, h = lowHigh(80)
	near(t, "L(80)", l, 6303.520, 1e-3)
	near(t, "H(80)", h, 1928.760, 1e-3)
	// An oil at L has index 0, at H 100, whichever procedure.
	for _, y := range []float64{2, 5.05, 19.95, 20, 20.1, 30, 30.2, 69.9, 70, 71} {
		l, h := lowHigh(y)
		near(t, "VI at L", must(ViscosityIndex(l, y)), 0, 1e-9)
		near(t, "VI at H", must(ViscosityIndex(h, y)), 100, 1e-9)
	}
	// The table meets the equations at 70 within its own rounding.
	l, h = lowHigh(70)
	near(t, "L(70)", l, 0.8353*4900+14.67*70-216, 2)
	near(t, "H(70)", h, 0.1684*4900+11.85*70-97, 1)
}

// TestIndexTable looks for a mistyped row: second differences stay small
// against the first in each evenly spaced part.
func TestIndexTable(t *testing.T) {
	for name, v := range map[string][]float64{"L": viL[:], "H": viH[:]} {
		for _, part := range [][2]int{{0, 181}, {180, 231}, {230, 311}} {
			p := v[part[0]:part[1]]
			for i := 1; i+1 < len(p); i++ {
				d1, d2 := p[i]-p[i-1], p[i+1]-p[i]
				if !(d1 > 0) || math.Abs(d2-d1) > 0.25*d1 {
					t.Errorf("%s: rows %d to %d step %g then %g", name, part[0]+i-1, part[0]+i+1, d1, d2)
				}
			}
		}
	}
}

func TestJ300(t *testing.T) {
	for _, r := range rows(t, "sae_j300.csv") {
		name, lo, hi, hths := r[0], num(r[1]), num(r[2]), num(r[3])
		names := []string{name}
		if base, list, ok := strings.Cut(name, " ("); ok {
			names = nil
			for _, n := range strings.Fields(strings.TrimSuffix(list, ")")) {
				if n != base {
					names = append(names, n)
				}
			}
		}
		for _, n := range names {
			g, err := ParseGrade(n)
			if err != nil {
				t.Errorf("%s: %v", n, err)
				continue
			}
			if hi == 0 {
				hi = math.Inf(1)
			}
			if g.V100Min != lo || g.V100Max != hi || g.HTHSMin != hths {
				t.Errorf("%s: %g to %g, HTHS %g; the table has %g to %g, %g", n, g.V100Min, g.V100Max, g.HTHSMin, lo, hi, hths)
			}
		}
	}
}

func num(s string) float64 {
	v, _ := strconv.ParseFloat(s, 64)
	return v
}

func TestISO3448(t *testing.T) {
	for _, r := range rows(t, "iso3448.csv") {
		g := must(ParseGrade("ISO VG " + r[0]))
		near(t, r[0]+" low", g.V40Min, num(r[2]), 1e-6*num(r[2]))
		near(t, r[0]+" high", g.V40Max, num(r[3]), 1e-6*num(r[3]))
	}
}

func TestParseGradeRefuses(t *testing.T) {
	for _, s := range []string{"", "W", "-", "7W-40", "5W-35", "VG", "VG 47", "VG 46.5", "5W-40-50", "40-5W", "25W-16"} {
		if g, err := ParseGrade(s); err == nil {
			t.Errorf("%q was read as %+v", s, g)
		}
	}
	for in, want := range map[string]string{"5w40": "5W-40", " SAE 5W-40 ": "5W-40", "sae30": "30", "iso-vg 46": "", "vg46": "VG 46"} {
		g, err := ParseGrade(in)
		if (want == "") != (err != nil) || g.Name != want {
			t.Errorf("%q: %q, %v; want %q", in, g.Name, err, want)
		}
	}
}

func FuzzParseGrade(f *testing.F) {
	for _, s := range []string{"5W-40", "SAE 30", "VG 46", "0w16", "10W", "25W-60", "W-", "5W--40"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		g, err := ParseGrade(s)
		if err != nil {
			return
		}
		again, err := ParseGrade(g.Name)
		if err != nil || again != g {
			t.Errorf("%q became %q, which reads as %+v, %v", s, g.Name, again, err)
		}
		b, err := g.Band()
		if err != nil {
			t.Fatalf("%q: %v", s, err)
		}
		for _, o := range []Oil{b.Low, b.Mid, b.High} {
			if _, err := o.Prepare(); err != nil {
				t.Errorf("%q: %v", s, err)
			}
		}
	})
}

// TestBands: every oil of a band lies in its grade and is said to be assumed.
func TestBands(t *testing.T) {
	for w := range j300Winter {
		for hot := range j300Hot {
			g, err := ParseGrade(w + "-" + hot)
			if err != nil {
				continue // 25W-16: no oil can be both
			}
			b := must(g.Band())
			last := 0.0
			for _, o := range []Oil{b.Low, b.Mid, b.High} {
				m := must(o.Prepare())
				h := must(m.Sheared(HTHSTemperature, HTHSRate))
				if h < g.HTHSMin*(1-1e-9) {
					t.Errorf("%s: %.5g mPa·s is under the floor %g", g.Name, h, g.HTHSMin)
				}
				v := must(m.Kinematic(100))
				if v < g.V100Min*(1-1e-9) || v > g.V100Max*(1+1e-9) {
					t.Errorf("%s: %.5g mm²/s is outside the grade", g.Name, v)
				}
				if s := must(m.Sheared(100, 1e6)); !(s > last) {
					t.Errorf("%s: the band is out of order at 100 °C", g.Name)
				} else {
					last = s
				}
				if len(m.Oil().Assumed) < 2 {
					t.Errorf("%s: says too little about what was assumed: %q", g.Name, m.Oil().Assumed)
				}
			}
		}
	}
}

func TestShear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v100 := rapid.Float64Range(7, 20).Draw(t, "v100")
		o := Oil{V40: v100 * rapid.Float64Range(5, 8).Draw(t, "ratio"), V100: v100}
		eta150 := must(must(o.Prepare()).Dynamic(150))
		o.HTHS = eta150 * rapid.Float64Range(0.6, 0.98).Draw(t, "q")
		m, err := o.Prepare()
		if err != nil {
			t.Fatal(err)
		}
		if h := must(m.Sheared(150, 1e6)); math.Abs(h-o.HTHS) > 1e-9*o.HTHS {
			t.Fatalf("η(150, 10⁶) = %g, the curve goes through %g", h, o.HTHS)
		}
		temp, rate := rapid.Float64Range(20, 150).Draw(t, "t"), rapid.Float64Range(1, 1e8).Draw(t, "rate")
		eta0, eta := must(m.Dynamic(temp)), must(m.Sheared(temp, rate))
		if eta > eta0*(1+1e-12) || eta < m.ratio*eta0 || must(m.Sheared(temp, 2*rate+1)) > eta*(1+1e-12) {
			t.Fatalf("η = %g of η0 = %g: must fall with rate and stay above η∞", eta, eta0)
		}
		// Cross's equation with exponent one is the same curve.
		inf := m.ratio * eta0
		cross := inf + (eta0-inf)/(1+eta0*1e-3*rate/m.k)
		if math.Abs(cross-eta) > 1e-12*eta {
			t.Fatalf("Cross gives %g, got %g", cross, eta)
		}
	})
}

func TestBadOils(t *testing.T) {
	nan := math.NaN()
	for _, o := range []Oil{
		{V40: nan, V100: 10}, {V40: 60, V100: nan}, {V40: 60, V100: 0}, {V40: 10, V100: 60}, {V40: 10, V100: 10},
		{V40: 60, V100: 10, Density15: nan}, {V40: 60, V100: 10, Density15: 5}, {V40: 60, V100: 10, HTHS: nan},
		{V40: 60, V100: 10, HTHS: 9}, {V40: 60, V100: 10, HTHS: -1}, {V40: 60, V100: 10, HTHS: 0.1},
		{V40: 60, V100: 10, HTHS: 2.6, SecondNewtonian: 0.99}, {V40: math.Inf(1), V100: 10},
	} {
		if _, err := o.Prepare(); err == nil {
			t.Errorf("%+v was accepted", o)
		}
	}
	m := must(Oil{V40: 60, V100: 10}.Prepare())
	var re *RangeError
	if _, err := m.Dynamic(nan); !errors.As(err, &re) {
		t.Errorf("NaN °C: %v", err)
	}
	if _, err := m.Sheared(100, -1); !errors.As(err, &re) {
		t.Errorf("negative rate: %v", err)
	}
	if _, err := ViscosityIndex(20, 1.9); !errors.As(err, &re) {
		t.Errorf("below 2 mm²/s: %v", err)
	}
}

func TestDensity(t *testing.T) {
	m := must(Oil{V40: 60, V100: 10, Density15: 870}.Prepare())
	near(t, "ρ(15)", must(m.Density(15)), 870, 1e-9)
	// Lubricating oils lose about 0.6 to 0.7 kg/m³ per °C. Common practice, no source.
	if s := (must(m.Density(100)) - 870) / 85; s > -0.55 || s < -0.7 {
		t.Errorf("slope %.3f kg/m³K", s)
	}
}

func TestBarus(t *testing.T) {
	// By hand: exp(0.02·p).
	near(t, "10 MPa", must(Barus(20, 10)), 1.2214, 5e-5)
	near(t, "50 MPa", must(Barus(20, 50)), 2.7183, 5e-5)
	near(t, "100 MPa", must(Barus(20, 100)), 7.3891, 5e-5)
	// Every coefficient of the published table is taken.
	for _, r := range rows(t, "pressure_viscosity.csv") {
		for _, a := range r[4:] {
			if a == "" {
				continue
			}
			if _, err := Barus(num(a), 50); err != nil {
				t.Errorf("%s: %v", r[0], err)
			}
		}
	}
	for _, bad := range [][2]float64{{math.NaN(), 1}, {20, math.NaN()}, {20, -1}, {20, 101}, {0, 1}} {
		if _, err := Barus(bad[0], bad[1]); err == nil {
			t.Errorf("Barus(%v) was accepted", bad)
		}
	}
}

// The temperature found has the viscosity asked for, and D341's own points are
// found again.
func TestTemperatureAt(t *testing.T) {
	m, err := Oil{V40: 84, V100: 13.9}.Prepare()
	if err != nil {
		t.Fatal(err)
	}
	for want, v := range map[float64]float64{40: 84, 100: 13.9} {
		got, err := m.TemperatureAt(v)
		if err != nil || math.Abs(got-want) > 1e-6 {
			t.Errorf("%g mm²/s at %g °C, want %g (%v)", v, got, want, err)
		}
	}
	if _, err := m.TemperatureAt(1e7); err == nil {
		t.Error("no oil of this curve is that thick")
	}
}
