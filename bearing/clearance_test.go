// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"math"
	"testing"
)

func TestFromParts(t *testing.T) {
	// By hand: 57.010 − 1.500 − 1.501 + 0.006 − 53.965 = 0.050; u = √(4+1+1+1+9) = 4 µm.
	s := Sizes{
		Journal: Estimate{53.965, 0.002}, HousingBore: &Estimate{57.010, 0.003},
		Upper: &Estimate{1.500, 0.001}, Lower: &Estimate{1.501, 0.001}, Growth: Estimate{0.006, 0.001},
	}
	c, shares, err := FromParts(s)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "clearance", c.Value, 0.050, 1e-12)
	near(t, "u", c.U, 0.004, 1e-12)
	if len(shares) != 5 || shares[1] != (Share{"housing_bore", 1, 0.003}) {
		t.Errorf("shares: %+v", shares)
	}
	// With the shells in, the crush is in the bore already.
	s.ShellBore = &Estimate{54.012, 0.0015}
	c, shares, err = FromParts(s)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "with shells in", c.Value, 0.047, 1e-12)
	near(t, "u", c.U, 0.0025, 1e-12)
	if len(shares) != 2 {
		t.Errorf("shares: %+v", shares)
	}
	for _, bad := range []Sizes{
		{Journal: Estimate{53.9, 0}},
		{Journal: Estimate{54.1, 0}, ShellBore: &Estimate{54, 0}},
		{Journal: Estimate{0, 0}, ShellBore: &Estimate{54, 0}},
		{Journal: Estimate{53, math.NaN()}, ShellBore: &Estimate{54, 0}},
		{Journal: Estimate{53, 0}, HousingBore: &Estimate{57, 0}, Upper: &Estimate{0, 0}, Lower: &Estimate{1.5, 0}},
	} {
		if _, _, err := FromParts(bad); err == nil {
			t.Errorf("taken: %+v", bad)
		}
	}
}

func TestCompareStrip(t *testing.T) {
	// By hand: u 3 and 4 µm, U = 10 µm: 9 µm apart is 0.9.
	c, err := CompareStrip(Estimate{0.059, 0.003}, Estimate{0.050, 0.004})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "normalised error", c.NormalisedError, 0.9, 1e-9)
	// Weights 1/9 and 1/16: (59·16 + 50·9)/25 = 55.76, u = 12/5.
	near(t, "combined", c.Combined.Value, 0.05576, 1e-12)
	near(t, "its u", c.Combined.U, 0.0024, 1e-12)
	for _, x := range []struct {
		strip, parts float64
		want         string
	}{{0.004, 0.002, "strip"}, {0.002, 0.002, "strip"}, {0.002, 0.004, "parts"}} {
		c, err := CompareStrip(Estimate{0.070, x.strip}, Estimate{0.045, x.parts})
		if err != nil || c.Agree || c.Repeat != x.want {
			t.Errorf("u %g and %g: %+v, %v", x.strip, x.parts, c, err)
		}
	}
	if _, err := CompareStrip(Estimate{0.05, 0}, Estimate{0.05, 0}); err == nil {
		t.Error("two exact readings can't be weighed")
	}
}

func second[T any](_ T, err error) error { return err }
