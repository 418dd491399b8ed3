// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"bufio"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func class(t testing.TB, name string, d float64) Material {
	t.Helper()
	m, err := PropertyClass(name, d)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestYieldLoadTable(t *testing.T) {
	// Published: a catalogue's table after VDI 2230:2001, fine threads, 90 % of
	// R_p0.2. Forces 0.5 % (print and its rounding), torques 2 % with bearing
	// rings of 11.6/9, 14.6/11 and 16.6/13.5 mm (assumed).
	ring := map[string]float64{"M8x1": (11.6 + 9) / 2, "M10x1.25": (14.6 + 11) / 2, "M12x1.25": (16.6 + 13.5) / 2}
	classes := []string{"8.8", "10.9", "12.9"}
	for _, c := range []struct {
		name   string
		mu     float64
		kN, nm [3]float64 // 8.8, 10.9, 12.9
	}{
		{"M8x1", 0.10, [3]float64{20.7, 30.4, 35.6}, [3]float64{22.8, 33.5, 39.2}},
		{"M8x1", 0.12, [3]float64{20.2, 29.7, 34.7}, [3]float64{26.1, 38.3, 44.9}},
		{"M8x1", 0.14, [3]float64{19.7, 28.9, 33.9}, [3]float64{29.2, 42.8, 50.1}},
		{"M10x1.25", 0.10, [3]float64{32.4, 47.5, 55.6}, [3]float64{44, 65, 76}},
		{"M10x1.25", 0.12, [3]float64{31.6, 46.4, 54.3}, [3]float64{51, 75, 87}},
		{"M10x1.25", 0.14, [3]float64{30.8, 45.2, 52.9}, [3]float64{57, 83, 98}},
		{"M12x1.25", 0.10, [3]float64{49.1, 72.1, 84.4}, [3]float64{79, 116, 135}},
		{"M12x1.25", 0.12, [3]float64{48.0, 70.5, 82.5}, [3]float64{90, 133, 155}},
		{"M12x1.25", 0.14, [3]float64{46.8, 68.7, 80.4}, [3]float64{101, 149, 174}},
	} {
		th := thread(t, c.name)
		for i, cl := range classes {
			f := 0.9 * YieldLoad(th, th.StressDiameter(), c.mu, class(t, cl, th.Diameter).Yield)
			near(t, c.name+" "+cl+" kN", f/1000, c.kN[i], 0.005*c.kN[i])
			torque, err := Torque(th, f, c.mu, c.mu, ring[c.name])
			if err != nil {
				t.Fatal(err)
			}
			near(t, c.name+" "+cl+" N·m", torque, c.nm[i], 0.02*c.nm[i])
		}
	}
}

func TestTorqueWorked(t *testing.T) {
	// Derived by hand: M10x1.5, 44.5 kN, µ 0.12, D_km 12.8 mm. With 1/(2·cos 30°)
	// unrounded 72.627 N·m; 0.577 takes 0.017 off.
	th := thread(t, "M10")
	got, err := Torque(th, 44500, 0.12, 0.12, 12.8)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "T", got, 44.5*(1.5/(2*math.Pi)+0.577*9.02572*0.12+0.768), 1e-4)
	near(t, "T unrounded", got, 72.627, 0.018)
	// ISO 16047 quantities of that torque, derived by hand.
	near(t, "K", TorqueCoefficient(72.6272, 44500, 10), 0.163207, 5e-7)
	near(t, "µ_tot", TotalFriction(th, 72.6272, 44500, 12.8), 0.12003, 5e-6)
	back, err := ForceFromTorque(th, got, 0.12, 0.12, 12.8)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "F", back, 44500, 1e-6)
}

func TestForceFromAngle(t *testing.T) {
	// Derived by hand: M10x1.5, 60 mm at 58.0 mm², E 205 GPa, joint 1.5e6 N/mm.
	bolt, joint := 60/(205000*58.0), 1/1.5e6
	near(t, "δ_S", bolt, 5.046257e-6, 5e-13)
	f, err := ForceFromAngle(thread(t, "M10"), 90, bolt, joint)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "F at 90°", f, 65640.6, 0.06)
	f, _ = ForceFromAngle(thread(t, "M10"), 61.014, bolt, joint)
	near(t, "F at 61.014°", f, 44500, 0.5)
	if _, err := ForceFromAngle(thread(t, "M10"), 90, 0, 0); err == nil {
		t.Error("a joint without compliance was accepted")
	}
}

func TestProofAndUltimateLoads(t *testing.T) {
	// Published: ISO 898-1 loads as rounded there, in two copies; 0.5 % for the
	// rounding of the area before the product.
	for _, c := range []struct {
		thread, class string
		proof, break_ float64
	}{
		{"M8", "10.9", 30400, 38100}, {"M10", "10.9", 48100, 60300}, {"M12", "10.9", 70000, 87700},
		{"M8", "12.9", 35500, 44600}, {"M10", "12.9", 56300, 70800}, {"M12", "12.9", 81800, 103000},
	} {
		th := thread(t, c.thread)
		m := class(t, c.class, th.Diameter)
		near(t, c.thread+" proof", m.Proof*th.StressArea(), c.proof, 0.005*c.proof)
		near(t, c.thread+" ultimate", m.Tensile*th.StressArea(), c.break_, 0.005*c.break_)
	}
	for _, bad := range []string{"", "10", "11.9", "10,9"} {
		if _, err := PropertyClass(bad, 10); err == nil {
			t.Errorf("class %q was accepted", bad)
		}
	}
	if _, err := PropertyClass("9.8", 20); err == nil {
		t.Error("9.8 above 16 mm was accepted")
	}
	if class(t, "8.8", 20).Yield != 660 {
		t.Error("8.8 above 16 mm has 660 MPa")
	}
}

func TestTorqueRefuses(t *testing.T) {
	th := thread(t, "M10")
	for _, mu := range []float64{0, -0.1, 1.5, math.NaN(), math.Inf(1)} {
		if _, err := Torque(th, 1000, mu, 0.12, 12); err == nil {
			t.Errorf("thread friction %g was accepted", mu)
		}
		if _, err := ForceFromTorque(th, 10, 0.12, mu, 12); err == nil {
			t.Errorf("head friction %g was accepted", mu)
		}
	}
	if _, err := Torque(th, 1000, 0.12, 0.12, 0); err == nil {
		t.Error("no bearing diameter was accepted")
	}
}

func TestPistonAcceleration(t *testing.T) {
	// Another program's: SymPy, second derivative; scripts/golden/slider.py.
	f, err := os.Open("testdata/slider.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows := 0
	for s := bufio.NewScanner(f); s.Scan(); {
		cells := strings.Split(s.Text(), ",")
		var x [5]float64
		for i, c := range cells {
			if x[i], err = strconv.ParseFloat(c, 64); err != nil {
				break
			}
		}
		if err != nil {
			err = nil
			continue // the heading
		}
		rows++
		near(t, s.Text(), PistonAcceleration(x[0], x[1], x[2], x[3]), x[4], 1e-9*math.Abs(x[4])+1e-6)
	}
	if rows != 45 {
		t.Errorf("%d rows were checked, 45 are there", rows)
	}
	if !math.IsNaN(PistonAcceleration(0, 10, 5, 100)) {
		t.Error("a rod shorter than the crank gave a number")
	}
}

func TestPartingForce(t *testing.T) {
	// Derived by hand: r 40, l 140, 6000 rev/min, 0.5 and 0.4 kg: 0.5 × 20303.186
	// + 0.4 × 0.04 ω² = 16468.140 N.
	f, err := PartingForce(0.5, 0.4, 0, 40, 140, 6000)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "F", f, 16468.140, 0.0005)
	near(t, "a at TDC", PistonAcceleration(0, 40, 140, 6000), 20303.186, 0.0005)
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(20, 60).Draw(t, "r")
		l := rapid.Float64Range(2, 5).Draw(t, "l/r") * r
		rpm := rapid.Float64Range(500, 9000).Draw(t, "rpm")
		// Without rotating mass it is the piston's acceleration at TDC.
		f, err := PartingForce(1, 1e-12, 0, r, l, rpm)
		want := PistonAcceleration(0, r, l, rpm)
		if err != nil || math.Abs(f-want) > 1e-9*want {
			t.Fatalf("%g, %g, %v", f, want, err)
		}
	})
	for _, bad := range [][6]float64{{0, 1, 0, 40, 140, 6000}, {1, 1, 2, 40, 140, 6000}, {1, 1, 0, 40, 30, 6000}, {1, 1, 0, 40, 140, 0}, {1, 1, -1, 40, 140, 6000}} {
		if _, err := PartingForce(bad[0], bad[1], bad[2], bad[3], bad[4], bad[5]); err == nil {
			t.Errorf("%v was accepted", bad)
		}
	}
}
