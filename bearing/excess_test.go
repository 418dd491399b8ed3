// SPDX-License-Identifier: Apache-2.0

package bearing

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.9g, want %.9g ± %.1g", what, got, want, tol)
	}
}

func fourParts() map[Part]Limits {
	return map[Part]Limits{
		HousingBore: {57.000, 57.012}, Journal: {53.952, 53.964},
		UpperShell: {1.497, 1.503}, LowerShell: {1.497, 1.503},
	}
}

// TestExcessByHand: derived by hand. Variances in µm²: bore and journal 144/12 =
// 12 each, shells 36/12 = 3 each, reading 6; together 36. Predicted 48 µm, read
// 84 µm: each part takes its variance/36 of the 36 µm, and keeps v − v²/36.
func TestExcessByHand(t *testing.T) {
	r, err := Excess(ExcessInput{Clearance: Estimate{0.084, math.Sqrt(6) / 1000}, Tolerances: fourParts()})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "predicted", r.PredictedMM, 0.048, 1e-12)
	near(t, "its u", r.PredictedU, math.Sqrt(30)/1000, 1e-12)
	for i, want := range []struct{ shift, variance float64 }{{12, 12 - 4}, {-12, 12 - 4}, {-3, 3 - 0.25}, {-3, 3 - 0.25}} {
		near(t, r.Parts[i].Part.String()+" shift", r.Parts[i].ShiftUM, want.shift, 1e-9)
		near(t, r.Parts[i].Part.String()+" sd", r.Parts[i].SDUM, math.Sqrt(want.variance), 1e-9)
	}
	// 36 µm is three times √36 µm²... the combined uncertainty is 6 µm: not explained.
	if r.Explained {
		t.Error("36 µm beside 2 × 6 µm is not explained")
	}
	if r.MeasureNext == nil || *r.MeasureNext != HousingBore {
		t.Errorf("measure next: %v, want the housing bore: bore and journal tie", r.MeasureNext)
	}
	near(t, "left when measured", r.RemainingU, math.Sqrt(18)/1000, 1e-12)
}

// TestAsFoundPointsAtBoreAndJournal: wide as found and as fitted, the excess is
// in what both share.
func TestAsFoundPointsAtBoreAndJournal(t *testing.T) {
	in := ExcessInput{Clearance: Estimate{0.060, 0.002}, Tolerances: fourParts()}
	alone, err := Excess(in)
	if err != nil {
		t.Fatal(err)
	}
	in.AsFound = &Estimate{0.060, 0.002}
	both, err := Excess(in)
	if err != nil {
		t.Fatal(err)
	}
	if both.Parts[0].ShiftUM <= alone.Parts[0].ShiftUM || math.Abs(both.Parts[2].ShiftUM) >= math.Abs(alone.Parts[2].ShiftUM) {
		t.Errorf("alone %+v, with as found %+v: the bore should shift more, the shells less", alone.Parts, both.Parts)
	}
	if both.PredictedMM != alone.PredictedMM {
		t.Error("the prediction is from the parts alone")
	}
}

func TestMeasureNext(t *testing.T) {
	for _, c := range []struct {
		name     string
		measured []Part
		u        map[Part]float64
		want     Part
		none     bool
	}{
		{name: "ties go to the bore", want: HousingBore},
		{name: "then to the journal", measured: []Part{HousingBore}, want: Journal},
		{name: "then to the upper shell", measured: []Part{HousingBore, Journal}, want: UpperShell},
		{name: "then to the lower shell", measured: []Part{HousingBore, Journal, UpperShell}, want: LowerShell},
		{name: "nothing is left", measured: Parts(), none: true},
		{name: "a better gauge for the journal", u: map[Part]float64{HousingBore: 0.003, Journal: 0.001}, want: Journal},
	} {
		in := ExcessInput{Clearance: Estimate{0.05, 0.003}, Tolerances: fourParts(), Measured: map[Part]Estimate{}, MeasureU: c.u}
		for _, p := range c.measured {
			in.Measured[p] = Estimate{in.Tolerances[p].Mid(), 0.001}
		}
		r, err := Excess(in)
		if err != nil {
			t.Fatal(err)
		}
		if c.none != (r.MeasureNext == nil) || !c.none && *r.MeasureNext != c.want {
			t.Errorf("%s: got %v", c.name, r.MeasureNext)
		}
	}
}

// TestExcessProperties: no spread grows; the parts after the reading make a
// clearance between prediction and reading; a better reading moves more.
func TestExcessProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := ExcessInput{Tolerances: map[Part]Limits{}, Measured: map[Part]Estimate{}}
		for _, p := range Parts() {
			mid := []float64{57, 53.958, 1.5, 1.5}[p]
			half := rapid.Float64Range(0.001, 0.02).Draw(t, "half width")
			in.Tolerances[p] = Limits{mid - half, mid + half}
			if rapid.Bool().Draw(t, "measured") {
				in.Measured[p] = Estimate{mid + rapid.Float64Range(-0.02, 0.02).Draw(t, "value"), rapid.Float64Range(0, 0.004).Draw(t, "u")}
			}
		}
		in.Clearance = Estimate{rapid.Float64Range(0, 0.1).Draw(t, "reading"), rapid.Float64Range(0.001, 0.01).Draw(t, "u")}
		r, err := Excess(in)
		if err != nil {
			t.Fatal(err)
		}
		after, moved := 0.0, 0.0
		for _, p := range r.Parts {
			prior := math.Sqrt(in.Tolerances[p.Part].variance())
			if m, ok := in.Measured[p.Part]; ok {
				prior = m.U
			}
			if p.SDUM > 1000*prior+1e-9 {
				t.Fatalf("%s: spread grew from %g to %g", p.Part, 1000*prior, p.SDUM)
			}
			after += p.Part.sign() * p.MeanMM
			moved += p.Part.sign() * p.ShiftUM / 1000
		}
		lo, hi := math.Min(r.PredictedMM, in.Clearance.Value), math.Max(r.PredictedMM, in.Clearance.Value)
		if after < lo-1e-9 || after > hi+1e-9 {
			t.Fatalf("after: %g, not between %g and %g", after, lo, hi)
		}
		if math.Abs(r.PredictedMM+moved-after) > 1e-9 {
			t.Fatalf("shifts do not add up: %g and %g", r.PredictedMM+moved, after)
		}
	})
}

func TestExcessRefuses(t *testing.T) {
	nan := math.NaN()
	for name, change := range map[string]func(*ExcessInput){
		"no limits":             func(in *ExcessInput) { delete(in.Tolerances, Journal) },
		"limits upside down":    func(in *ExcessInput) { in.Tolerances[Journal] = Limits{54, 53} },
		"no number":             func(in *ExcessInput) { in.Clearance.Value = nan },
		"u below zero":          func(in *ExcessInput) { in.Clearance.U = -1 },
		"as found no number":    func(in *ExcessInput) { in.AsFound = &Estimate{nan, 0} },
		"measured u below zero": func(in *ExcessInput) { in.Measured = map[Part]Estimate{Journal: {54, -1}} },
		"nothing to weigh": func(in *ExcessInput) {
			in.Clearance.U = 0
			in.Measured = map[Part]Estimate{HousingBore: {57, 0}, Journal: {54, 0}, UpperShell: {1.5, 0}, LowerShell: {1.5, 0}}
		},
		"old shell without limits": func(in *ExcessInput) {
			in.AsFound = &Estimate{0.05, 0.01}
			in.Measured = map[Part]Estimate{UpperShell: {1.5, 0}}
			delete(in.Tolerances, UpperShell)
		},
	} {
		in := ExcessInput{Clearance: Estimate{0.05, 0.003}, Tolerances: fourParts()}
		change(&in)
		if _, err := Excess(in); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}

func TestParsePart(t *testing.T) {
	for _, p := range Parts() {
		if got, err := ParsePart(p.String()); err != nil || got != p {
			t.Errorf("%s: got %v, %v", p, got, err)
		}
	}
	if _, err := ParsePart("piston"); err == nil {
		t.Error("a piston is no part of a clearance")
	}
}
