// SPDX-License-Identifier: Apache-2.0

package film

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestOcvirk: recomputed closed form, NACA TN 2808, six digits printed.
func TestOcvirk(t *testing.T) {
	const ld = 0.5
	for _, r := range table(t, "ocvirk.csv") {
		eps := num(r["eps"])
		n := must(ShortSteady(ld, eps))
		name := "ε " + r["eps"] + ": "
		nearRel(t, name+"S (L/D)²", n.Sommerfeld*ld*ld, num(r["S_times_LD2"]), 1e-5)
		near(t, name+"φ", deg(n.Attitude), num(r["phi_deg"]), 1e-4)
		nearRel(t, name+"side flow", n.SideFlow, num(r["Qs_over_RcNL_leak"]), 1e-5)
		// The exact integrals give the same: V = −½ ẑ×ε under that load.
		f := must(NewShortFilm(ld))
		w := 1 / (math.Pi * n.Sommerfeld)
		s := State{X: eps, Wx: w * math.Cos(n.Attitude), Wy: -w * math.Sin(n.Attitude), Spin: 0.5}
		vx, vy, ok := f.Velocity(&s)
		if !ok {
			t.Fatalf("%sno film", name)
		}
		near(t, name+"Vx", vx, 0, 1e-6)
		near(t, name+"Vy", vy, -eps/2, 1e-6)
	}
}

// TestSqueeze: pure squeeze, closed form and quadrature (SciPy), eight digits.
func TestSqueeze(t *testing.T) {
	f := must(NewShortFilm(0.4))
	for _, r := range table(t, "squeeze.csv") {
		eps, want := num(r["eps"]), num(r["I_exact_closed_form"])
		vx, _, ok := f.Velocity(&State{X: eps, Wx: 1})
		if !ok {
			t.Fatalf("ε %g: no film", eps)
		}
		// F = μ R L³/c² ε̇ I, which is W̄ = 4 (L/D)² V I.
		nearRel(t, "I at ε "+r["eps"], 1/(4*0.16*vx), want, 1e-7)
	}
}

// TestShortIntegrals holds the closed forms against the trapezoid.
func TestShortIntegrals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e, b := rapid.Float64Range(0, 0.9).Draw(t, "e"), rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "b")
		s, c := math.Sincos(b)
		icc, isc, iss := shortIntegrals(e, c, s)
		const n = 20000
		var q [3]float64
		for i := range n {
			sin, cos := math.Sincos(b - math.Pi/2 + math.Pi*(float64(i)+0.5)/n)
			h := math.Pow(1-e*cos, -3) * math.Pi / n
			q[0], q[1], q[2] = q[0]+cos*cos*h, q[1]+sin*cos*h, q[2]+sin*sin*h
		}
		for i, v := range [3]float64{icc, isc, iss} {
			if math.Abs(v-q[i]) > 1e-5*(1+q[0]) {
				t.Fatalf("integral %d = %g, the trapezoid gives %g", i, v, q[i])
			}
		}
	})
}

// TestShortTable: the tabulated short film is the exact one within 5e-5.
func TestShortTable(t *testing.T) {
	f, g := must(NewShortFilm(0.35)), must(newShortMap(0.35))
	rapid.Check(t, func(t *rapid.T) {
		s := drawState(t, 0.999)
		ax, ay, ok1 := f.Velocity(&s)
		bx, by, ok2 := g.Velocity(&s)
		if !ok1 || !ok2 || math.Hypot(ax-bx, ay-by) > 5e-5*math.Hypot(ax, ay) {
			t.Fatalf("%+v: exact (%g, %g) %v, table (%g, %g) %v", s, ax, ay, ok1, bx, by, ok2)
		}
		da, _ := f.Detail(&s)
		db, _ := g.Detail(&s)
		if math.Abs(da.Flow-db.Flow) > 3e-3*da.Flow || math.Abs(da.Couette-db.Couette) > 1e-9*da.Couette {
			t.Fatalf("%+v: exact %+v, table %+v", s, da, db)
		}
	})
}

// drawState draws a position denser towards the wall, and a load.
func drawState(t *rapid.T, limit float64) State {
	e := 1 - math.Pow(1-limit, rapid.Float64Range(0, 1).Draw(t, "thinness"))
	a := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "direction")
	b := a + rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "load")*rapid.Float64Range(0, 1).Draw(t, "spread")
	w := math.Exp(rapid.Float64Range(-3, 6).Draw(t, "size"))
	return State{X: e * math.Cos(a), Y: e * math.Sin(a), Wx: w * math.Cos(b), Wy: w * math.Sin(b), Spin: 0.5}
}

// TestFilmProperties: every method turns with its frame, answers in proportion,
// mirrors, and takes in work.
func TestFilmProperties(t *testing.T) {
	for _, f := range []Film{must(NewShortFilm(0.4)), must(newShortMap(0.4)), must(NewMapFilm(0.4)), must(NewFieldFilm(0.4, Grid{48, 4}))} {
		t.Run(string(f.Method()), func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				s := drawState(t, 0.99)
				vx, vy, ok := f.Velocity(&s)
				if !ok {
					t.Fatalf("no film at %+v", s)
				}
				v := math.Hypot(vx, vy)
				if !(s.Wx*vx+s.Wy*vy > 0) {
					t.Fatalf("the load does no work: V (%g, %g) under (%g, %g)", vx, vy, s.Wx, s.Wy)
				}
				const tol = 2e-3 // the field's set of nodes may differ by one
				turn := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "turn")
				sn, cs := math.Sincos(turn)
				r := State{X: s.X*cs - s.Y*sn, Y: s.X*sn + s.Y*cs, Wx: s.Wx*cs - s.Wy*sn, Wy: s.Wx*sn + s.Wy*cs, Spin: 0.5}
				if x, y, _ := f.Velocity(&r); math.Hypot(x-vx*cs+vy*sn, y-vx*sn-vy*cs) > tol*v {
					t.Fatalf("turned by %g: (%g, %g), before (%g, %g)", turn, x, y, vx, vy)
				}
				m := State{X: s.X, Y: -s.Y, Wx: s.Wx, Wy: -s.Wy, Spin: 0.5}
				if x, y, _ := f.Velocity(&m); math.Hypot(x-vx, y+vy) > tol*v {
					t.Fatalf("mirrored: (%g, %g), before (%g, %g)", x, y, vx, vy)
				}
				d := s
				d.Wx, d.Wy = 3*s.Wx, 3*s.Wy
				if x, y, _ := f.Velocity(&d); math.Hypot(x-3*vx, y-3*vy) > 3*tol*v {
					t.Fatalf("three times the load: (%g, %g), before (%g, %g)", x, y, vx, vy)
				}
			})
		})
	}
}

// TestNoFilmNoNaN: outside its reach a method says so.
func TestNoFilmNoNaN(t *testing.T) {
	nan := math.NaN()
	for _, f := range []Film{must(NewShortFilm(0.4)), must(NewMapFilm(0.4)), must(NewFieldFilm(0.4, Grid{48, 4}))} {
		for _, s := range []State{{X: 1}, {X: 2, Wx: 1}, {X: nan, Wx: 1}, {X: 0.9, Y: 0.9, Wx: 1}, {Y: math.Inf(1)}} {
			if vx, vy, ok := f.Velocity(&s); ok {
				t.Errorf("%s at %+v: (%g, %g)", f.Method(), s, vx, vy)
			}
		}
		s := State{X: 0.5}
		if vx, vy, ok := f.Velocity(&s); !ok || vx != 0 || vy != 0 {
			t.Errorf("%s without load: (%g, %g), %v", f.Method(), vx, vy, ok)
		}
		s = State{Wx: 1} // centred
		vx, vy, ok := f.Velocity(&s)
		if !ok || !(vx > 0) || math.Abs(vy) > 1e-3*vx {
			t.Errorf("%s centred: (%g, %g), %v", f.Method(), vx, vy, ok)
		}
	}
}
