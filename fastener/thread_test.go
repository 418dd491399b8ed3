// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"math"
	"testing"
)

func thread(t testing.TB, s string) Thread {
	t.Helper()
	th, err := ParseThread(s)
	if err != nil {
		t.Fatal(err)
	}
	return th
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g ± %.2g", what, got, want, tol)
	}
}

func TestThreadSizes(t *testing.T) {
	// Recomputed from the formulas of ISO 724 and ISO 898-1 by an independent
	// calculation, four decimals; tolerance half the last digit.
	for _, c := range []struct {
		name       string
		d2, d3, as float64
	}{
		{"M6x1", 5.3505, 4.7731, 20.123},
		{"M8x1.25", 7.1881, 6.4664, 36.609},
		{"M8x1", 7.3505, 6.7731, 39.167},
		{"M9x1", 8.3505, 7.7731, 51.045},
		{"M10", 9.0257, 8.1597, 57.990},
		{"M10x1.25", 9.1881, 8.4664, 61.199},
		{"M11x1.25", 10.1881, 9.4664, 75.850},
		{"M12x1.25", 11.1881, 10.4664, 92.072},
	} {
		th := thread(t, c.name)
		near(t, c.name+" d2", th.PitchDiameter(), c.d2, 0.00005)
		near(t, c.name+" d3", th.CoreDiameter(), c.d3, 0.00005)
		near(t, c.name+" A_s", th.StressArea(), c.as, 0.0005)
	}
	// ISO 724 table, from memory: M10 has d1 = 8.376 mm.
	near(t, "M10 d1", thread(t, "M10").MinorDiameter(), 8.376, 0.0005)
	// ASME B1.1, from memory: 3/8-24 UNF has a stress area of 0.0878 in².
	near(t, "3/8-24 area", thread(t, "3/8-24 UNF").StressArea()/(mmPerInch*mmPerInch), 0.0878, 0.00005)
	near(t, "1/2-13 area", thread(t, "1/2-13").StressArea()/(mmPerInch*mmPerInch), 0.1419, 0.00005)
}

func TestParseThread(t *testing.T) {
	for s, want := range map[string]struct {
		d, p   float64
		listed bool
		name   string
	}{
		"M9x1":         {9, 1, true, "M9x1"},
		"M 9 × 1":      {9, 1, true, "M9x1"},
		"m10":          {10, 1.5, true, "M10"},
		"M10x1,25-6g":  {10, 1.25, true, "M10x1.25"},
		"M8-5g6g":      {8, 1.25, true, "M8"},
		"M10x1.1":      {10, 1.1, false, "M10x1.1"},
		"M11x1.25":     {11, 1.25, false, "M11x1.25"},
		"M9.5x1":       {9.5, 1, false, "M9.5x1"},
		"3/8-24":       {9.525, 25.4 / 24, true, "3/8-24 UNF"},
		"3/8 UNF":      {9.525, 25.4 / 24, true, "3/8-24 UNF"},
		"3/8-16 UNC":   {9.525, 25.4 / 16, true, "3/8-16 UNC"},
		`3/8"-24 unf`:  {9.525, 25.4 / 24, true, "3/8-24 UNF"},
		"0.375-20":     {9.525, 25.4 / 20, false, "0.375-20"},
		"#10-32":       {4.826, 25.4 / 32, true, "#10-32 UNF"},
		"10-24":        {4.826, 25.4 / 24, true, "10-24 UNC"},
		"1 1/8-12 UNF": {28.575, 25.4 / 12, true, "1 1/8-12 UNF"},
		"1-8 UNC":      {25.4, 25.4 / 8, true, "1-8 UNC"},
	} {
		th, err := ParseThread(s)
		if err != nil {
			t.Errorf("%q: %v", s, err)
			continue
		}
		near(t, s+" d", th.Diameter, want.d, 1e-9)
		near(t, s+" P", th.Pitch, want.p, 1e-12)
		if th.Listed != want.listed || th.Name != want.name {
			t.Errorf("%q: listed %v, name %q; want %v, %q", s, th.Listed, th.Name, want.listed, want.name)
		}
	}
	for _, s := range []string{
		"", "M", "M0", "M0x1", "M-9x1", "M9x0", "M9x-1", "M9x9", "M10x15", "M9.3", "M15", "M9x", "Mx1", "M9x1x2", "M9x1e0",
		"MNaNx1", "MInfx1", "M1e3x1", "M2000x6", "3/8", "3/8-0", "3/8-20 UNF", "8/3-24", "0/8-24", "#13-24", "3/8-3", "G1/4", "9x1", "M9x0.05",
	} {
		if th, err := ParseThread(s); err == nil {
			t.Errorf("%q was read as %+v; it cannot be", s, th)
		}
	}
}

func TestThreadListFits(t *testing.T) {
	// Every listed pitch makes a thread that can be, and every coarse pitch is
	// the greatest of its row.
	for d, row := range iso261 {
		for i, p := range row {
			if p == 0 && i == 0 {
				continue
			}
			if err := (Thread{Name: "M", Diameter: d, Pitch: p}).Check(); err != nil {
				t.Errorf("M%gx%g: %v", d, p, err)
			}
			if i > 0 && row[i-1] != 0 && p >= row[i-1] {
				t.Errorf("M%g: pitches %v do not fall", d, row)
			}
		}
	}
	for d, row := range unified {
		if row.fine <= row.coarse {
			t.Errorf("unified %g: fine %g, coarse %g", d, row.fine, row.coarse)
		}
	}
}

func FuzzParseThread(f *testing.F) {
	for _, s := range []string{"M9x1", "M10", "M10x1,25-6g", "3/8-24 UNF", "1 1/8-12", "#10-32", "M9×1", "-", "UNF", "M9x1e9"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		th, err := ParseThread(s)
		if err != nil {
			return
		}
		if !(th.CoreDiameter() > 0 && th.CoreDiameter() < th.PitchDiameter() && th.PitchDiameter() < th.Diameter && th.StressArea() > 0) {
			t.Fatalf("%q gives %+v", s, th)
		}
		again, err := ParseThread(th.Name)
		if err != nil || math.Abs(again.Diameter-th.Diameter) > 1e-9 || math.Abs(again.Pitch-th.Pitch) > 1e-9 {
			t.Fatalf("%q is named %q, which reads as %+v, %v", s, th.Name, again, err)
		}
	})
}
