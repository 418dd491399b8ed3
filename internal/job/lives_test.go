// SPDX-License-Identifier: Apache-2.0

package job

import (
	"math"
	"strings"
	"testing"

	"witnessmark/life"
	"witnessmark/plans"
	"witnessmark/sheets"
	"witnessmark/units"
)

// The workshop's own figures go before the sheet's, those before the plan's;
// each says where it is from, and a guess that it is one.
func TestWhereAChanceIsFrom(t *testing.T) {
	sheet, err := sheets.Named(sheets.V8)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := plans.Named(plans.V8)
	if err != nil {
		t.Fatal(err)
	}
	km := func(x float64) *float64 { return &x }
	own := map[string]OwnLife{"engine_mounts": {life.Weibull{Shape: 1, Scale: 100_000}, 12}}
	for _, c := range []struct {
		name, work string
		needs      Needs
		run        *float64
		want       float64 // by hand
		source     string
		assumed    bool
	}{
		{"own", "engine_mounts", Needs{km(60_000), sheet, own}, km(92_400), 1 - math.Exp(-0.6), "this workshop, 12 jobs", false},
		{"sheet", "engine_mounts", Needs{km(60_000), sheet, nil}, km(92_400), 1 - math.Exp(math.Pow(92.4/150, 2.6)-math.Pow(152.4/150, 2.6)), "engine sheet: Averland AV34 workshop book", false},
		{"sheet by B10 and B50, new", "relief_valve", Needs{km(60_000), sheet, nil}, km(0), 0.1, "engine sheet: ", false},
		{"sheet, a guess", "timing_chain", Needs{km(150_000), sheet, nil}, km(0), 0.1, "engine sheet: common practice", true},
		{"plan, as it stands", "rack_gaiters", Needs{nil, sheet, nil}, km(92_400), 0.35, "plan: the workshop's own notes", false},
		{"plan, a guess", "sump_baffle", Needs{nil, sheet, nil}, km(92_400), 0.05, "plan: a guess", true},
		{"plan, over another distance", "rack_gaiters", Needs{km(120_000), sheet, nil}, km(92_400), 1 - 0.65*0.65, "plan: ", true},
		{"the distance is not known", "engine_mounts", Needs{km(60_000), sheet, own}, nil, 0.45, "plan: ", false},
		{"no horizon, so the plan's distance", "engine_mounts", Needs{nil, nil, own}, km(0), 1 - math.Exp(-0.6), "this workshop", false},
	} {
		advice, _ := plan.AdviceFor(c.work)
		got, _ := c.needs.Of(c.work, advice, c.run)
		if got == nil || math.Abs(got.Value-c.want) > 1e-9 || !strings.HasPrefix(got.Source, c.source) || got.Assumed != c.assumed {
			t.Errorf("%s: %+v, want %.4f from %s, assumed %v", c.name, got, c.want, c.source, c.assumed)
		}
	}
}

func TestHorizonIsOneOfTwo(t *testing.T) {
	km := func(text string) *units.Read {
		r, err := units.Parse(units.KindDistance, text, units.UnitKilometre)
		if err != nil {
			t.Fatal(err)
		}
		return &r
	}
	for _, c := range []struct {
		b    HorizonSet
		km   float64
		says string
	}{
		{HorizonSet{Distance: km("60000 km")}, 60_000, ""},
		{HorizonSet{Years: 4, PerYear: km("15000")}, 60_000, ""},
		{HorizonSet{}, 0, "nothing entered"},
		{HorizonSet{Years: 4}, 0, "how far is driven in a year is missing"},
		{HorizonSet{Years: -1, PerYear: km("15000")}, 0, "horizon -1 years"},
		{HorizonSet{Years: 51, PerYear: km("15000")}, 0, "at most 50 years"},
		{HorizonSet{Years: 4, Distance: km("1")}, 0, "at once"},
		{HorizonSet{Distance: km("0")}, 0, "more than nothing"},
		{HorizonSet{Distance: km("3000000")}, 0, "at most 2000000 km"},
	} {
		err := c.b.check()
		if c.says == "" && (err != nil || c.b.Km() != c.km) || c.says != "" && (err == nil || !strings.Contains(err.Error(), c.says)) {
			t.Errorf("%+v: %v, %g km; want %q", c.b, err, c.b.Km(), c.says)
		}
	}
}
