// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestSelectAt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(-3, 3), 1, 60).Draw(t, "x")
		if rapid.Bool().Draw(t, "ties") {
			for i := range x {
				x[i] = float64(int(x[i]))
			}
		}
		k := rapid.IntRange(0, len(x)-1).Draw(t, "k")
		sorted := slices.Sorted(slices.Values(x))
		got := selectAt(x, k)
		if got != sorted[k] || slices.Max(x[:k+1]) != got || slices.Min(x[k:]) != got {
			t.Fatalf("element %d is %g, sorting gives %g; %v", k, got, sorted[k], x)
		}
		if !slices.Equal(slices.Sorted(slices.Values(x)), sorted) {
			t.Fatal("elements were lost")
		}
	})
}

func TestQuantile(t *testing.T) {
	// Derived by hand, R's type 7: places 1.1, 3 and 4.9 of 1, 2, 4, 8, 16, so 1 +
	// 0.1·1, 4, 8 + 0.9·8.
	i, mid := quantiles([]float64{16, 1, 8, 2, 4})
	near(t, "2.5 %", i.Min, 1.1, 1e-12)
	near(t, "50 %", mid, 4, 0)
	near(t, "97.5 %", i.Max, 15.2, 1e-12)
	i, mid = quantiles([]float64{7})
	if i != (Interval{7, 7}) || mid != 7 {
		t.Errorf("of one: %v, %g", i, mid)
	}
}
