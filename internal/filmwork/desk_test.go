// SPDX-License-Identifier: Apache-2.0

package filmwork

import (
	"context"
	"math"
	"strings"
	"testing"

	"witnessmark/engine"
	"witnessmark/sheets"
)

func v8(t *testing.T) *engine.Sheet {
	t.Helper()
	s, err := sheets.Named(sheets.V8)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func ask(t *testing.T) Ask {
	a := Ask{Sheet: v8(t)}
	for i, mm := range []float64{0.042, 0.043, 0.044, 0.068} {
		a.Positions = append(a.Positions, Position{Position: i + 1, Cylinder: "A", Fitted: &Clearance{MM: mm, U: 0.003}})
	}
	return a
}

// The whole of an engine: the wide position has the thinnest film, oils and
// places are all there, and the ratio's spread is narrower than the film's,
// because the model's doubt is common to all.
func TestWhole(t *testing.T) {
	a := ask(t)
	a.Positions[3].Shape = &Shape{JournalOvality: 0.006, U: 0.001}
	st := NewDesk().Wait(t.Context(), a)
	if !st.Whole() {
		t.Fatalf("%+v", st)
	}
	r := st.Result
	if len(r.Oils) != 2 || len(r.Positions) != 4 || len(r.Reference) != 2 || r.Map == nil {
		t.Fatalf("%d of %d pieces, %d oils, %d positions", st.Done, st.Total, len(r.Oils), len(r.Positions))
	}
	good, wide := r.Positions[0].Now(), r.Positions[3].Now()
	if !(wide.Oils[0].Hot.MinFilmUM < good.Oils[0].Hot.MinFilmUM) || !(wide.Oils[1].Hot.MinFilmUM > wide.Oils[0].Hot.MinFilmUM) {
		t.Errorf("films %g and %g µm, on the heavier oil %g", good.Oils[0].Hot.MinFilmUM, wide.Oils[0].Hot.MinFilmUM, wide.Oils[1].Hot.MinFilmUM)
	}
	if r.Reference[0].Hot.Ratio != 1 || len(wide.Cycle) != points {
		t.Errorf("the middle is %g of itself, %d instants", r.Reference[0].Hot.Ratio, len(wide.Cycle))
	}
	least := math.Inf(1)
	for _, p := range wide.Cycle {
		least = min(least, p.FilmUM)
	}
	if f := wide.Oils[0].Hot.MinFilmUM; least < f*0.999 || least > f*1.05 {
		t.Errorf("the cycle's least film %g µm, the orbit's %g", least, f)
	}
	s := wide.Spread
	if s == nil || !(s.Beside[10] < 0.9) || s.Beside[18]/s.Beside[2] > s.FilmUM[18]/s.FilmUM[2] || s.BelowRoughness == nil {
		t.Errorf("spread %+v", s)
	}
	if x := r.Positions[3].Shape; x == nil || !(x.AsIsUM < x.RoundUM) || !(x.WorstUM < x.AsIsUM) {
		t.Errorf("an oval journal keeps %+v", x)
	}
	if r.Oils[0].ReadyAtC == nil || *r.Oils[0].ReadyAtC != 60 || !(*r.Oils[1].ReadyAtC > 60) {
		t.Errorf("oils ready for load at %v and %v", r.Oils[0].ReadyAtC, r.Oils[1].ReadyAtC)
	}
	// The map at the rated speed and the middle clearance is the reference.
	mid, n := 0.0, 0
	for si, v := range r.Map.SpeedsRPM {
		for ci, c := range r.Map.ClearancesMM {
			if math.Abs(v-7000) < 250 && math.Abs(c-0.045) < 0.0015 {
				mid, n = mid+r.Map.Ratio[0][si][ci], n+1
			}
		}
	}
	if n == 0 || math.Abs(mid/float64(n)-1) > 0.12 {
		t.Errorf("about the middle the map has %g of it (%d cells)", mid/float64(n), n)
	}
}

// Measured roughness stands in for the sheet's, and is enough where the sheet
// has none; half known is not known.
func TestMeasuredRoughness(t *testing.T) {
	m := &model{rough: Roughness{JournalUM: 0.3, ShellUM: 0.4}}
	for _, c := range []struct {
		sheet    Roughness
		measured *Roughness
		want     float64 // 3, 4 and 5; 5, 12 and 13; by hand
	}{
		{Roughness{0.3, 0.4}, nil, 0.5}, {Roughness{0.3, 0.4}, &Roughness{JournalUM: 0.5 * 0.6, ShellUM: 0.4}, 0.5},
		{Roughness{0.3, 0.4}, &Roughness{ShellUM: 0.72}, 0.78}, {Roughness{}, &Roughness{0.5, 1.2}, 1.3},
		{Roughness{0.3, 0}, nil, 0}, {Roughness{0.3, 0}, &Roughness{JournalUM: 0.2}, 0}, {Roughness{}, nil, 0},
	} {
		m.rough = c.sheet
		s := m.surfaces(c.measured)
		if c.want == 0 {
			if s != nil {
				t.Errorf("%+v: %+v, want none", c, s)
			}
			continue
		}
		if s == nil || math.Abs(s.CombinedUM-c.want) > 1e-12 {
			t.Errorf("%+v: %+v", c, s)
		}
	}
	a := ask(t)
	rough := ask(t)
	rough.Positions[3].FittedRough = &Roughness{JournalUM: 1.2}
	if a.Key() == rough.Key() {
		t.Error("the same key with another roughness")
	}
	smooth, coarse := NewDesk().Films(t.Context(), a).Result.Positions[3].Now(), NewDesk().Films(t.Context(), rough).Result.Positions[3].Now()
	s, c := smooth.Oils[0].Hot, coarse.Oils[0].Hot
	if s.MinFilmUM != c.MinFilmUM || !coarse.Surfaces.JournalMeasured || coarse.Surfaces.ShellMeasured ||
		math.Abs(*c.Lambda*coarse.Surfaces.CombinedUM-*s.Lambda*smooth.Surfaces.CombinedUM) > 1e-9 || !(*c.Lambda < *s.Lambda) {
		t.Errorf("λ %g by the sheet, %g as measured: %+v", *s.Lambda, *c.Lambda, coarse.Surfaces)
	}
}

// What was asked before is there at once; another reading is another ask.
func TestKeptByContent(t *testing.T) {
	d := NewDesk()
	first := d.Wait(t.Context(), ask(t))
	if again := d.Start(ask(t)); again.Result != first.Result || again.Running {
		t.Error("the same ask was computed again")
	}
	other := ask(t)
	other.Positions[0].Fitted.MM = 0.041
	if other.Key() == ask(t).Key() {
		t.Error("another clearance has the same key")
	}
}

// A stopped ask says so, keeps what it has, and can be begun again.
func TestStop(t *testing.T) {
	d := NewDesk()
	d.turn <- struct{}{} // somebody else computes
	d.Start(ask(t))
	d.Stop(ask(t))
	if st := d.Wait(t.Context(), ask(t)); !st.Stopped || st.Whole() || st.Err != nil {
		t.Errorf("stopped: %+v", st)
	}
	<-d.turn
	d.Again(ask(t))
	if st := d.Films(t.Context(), ask(t)); st.Result == nil || st.Stopped {
		t.Errorf("begun again: %+v", st)
	}
	d.Stop(ask(t))
}

// What cannot be computed says why, and is never a number that is none.
func TestNoFilm(t *testing.T) {
	wait := func(a Ask) Status { return NewDesk().Wait(context.Background(), a) }
	if st := wait(Ask{}); st.Result == nil || len(st.Result.Missing) != 1 {
		t.Errorf("without a sheet: %+v", st)
	}
	if st := wait(Ask{Sheet: v8(t)}); !st.Whole() || len(st.Result.Positions) != 0 {
		t.Errorf("nothing measured: %+v", st)
	}
	thin, err := engine.Load("x", []byte(strings.Replace(string(v8(t).Bytes()), "  reciprocating_mass: 0.540 kg\n", "", 1)))
	if err != nil {
		t.Fatal(err)
	}
	if st := wait(Ask{Sheet: thin, Positions: ask(t).Positions}); st.Result == nil || len(st.Result.Missing) != 1 || !strings.Contains(st.Result.Missing[0], "reciprocating_mass") {
		t.Errorf("without a mass: %+v", st.Result)
	}
	heavy, err := engine.Load("x", []byte(strings.Replace(string(v8(t).Bytes()), "peak_pressure: 85 bar", "peak_pressure: 390 bar", 1)))
	if err != nil {
		t.Fatal(err)
	}
	a := ask(t)
	a.Sheet, a.Positions[0].Fitted.MM = heavy, 0.6
	a.Positions[1].Fitted.MM = 0
	st := wait(a)
	if st.Result == nil || st.Err != nil {
		t.Fatalf("overloaded: %+v", st)
	}
	if f := st.Result.Positions[0].Now().Oils[0].Hot; f.Held() || f.FailedKN <= 0 || f.MinFilmUM != 0 {
		t.Errorf("0.6 mm and 390 bar: %+v", f)
	}
	if f := st.Result.Positions[1].Now().Oils[0].Hot; f.Held() || !strings.Contains(f.Failed, "without clearance") {
		t.Errorf("no clearance: %+v", f)
	}
}

// The other sheet knows its oils by their grades alone: a band, marked assumed.
func TestGradesAlone(t *testing.T) {
	s, err := sheets.Named(sheets.Inline4)
	if err != nil {
		t.Fatal(err)
	}
	st := NewDesk().Wait(t.Context(), Ask{Sheet: s, Positions: []Position{{Position: 1, Cylinder: "4", Fitted: &Clearance{MM: 0.035, U: 0.002}}}})
	if !st.Whole() {
		t.Fatalf("%+v", st)
	}
	o := st.Result.Positions[0].Now().Oils[0]
	if !st.Result.Oils[0].Assumed || !(o.HotLowUM < o.Hot.MinFilmUM && o.Hot.MinFilmUM < o.HotHighUM) {
		t.Errorf("assumed %t: %g, %g, %g µm", st.Result.Oils[0].Assumed, o.HotLowUM, o.Hot.MinFilmUM, o.HotHighUM)
	}
	if st.Result.LeastFilmUM == nil || st.Result.Positions[0].Now().Spread.BelowLimit == nil {
		t.Error("the sheet's least film is not held against")
	}
}
