// SPDX-License-Identifier: Apache-2.0

package fastener

import (
	"math"
	"strings"
	"testing"
)

func stretchCase(t testing.TB) StretchCase {
	t.Helper()
	c := inventedCase(t)
	return StretchCase{Bolt: c.Bolt, Material: c.Material, FreeBefore: 52.010, Tight: 52.110}
}

func TestStretchPreload(t *testing.T) {
	c := stretchCase(t)
	c.LengthU = 0.002
	b, _ := c.Bolt.Compliance()
	r, err := StretchPreload(c)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "stretch", r.Stretch, 0.1, 1e-12)
	near(t, "preload", r.Preload, 0.1/b.Stretch(), 1e-6)
	near(t, "its uncertainty", r.PreloadU, 0.002*math.Sqrt2/b.Stretch(), 1e-6)
	if r.PastYield || r.UsesLeft != -1 || r.Spent || !math.IsNaN(r.PermanentGrowth) || !math.IsNaN(r.LengthLeft) {
		t.Errorf("nothing else was read: %+v", r)
	}

	// Agrees with the stage: tightened to the same stretch, the same load.
	cc := exact(inventedCase(t))
	cc.Stages = []Stage{{StretchMM: 0.1}}
	near(t, "as a stage", preload(t, cc).Likely, r.Preload, 1e-6)

	// Past yield the load is the least yield load in tension, not more.
	c.Tight = 52.4
	r, err = StretchPreload(c)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "at yield", r.Preload, 940*circleArea(c.Bolt.SmallestDiameter()), 1e-6)
	if !r.PastYield {
		t.Error("0.39 mm of stretch is past yield")
	}
}

func TestStretchUses(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*StretchCase)
		uses   int
		spent  string
		growth float64
	}{
		{"three of five", func(c *StretchCase) { c.UsesMade, c.UsesAllowed = 2, 5 }, 3, "", math.NaN()},
		{"single use, used", func(c *StretchCase) { c.UsesMade, c.UsesAllowed = 1, 1 }, 0, "1 allowed", math.NaN()},
		{"growth decides", func(c *StretchCase) { c.FreeAfter, c.LengthLimit, c.UsesAllowed = 52.020, 52.045, 9 }, 2, "", 0.010},
		{"count decides", func(c *StretchCase) { c.FreeAfter, c.LengthLimit, c.UsesMade, c.UsesAllowed = 52.020, 52.045, 8, 9 }, 1, "", 0.010},
		{"too long", func(c *StretchCase) { c.FreeAfter, c.LengthLimit = 52.060, 52.045 }, 0, "52.05 mm allowed", 0.050},
		{"next time too long", func(c *StretchCase) { c.FreeAfter, c.LengthLimit = 52.030, 52.045 }, 0, "left to its limit", 0.020},
		{"since new", func(c *StretchCase) { c.FreeNew, c.FreeAfter = 52.000, 52.020 }, -1, "", 0.020},
		{"no growth", func(c *StretchCase) { c.FreeAfter, c.LengthLimit = 52.010, 52.045 }, -1, "", 0},
	} {
		s := stretchCase(t)
		c.change(&s)
		r, err := StretchPreload(s)
		if err != nil {
			t.Fatal(err)
		}
		if r.UsesLeft != c.uses || r.Spent != (c.spent != "") || !strings.Contains(r.Why, c.spent) {
			t.Errorf("%s: %d uses left, spent %v %q; want %d, %q", c.name, r.UsesLeft, r.Spent, r.Why, c.uses, c.spent)
		}
		if !(math.Abs(r.PermanentGrowth-c.growth) < 1e-9) && !math.IsNaN(c.growth) {
			t.Errorf("%s: grew %g, want %g", c.name, r.PermanentGrowth, c.growth)
		}
	}
}

func TestStretchRefuses(t *testing.T) {
	for want, change := range map[string]func(*StretchCase){
		"free length before": func(c *StretchCase) { c.FreeBefore = 0 },
		"length under load":  func(c *StretchCase) { c.Tight = 52 },
		"free length after":  func(c *StretchCase) { c.FreeAfter = 5.2 },
		"uncertainty":        func(c *StretchCase) { c.LengthU = -1 },
		"no segments":        func(c *StretchCase) { c.Bolt.Segments = nil },
	} {
		c := stretchCase(t)
		change(&c)
		if _, err := StretchPreload(c); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}
