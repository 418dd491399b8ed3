// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"math"
	"testing"
)

func TestAgainstNeighbours(t *testing.T) {
	// By hand: mean 42, s² = (4+0+4)/2 = 4, u² = 9 + 4·4/3 µm².
	others := []Estimate{{0.040, 0.003}, {0.042, 0.003}, {0.044, 0.003}}
	b, err := AgainstNeighbours(Estimate{0.055, 0.003}, others)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "difference", b.Difference, 0.013, 1e-12)
	near(t, "u", b.U, math.Sqrt(9+16.0/3)/1000, 1e-12)
	if !b.StandsOut {
		t.Error("13 µm beside 2 × 3.8 µm stands out")
	}
	if b, _ := AgainstNeighbours(Estimate{0.047, 0.003}, others); b.StandsOut {
		t.Error("5 µm does not stand out")
	}
	for _, err := range []error{
		second(AgainstNeighbours(Estimate{0.05, 0.003}, others[:2])),
		second(AgainstNeighbours(Estimate{math.NaN(), 0.003}, others)),
		second(AgainstNeighbours(Estimate{0.05, 0.003}, append(others[:3:3], Estimate{0.05, -1}))),
	} {
		if err == nil {
			t.Error("bad neighbours are taken")
		}
	}
}
