// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// brute tries every assignment and returns the least largest departure and the
// least sum of squares at it, µm and µm²; false if there is no assignment.
func brute(in PairingInput) (largest, squares float64, ok bool) {
	type half struct {
		id    string
		wall  float64
		count int
	}
	var shells [2][]half
	for h, list := range [2][]Shell{in.Uppers, in.Lowers} {
		for _, s := range list {
			shells[h] = append(shells[h], half{s.ID, s.Wall, 1})
		}
		for _, g := range in.Grades {
			if (g.Half == Upper) == (h == 0) {
				shells[h] = append(shells[h], half{g.ID, g.Wall, g.Count})
			}
		}
	}
	together := func(u, l string) bool {
		for _, p := range in.Pairs {
			if (p[0] == u) != (p[1] == l) {
				return false
			}
		}
		return true
	}
	var dive func(i int, m, s float64)
	dive = func(i int, m, s float64) {
		if i == len(in.Bores) {
			if !ok || m < largest-1e-6 || m < largest+1e-6 && s < squares {
				largest, squares, ok = m, s, true
			}
			return
		}
		b := in.Bores[i]
		at := slices.IndexFunc(in.Committed, func(c Fitting) bool { return c.Position == b.Position })
		for u := range shells[0] {
			for l := range shells[1] {
				x, y := &shells[0][u], &shells[1][l]
				if x.count == 0 || y.count == 0 || !together(x.id, y.id) {
					continue
				}
				if at >= 0 && (in.Committed[at].Upper != x.id || in.Committed[at].Lower != y.id) {
					continue
				}
				d := 1000 * (b.HousingBore + b.Growth - b.Journal - x.wall - y.wall - in.Target)
				x.count--
				y.count--
				dive(i+1, math.Max(m, math.Abs(d)), s+d*d)
				x.count++
				y.count++
			}
		}
	}
	dive(0, 0, 0)
	return largest, squares, ok
}

// drawInput makes a small set of every kind: spares, bound pairs, commitments,
// grades, coarse and fine walls, outliers.
func drawInput(t *rapid.T) PairingInput {
	n := rapid.IntRange(1, 4).Draw(t, "positions")
	step := rapid.SampledFrom([]float64{0.001, 0.003, 0.0001}).Draw(t, "step")
	spread := rapid.IntRange(0, 12).Draw(t, "spread")
	size := func(base float64, what string) float64 {
		return base + step*float64(rapid.IntRange(-spread, spread).Draw(t, what))
	}
	in := PairingInput{Target: 0.042}
	for i := range n {
		in.Bores = append(in.Bores, Bore{Position: i + 1, HousingBore: size(57, "bore"), Journal: size(53.958, "journal")})
	}
	grades := rapid.IntRange(0, 3).Draw(t, "kind") == 0
	for h, list := range []*[]Shell{&in.Uppers, &in.Lowers} {
		if grades && h == 0 {
			for g := range rapid.IntRange(1, 3).Draw(t, "grades") {
				in.Grades = append(in.Grades, Grade{fmt.Sprintf("G%d", g), size(1.5, "grade"), rapid.IntRange(0, n).Draw(t, "count"), Upper})
			}
			in.Grades = append(in.Grades, Grade{"G9", size(1.5, "grade"), n, Upper})
			continue
		}
		for k := range n + rapid.IntRange(0, 1).Draw(t, "spares") {
			*list = append(*list, Shell{fmt.Sprintf("%c%d", "UL"[h], k), size(1.5, "wall")})
		}
	}
	if !grades && rapid.Bool().Draw(t, "bound") {
		for k := range rapid.IntRange(1, n).Draw(t, "pairs") {
			in.Pairs = append(in.Pairs, [2]string{fmt.Sprintf("U%d", k), fmt.Sprintf("L%d", n-1-k)})
		}
	}
	if !grades && len(in.Pairs) == 0 && rapid.IntRange(0, 2).Draw(t, "commit") == 0 {
		in.Committed = []Fitting{{n, "U0", "L0"}}
	}
	return in
}

// TestPairAgainstBruteForce: on small sets every assignment can be tried.
func TestPairAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t)
		m, s, ok := brute(in)
		got, err := Pair(in, Budget{})
		if !ok {
			if err == nil {
				t.Fatalf("there is no assignment, got %+v", got)
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.LargestDepartureUM-m) > 1e-6 || math.Abs(got.SumOfSquaresUM2-s) > 1e-5 {
			t.Fatalf("got %g µm, %g µm²; every assignment tried: %g µm, %g µm²\n%+v", got.LargestDepartureUM, got.SumOfSquaresUM2, m, s, in)
		}
		if !got.ProvenBest || got.BoundUM != got.LargestDepartureUM || got.SquaresBoundUM2 > got.SumOfSquaresUM2 {
			t.Fatalf("a small set must be proven: %+v", got)
		}
		checkFits(t, in, got)
	})
}

// checkFits holds the fits against the input: every position once, no shell
// twice, pairs together, commitments kept, the figures those of the fits.
func checkFits(t interface{ Fatalf(string, ...any) }, in PairingInput, p Pairing) {
	left := map[string]int{}
	wall := map[string]float64{}
	for _, s := range append(slices.Clone(in.Uppers), in.Lowers...) {
		left[s.ID]++
		wall[s.ID] = s.Wall
	}
	for _, g := range in.Grades {
		left[g.ID] += g.Count
		wall[g.ID] = g.Wall
	}
	var largest, squares float64
	for i, f := range p.Fits {
		b := in.Bores[i]
		left[f.Upper]--
		left[f.Lower]--
		c := b.HousingBore + b.Growth - b.Journal - wall[f.Upper] - wall[f.Lower]
		if f.Position != b.Position || math.Abs(c-f.Clearance) > 1e-6 {
			t.Fatalf("position %d: %+v, clearance by hand %g", b.Position, f, c)
		}
		largest = math.Max(largest, 1000*math.Abs(f.Departure))
		squares += 1e6 * f.Departure * f.Departure
		for _, pair := range in.Pairs {
			if (pair[0] == f.Upper) != (pair[1] == f.Lower) {
				t.Fatalf("the pair %v is split: %+v", pair, p.Fits)
			}
		}
		for _, c := range in.Committed {
			if c.Position == f.Position && (c.Upper != f.Upper || c.Lower != f.Lower) {
				t.Fatalf("commitment %+v is not kept: %+v", c, f)
			}
		}
	}
	for id, n := range left {
		if n < 0 {
			t.Fatalf("%s is handed out too often: %+v", id, p.Fits)
		}
	}
	if len(p.Fits) != len(in.Bores) || math.Abs(largest-p.LargestDepartureUM) > 1e-6 || math.Abs(squares-p.SumOfSquaresUM2) > 1e-5 {
		t.Fatalf("figures %+v are not those of the fits: %g, %g", p, largest, squares)
	}
}
