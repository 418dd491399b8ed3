// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"math"
	"testing"

	"witnessmark/units"
)

// By hand: beam and plate cost 462.00 + 27.57 alone; beside paint (roof off
// already) they add 282.00 + 27.57.
func TestWeigh(t *testing.T) {
	p := load(t, small)
	e, err := p.Estimate(Request{Want: []string{"paint"}, Offer: []string{"beam"}})
	if err != nil {
		t.Fatal(err)
	}
	n, err := p.Weigh(e.Offers[0], &LifeChance{Value: 0.5, Source: "notes", Assumed: true})
	if err != nil {
		t.Fatal(err)
	}
	if n.Now.String() != "309.57" || n.Later.String() != "489.57" || math.Abs(n.BreakEven-309.57/489.57) > 1e-12 {
		t.Errorf("%+v", n)
	}
	if n.Expected.String() != "244.79" || !n.Assumed || n.Source != "notes" { // half of 489.57, half up
		t.Errorf("%+v", n)
	}
	if pays, known := n.PaysNow(); pays || !known {
		t.Error("a chance of 0.5 is below the break-even of 0.63")
	}
	if n, err = p.Weigh(e.Offers[0], nil); err != nil || n.Chance != nil {
		t.Error(n, err)
	}
	if _, known := n.PaysNow(); known {
		t.Error("no chance is known")
	}
	if _, err = p.Weigh(e.Offers[0], &LifeChance{Value: 1.5}); err == nil {
		t.Error("a chance of 1.5 is taken")
	}
}

// By hand: 0.3 within 10 000 km is 1 − 0.7² = 0.51 within 20 000 km.
func TestChanceOver(t *testing.T) {
	c := Chance{Value: 0.3, Within: units.Distance(10_000), Source: "notes"}
	if x := c.Over(10_000); x.Value != 0.3 || x.Assumed {
		t.Error(x)
	}
	if x := c.Over(20_000); math.Abs(x.Value-0.51) > 1e-12 || !x.Assumed {
		t.Error(x)
	}
	if x := c.Over(0); x.Value != 0 {
		t.Error(x)
	}
	if x := (Chance{Value: 1, Within: 10_000}).Over(1); x.Value != 1 {
		t.Error(x)
	}
}

func TestAdviceFits(t *testing.T) {
	a, _ := load(t, small).AdviceFor("paint") // built until June 2020, up to 90 000 km
	day := func(text string) *Date {
		d := new(Date)
		if err := d.UnmarshalText([]byte(text)); err != nil {
			t.Fatal(err)
		}
		return d
	}
	km := func(x float64) *float64 { return &x }
	for _, c := range []struct {
		built *Date
		km    *float64
		want  bool
	}{{nil, nil, true}, {day("2020-06-30"), nil, true}, {day("2020-07-01"), nil, false}, {nil, km(90_000), true}, {nil, km(90_001), false}} {
		if got := a.Fits(c.built, c.km); got != c.want {
			t.Errorf("%v %v: %v", c.built, c.km, got)
		}
	}
}
