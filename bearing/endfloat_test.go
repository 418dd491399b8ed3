// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func washer(id string, mm float64, count int) Washer {
	return Washer{ID: id, Thickness: Estimate{mm, 0.002}, Count: count}
}

func TestFloatGap(t *testing.T) {
	// By hand: 0.31 + 2.31 + 2.32 = 4.94; u = √(0.004² + 2·0.002²).
	gap, err := FloatGap(Estimate{0.31, 0.004}, Estimate{2.31, 0.002}, Estimate{2.32, 0.002})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "gap", gap.Value, 4.94, 1e-12)
	near(t, "u", gap.U, math.Sqrt(24e-6), 1e-12)
	for _, err := range []error{
		second(FloatGap(Estimate{-0.1, 0}, Estimate{2, 0})),
		second(FloatGap(Estimate{0.1, -1}, Estimate{2, 0})),
		second(FloatGap(Estimate{math.NaN(), 0}, Estimate{2, 0})),
		second(FloatGap(Estimate{0.1, 0})),
		second(FloatGap(Estimate{0.1, 0}, Estimate{2, 0}, Estimate{2, 0}, Estimate{2, 0})),
		second(FloatGap(Estimate{0.1, 0}, Estimate{0, 0})),
	} {
		if err == nil {
			t.Error("an impossible gap is taken")
		}
	}
}

func TestChooseWashers(t *testing.T) {
	one := []Washer{washer("A", 2.30, 1), washer("B", 2.35, 1), washer("C", 2.40, 1)}
	// By hand: gap 4.85; one of each: A+B 0.20, A+C 0.15, B+C 0.10.
	got, err := ChooseWashers(Estimate{4.85, 0.003}, Limits{0.08, 0.20}, one, 2)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 3 || !slices.Equal(got[0].IDs, []string{"A", "C"}) || !got[0].Within {
		t.Errorf("got %+v", got)
	}
	near(t, "end float", got[0].EndFloat.Value, 0.15, 1e-12)
	near(t, "its u", got[0].EndFloat.U, math.Sqrt(9e-6+8e-6), 1e-12)
	// As many as are asked for: B twice makes 0.15 too, and stands first of the
	// equal ones only in the order of the input.
	many := []Washer{washer("B", 2.35, 0), washer("A", 2.30, 0), washer("C", 2.40, 0)}
	if got, err = ChooseWashers(Estimate{4.85, 0}, Limits{0.08, 0.20}, many, 2); err != nil || len(got) != 6 || !slices.Equal(got[0].IDs, []string{"B", "B"}) {
		t.Errorf("got %+v, %v", got, err)
	}
	single, err := ChooseWashers(Estimate{2.5, 0}, Limits{0.08, 0.16}, one, 1)
	if err != nil || single[0].IDs[0] != "C" || single[2].Within {
		t.Errorf("got %+v, %v", single, err)
	}
	for _, err := range []error{
		second(ChooseWashers(Estimate{}, Limits{0.1, 0.2}, one, 1)),
		second(ChooseWashers(Estimate{5, -1}, Limits{0.1, 0.2}, one, 1)),
		second(ChooseWashers(Estimate{5, 0}, Limits{0.2, 0.1}, one, 1)),
		second(ChooseWashers(Estimate{5, 0}, Limits{0.1, 0.2}, one, 3)),
		second(ChooseWashers(Estimate{5, 0}, Limits{0.1, 0.2}, one[:1], 2)),
		second(ChooseWashers(Estimate{5, 0}, Limits{0.1, 0.2}, []Washer{washer("Z", 0, 1)}, 1)),
		second(ChooseWashers(Estimate{5, 0}, Limits{0.1, 0.2}, []Washer{washer("Z", 2, -1)}, 1)),
	} {
		if err == nil {
			t.Error("bad washers are taken")
		}
	}
}

// Every way is listed once, adds up to the gap, and none is nearer to the middle
// than the first: by trying every pick of single pieces.
func TestChooseWashersAgainstEveryWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		count := rapid.IntRange(1, 2).Draw(t, "count")
		var stock []Washer
		for i := range rapid.IntRange(1, 6).Draw(t, "grades") {
			stock = append(stock, washer(fmt.Sprint(i), float64(rapid.IntRange(2000, 2600).Draw(t, "thickness"))/1000, rapid.IntRange(0, 2).Draw(t, "at hand")))
		}
		gap := Estimate{float64(rapid.IntRange(2100*count, 2900*count).Draw(t, "gap")) / 1000, 0.003}
		limits := Limits{0.08, 0.25}
		got, err := ChooseWashers(gap, limits, stock, count)
		best, ways := math.Inf(1), 0
		for i, a := range stock {
			if count == 1 {
				best, ways = min(best, math.Abs(gap.Value-a.Thickness.Value-limits.Mid())), ways+1
				continue
			}
			for j, b := range stock[i:] {
				if j == 0 && a.Count == 1 {
					continue
				}
				best, ways = min(best, math.Abs(gap.Value-a.Thickness.Value-b.Thickness.Value-limits.Mid())), ways+1
			}
		}
		if ways == 0 {
			if err == nil {
				t.Fatalf("one piece makes two: %+v", got)
			}
			return
		}
		if err != nil || len(got) != ways {
			t.Fatalf("%d ways of %d, %v", len(got), ways, err)
		}
		thick := map[string]float64{}
		for _, w := range stock {
			thick[w.ID] = w.Thickness.Value
		}
		last := 0.0
		for i, c := range got {
			sum := c.EndFloat.Value
			for _, id := range c.IDs {
				sum += thick[id]
			}
			off := math.Abs(c.EndFloat.Value - limits.Mid())
			if math.Abs(sum-gap.Value) > 1e-9 || c.EndFloat.U <= gap.U || off < last-1e-9 || i == 0 && math.Abs(off-best) > 1e-9 || c.Within != limits.Has(c.EndFloat.Value) {
				t.Fatalf("way %d: %+v, best %g, last %g", i, c, best, last)
			}
			last = off
		}
	})
}

// A thicker washer takes its excess off the float, and putting the present ones
// back gives the float that was measured.
func TestChoiceComesBackToTheReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := func(lo, hi int, what string) float64 { return float64(rapid.IntRange(lo, hi).Draw(t, what)) / 1000 }
		float, a, b := Estimate{mm(0, 900, "float"), 0.004}, Estimate{mm(1500, 3000, "front"), 0}, Estimate{mm(1500, 3000, "rear"), 0}
		gap, err := FloatGap(float, a, b)
		if err != nil {
			t.Fatal(err)
		}
		got, err := ChooseWashers(gap, Limits{0.08, 0.25}, []Washer{{"a", a, 1}, {"b", b, 1}}, 2)
		if err != nil || math.Abs(got[0].EndFloat.Value-float.Value) > 1e-9 || math.Abs(got[0].EndFloat.U-float.U) > 1e-12 {
			t.Fatalf("%+v, %v", got, err)
		}
	})
}

func TestSideClearance(t *testing.T) {
	// By hand: 48.30 − 24.00 − 24.02 = 0.28; u = √(3·0.01²).
	c, err := SideClearance(Estimate{48.30, 0.01}, Estimate{24.00, 0.01}, Estimate{24.02, 0.01})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "shared throw", c.Value, 0.28, 1e-12)
	near(t, "u", c.U, 0.01*math.Sqrt(3), 1e-12)
	for _, err := range []error{
		second(SideClearance(Estimate{24, 0})),
		second(SideClearance(Estimate{24, 0}, Estimate{24.1, 0})),
		second(SideClearance(Estimate{24, 0}, Estimate{0, 0})),
	} {
		if err == nil {
			t.Error("bad widths are taken")
		}
	}
}
