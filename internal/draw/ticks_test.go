// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		n      int
		want   string
	}{
		{0.02, 0.075, 6, "[0.02 0.03 0.04 0.05 0.06 0.07]"},
		{0, 720, 8, "[0 100 200 300 400 500 600 700]"},
		{-1, 1, 4, "[-1 -0.5 0 0.5 1]"},
		{3, 3, 4, "[]"},
		{math.NaN(), 1, 4, "[]"},
		{math.Inf(-1), 1, 4, "[]"},
	} {
		var got []string
		for _, v := range Ticks(c.lo, c.hi, c.n) {
			got = append(got, fmt.Sprintf("%.6g", v))
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("Ticks(%g, %g, %d) = %v, want %s", c.lo, c.hi, c.n, got, c.want)
		}
	}
}

// TestTicksProperties: within the ends, evenly apart, not too many, and told
// apart by their decimals.
func TestTicksProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-1e6, 1e6).Draw(t, "lo")
		width := rapid.Float64Range(1e-4, 1e6).Draw(t, "width")
		n := rapid.IntRange(2, 12).Draw(t, "n")
		ticks := Ticks(lo, lo+width, n)
		if len(ticks) > n+1 {
			t.Fatalf("%d ticks where %d were asked for", len(ticks), n)
		}
		seen := map[string]bool{}
		for i, v := range ticks {
			if slack := 1e-6 * width; v < lo-slack || v > lo+width+slack {
				t.Fatalf("tick %g is outside %g to %g", v, lo, lo+width)
			}
			if i > 0 && v <= ticks[i-1] {
				t.Fatalf("ticks do not rise: %v", ticks)
			}
			seen[fmt.Sprintf("%.*f", stepDecimals(ticks), v)] = true
		}
		if len(seen) != len(ticks) {
			t.Fatalf("ticks look alike: %v", ticks)
		}
	})
}

func TestTextWidth(t *testing.T) {
	// Published: DejaVu Sans 2.37, hmtx table, 2048 units per em: digit one is
	// 1303 units wide, in Bold 1425 (from memory; every digit is as wide as
	// the next, so that numbers stand in columns).
	for _, r := range "0123456789" {
		if got := TextWidth(string(r), 2048, false); got != 1303 {
			t.Errorf("digit %c is %g units wide", r, got)
		}
		if got := TextWidth(string(r), 2048, true); got != 1425 {
			t.Errorf("bold digit %c is %g units wide", r, got)
		}
	}
}
