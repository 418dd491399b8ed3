// SPDX-License-Identifier: Apache-2.0

package metrology

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// bars is an invented scale with unequal steps.
var bars = StripScale{Graduations: []float64{0.025, 0.038, 0.050, 0.063, 0.076, 0.100}}

func measure(t *testing.T, s StripScale, r StripReading) StripResult {
	t.Helper()
	got, err := s.Measure(r)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func TestStripOneBar(t *testing.T) {
	m := measure(t, bars, StripReading{Front: AtGraduation(0.050)}).Clearance
	// By hand: 0.050 − 0.012/4 to 0.050 + 0.013/4.
	near(t, "value", m.Value, 0.050125, 1e-12)
	near(t, "half width", m.HalfWidth, 0.003125, 1e-12)
	near(t, "u", m.U, 0.06*0.050125, 1e-12)
	if !m.Assumed || m.Side != NotCensored {
		t.Errorf("%+v", m)
	}
}

func TestStripBetween(t *testing.T) {
	m := measure(t, bars, StripReading{Front: BetweenBars(0.038, 0.050)}).Clearance
	near(t, "value", m.Value, 0.044, 1e-12)
	near(t, "half width", m.HalfWidth, 0.006, 1e-12)
	near(t, "u", m.U, 0.06*0.044, 1e-12)
	studied := bars
	studied.RelativeU, studied.CommonRelativeU = 0.04, 0.03
	m = measure(t, studied, StripReading{Front: BetweenBars(0.038, 0.050)}).Clearance
	near(t, "u", m.U, 0.04*0.044, 1e-12)
	near(t, "common", m.CommonU, 0.03*0.044, 1e-12)
	if m.Assumed {
		t.Error("a studied gauge is not assumed")
	}
}

func TestStripEndsOfScale(t *testing.T) {
	more := measure(t, bars, StripReading{Front: AtGraduation(0.100)}).Clearance
	less := measure(t, bars, StripReading{Front: AtGraduation(0.025)}).Clearance
	if more.Side != OrMore || more.Value != 0.100 || less.Side != OrLess || less.Value != 0.025 {
		t.Errorf("%+v %+v", more, less)
	}
	near(t, "quarter of the inner step", more.HalfWidth, 0.006, 1e-12)
}

// Made from the area law, by hand: πd²/4 = 0.0706858 mm² for d = 0.30 mm.
func TestStripWidth(t *testing.T) {
	for w, c := range map[float64]float64{1.4137: 0.0500, 0.9425: 0.0750, 2.8274: 0.0250} {
		near(t, "area law", StripClearance(0.30, w), c, 5e-6)
	}
	s := bars
	s.Diameter, s.DiameterU = 0.30, 0.003
	e := WidthRead(1.4137)
	e.HalfWidth = 0.05
	m := measure(t, s, StripReading{Front: e}).Clearance
	near(t, "value", m.Value, 0.05, 5e-6)
	near(t, "u: 6 % and twice 1 %", m.U, 0.05*math.Hypot(0.06, 0.02), 1e-6)
	near(t, "half width", m.HalfWidth, 0.05*0.05/1.4137, 1e-6)
}

func TestStripEndsDiffer(t *testing.T) {
	rear := AtGraduation(0.050)
	r := measure(t, bars, StripReading{Front: AtGraduation(0.063), Rear: &rear})
	front := measure(t, bars, StripReading{Front: AtGraduation(0.063)}).Clearance
	back := measure(t, bars, StripReading{Front: rear}).Clearance
	near(t, "mean", r.Clearance.Value, (front.Value+back.Value)/2, 1e-12)
	near(t, "6 % is common, it does not shrink", r.Clearance.U, 0.06*r.Clearance.Value, 1e-12)
	near(t, "taper", r.Taper.Value, front.Value-back.Value, 1e-12)
	near(t, "6 % of the taper alone", r.Taper.U, 0.06*r.Taper.Value, 1e-12)
	if !r.EndsDiffer || !r.TaperResolved {
		t.Errorf("one graduation apart is resolved: %+v", r)
	}
	half := BetweenBars(0.050, 0.063)
	if r = measure(t, bars, StripReading{Front: half, Rear: &rear}); r.TaperResolved {
		t.Errorf("half a graduation apart is not resolved: %+v", r)
	}
}

func TestStripEndsDifferCensored(t *testing.T) {
	rear := AtGraduation(0.063)
	r := measure(t, bars, StripReading{Front: AtGraduation(0.100), Rear: &rear})
	if r.Clearance.Side != OrMore || r.Taper.Side != OrMore {
		t.Errorf("%+v", r)
	}
	low := AtGraduation(0.025)
	r = measure(t, bars, StripReading{Front: low, Rear: &rear})
	if r.Clearance.Side != OrLess || r.Taper.Side != OrLess {
		t.Errorf("%+v", r)
	}
	r = measure(t, bars, StripReading{Front: AtGraduation(0.100), Rear: &low})
	if r.Clearance.Side != Unknown || r.Taper.Side != OrMore {
		t.Errorf("%+v", r)
	}
	if d := decide(t, r.Clearance, Between(0, 1), 0.5); d.Verdict != NotProven || d.Open != 1 {
		t.Errorf("%+v", d)
	}
}

func TestStripRefuses(t *testing.T) {
	rear := AtGraduation(0.051)
	thin := bars
	thin.Diameter = 2
	for name, c := range map[string]struct {
		s    StripScale
		r    StripReading
		want error
	}{
		"moved":          {bars, StripReading{Front: AtGraduation(0.050), CrankMoved: true}, ErrCrankMoved},
		"no bar":         {bars, StripReading{Front: AtGraduation(0.051)}, ErrReading},
		"rear, no bar":   {bars, StripReading{Front: AtGraduation(0.050), Rear: &rear}, ErrReading},
		"not neighbours": {bars, StripReading{Front: BetweenBars(0.038, 0.063)}, ErrReading},
		"backwards":      {bars, StripReading{Front: BetweenBars(0.050, 0.038)}, ErrReading},
		"no diameter":    {bars, StripReading{Front: WidthRead(1.4)}, ErrScale},
		"not flattened":  {thin, StripReading{Front: WidthRead(1.4)}, ErrReading},
		"below zero":     {bars, StripReading{Front: ClearanceRead(-0.01)}, ErrReading},
		"NaN":            {bars, StripReading{Front: ClearanceRead(math.NaN())}, ErrReading},
		"no kind":        {bars, StripReading{}, ErrReading},
		"one bar only":   {StripScale{Graduations: []float64{0.05}}, StripReading{Front: AtGraduation(0.05)}, ErrScale},
		"falling":        {StripScale{Graduations: []float64{0.05, 0.04}}, StripReading{Front: AtGraduation(0.05)}, ErrScale},
		"600 %":          {StripScale{Graduations: []float64{0.04, 0.05}, RelativeU: 6}, StripReading{Front: AtGraduation(0.05)}, ErrScale},
	} {
		if _, err := c.s.Measure(c.r); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
}

// A strip that is as wide all along says the same as two equal ends, but for
// their two resolutions.
func TestStripEqualEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := bars.Graduations[rapid.IntRange(1, 4).Draw(t, "bar")]
		rear := AtGraduation(g)
		one, err1 := bars.Measure(StripReading{Front: rear})
		two, err2 := bars.Measure(StripReading{Front: rear, Rear: &rear})
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if one.Clearance.Value != two.Clearance.Value || one.Clearance.U != two.Clearance.U || two.TaperResolved ||
			math.Abs(two.Clearance.HalfWidth-one.Clearance.HalfWidth/math.Sqrt2) > 1e-12 {
			t.Fatalf("%+v and %+v", one, two)
		}
	})
}

func TestCanProve(t *testing.T) {
	o, err := CanProve(bars, Between(0.025, 0.064), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if len(o.Outcomes) != 11 || !o.CanFit() || !o.CanReject() || o.Within+o.Above+o.Below > 11 {
		t.Errorf("%+v", o)
	}
	if d := o.Outcomes[0].Decision; d.Verdict != NotProven {
		t.Errorf("the first bar is the lower limit, it proves nothing: %+v", d)
	}
	if d := o.Outcomes[10].Decision; d.Verdict != Above {
		t.Errorf("the last bar is above: %+v", d)
	}
	narrow, err := CanProve(bars, Between(0.040, 0.044), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if narrow.CanFit() {
		t.Errorf("4 µm can't be proved with a strip: %+v", narrow)
	}
	if _, err := CanProve(StripScale{}, AtMost(1), 0.8); !errors.Is(err, ErrScale) {
		t.Error(err)
	}
	if _, err := CanProve(bars, AtMost(1), 2); !errors.Is(err, ErrConfidence) {
		t.Error(err)
	}
}
