// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"crypto/sha256"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/units"
)

func load(t testing.TB, text string) *Sheet {
	t.Helper()
	s, err := Load("sheet.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestPositionsAndCylinders(t *testing.T) {
	for _, c := range []struct {
		name, text string
		cylinders  []string
		access     []int
		throws     string
	}{
		{"V8", v8(t), []string{"A1", "B1", "A2", "B2", "A3", "B3", "A4", "B4"}, []int{1, 2, 5, 6, 3, 4, 7, 8}, "[[1 2] [3 4] [5 6] [7 8]]"},
		// No access order in the sheet: throws 1 and 4 come round together.
		{"counted from the flywheel", inline(t), []string{"4", "3", "2", "1"}, []int{1, 4, 2, 3}, "[[1] [2] [3] [4]]"},
	} {
		s := load(t, c.text)
		for i, want := range c.cylinders {
			p, ok := s.Position(i + 1)
			if !ok || p.Cylinder != want || p.Name() != fmt.Sprintf("%d cyl %s", i+1, want) {
				t.Errorf("%s: position %d is %+v, want cylinder %s", c.name, i+1, p, want)
			}
		}
		if got := s.AccessOrder(); !slices.Equal(got, c.access) {
			t.Errorf("%s: access order %v, want %v", c.name, got, c.access)
		}
		if got := fmt.Sprint(s.Throws()); got != c.throws {
			t.Errorf("%s: throws %s, want %s", c.name, got, c.throws)
		}
		if _, ok := s.Position(len(c.cylinders) + 1); ok {
			t.Errorf("%s has one position too many", c.name)
		}
	}
}

// The V8's own access order is the one its angles give.
func TestAccessOrderFromAngles(t *testing.T) {
	s := load(t, strings.Replace(v8(t), "  access_order: [1, 2, 5, 6, 3, 4, 7, 8]\n", "", 1))
	if got, want := s.AccessOrder(), load(t, v8(t)).AccessOrder(); !slices.Equal(got, want) {
		t.Errorf("access order %v, want %v", got, want)
	}
}

// Every layout that can be is accepted, and its access order has each
// position once, angles going up.
func TestAccessOrderProperty(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(1, 16).Draw(r, "positions")
		s := &Sheet{}
		for i := range n {
			angle := 0.0
			if i > 0 {
				angle = float64(rapid.IntRange(0, 11).Draw(r, "angle")) * 30
			}
			s.Layout.Positions = append(s.Layout.Positions, Position{Number: i + 1, Cylinder: fmt.Sprint(n - i), Throw: i + 1, Angle: units.Angle(angle)})
		}
		s.Layout.Kind = Inline
		d := &decoder{at: map[string]place{}}
		d.checkLayout(s.Layout)
		if len(d.problems) > 0 {
			r.Fatal(d.err())
		}
		before := units.Angle(-1)
		seen := map[int]bool{}
		for _, k := range s.AccessOrder() {
			p, _ := s.Position(k)
			if p.Angle < before || seen[k] {
				r.Fatalf("%v for %v", s.AccessOrder(), s.Layout.Positions)
			}
			before, seen[k] = p.Angle, true
		}
		if len(seen) != n {
			r.Fatalf("%d of %d positions", len(seen), n)
		}
	})
}

func TestLimits(t *testing.T) {
	s := load(t, v8(t))
	clearance := s.BigEnd.Clearance.New
	if lo, hi := clearance.Range(); lo != 0.030 || hi != 0.060 || clearance.Unit() != "mm" {
		t.Errorf("clearance %g to %g %s, want 0.030 to 0.060 mm", lo, hi, clearance.Unit())
	}
	b := clearance.Bounds()
	if b.Confidence == nil || *b.Confidence != 0.8 || b.Path != "big_end.clearance.new" || !b.Checked || b.CheckedBy != "demonstration desk, 2026-01-05" {
		t.Errorf("bounds %+v", b)
	}
	if got, want := s.SourceText(b.Basis), "Averland AV34 workshop book, invented for demonstration, 2nd edition, p. 41"; got != want {
		t.Errorf("source %q, want %q", got, want)
	}
	for _, c := range []struct {
		got  fmt.Stringer
		want string
	}{
		{clearance, "0.030 to 0.060 mm"},
		{s.BigEnd.Taper, "at most 0.005 mm"},
		{s.Run.Priming.Bounds(), "at least 1.0 bar"},
		{s.BigEnd.Journal, "52.000 mm (51.984 to 52.000 mm)"},
		{s.Layout.BankAngle, "90°"},
	} {
		if c.got.String() != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
	if lo, hi := s.BigEnd.Taper.Range(); !math.IsInf(lo, -1) || hi != 0.005 {
		t.Errorf("taper %g to %g, want an open lower side", lo, hi)
	}
	if mid, ok := s.BigEnd.Shell.Wall.Mid(); !ok || math.Abs(mid-1.9865) > 1e-12 {
		t.Errorf("wall %g, want 1.9865", mid)
	}
	if x, _ := s.Setting("balance_backlash"); x.Limit.Min != 0.06 || x.Limit.Kind != units.KindLength {
		t.Errorf("backlash %+v", x.Limit)
	}
}

// A limit in inches keeps the decimals that its millimetres had.
func TestLimitInInches(t *testing.T) {
	var inch units.Preferences
	inch = inch.With(units.KindLength, true)
	got := load(t, v8(t)).BigEnd.Clearance.New.Bounds().In(inch)
	if !strings.HasPrefix(got, "0.001") || !strings.HasSuffix(got, " in") {
		t.Errorf("got %q", got)
	}
}

func TestCopperShows(t *testing.T) {
	if at, ok := load(t, v8(t)).BigEnd.Shell.Construction.CopperShowsAt(); !ok || at != 3 {
		t.Errorf("V8: copper at %d %v, want 3", at, ok)
	}
	c := load(t, inline(t)).BigEnd.Shell.Construction
	if at, ok := c.CopperShowsAt(); ok {
		t.Errorf("inline: copper at %d, but it has none", at)
	}
	if c.WearWords(4) == "" || c.WearWords(5) != "" || c.WearWords(-1) != "" {
		t.Error("wear words are for 0 to 4")
	}
}

func TestFastenersAndOil(t *testing.T) {
	a, b := load(t, v8(t)), load(t, inline(t))
	f, ok := a.RodBolts()
	if !ok || f.Use != (Use{SingleUse, 1}) || len(f.Stages) != 3 || !slices.Equal(f.Measuring.Bolts, []string{MeasureOld, MeasureMarked}) {
		t.Errorf("V8's rod bolts: %+v", f)
	}
	if st, ok := f.Stage("turn"); !ok || *st.Angle.Value != 90 {
		t.Errorf("stage turn: %+v", st)
	}
	g, _ := b.RodBolts()
	if g.Use != (Use{LimitedUse, 3}) || g.Use.String() != "3 uses" || g.Stages[1].Kind != ByTorqueAngle {
		t.Errorf("inline's rod bolts: %+v", g)
	}
	if !a.AllowsOil("5W-40") || a.AllowsOil("0W-20") {
		t.Error("the V8 takes 5W-40 and not 0W-20")
	}
}

func TestHashAndBytes(t *testing.T) {
	text := v8(t)
	s := load(t, text)
	if want := fmt.Sprintf("sha256:%x", sha256.Sum256([]byte(text))); s.Hash != want {
		t.Errorf("hash %s, want %s", s.Hash, want)
	}
	s.Bytes()[0] = 'X'
	if string(s.Bytes()) != text {
		t.Error("a caller changed the sheet's bytes")
	}
}

// Source and check are inherited, except that a check against one source says
// nothing about another.
func TestBasis(t *testing.T) {
	s := load(t, inline(t))
	by := map[string]Basis{}
	for _, r := range s.Values() {
		by[r.Path] = r.Basis
	}
	for path, want := range map[string]Basis{
		"big_end.width":                {"book", "p. 30", true, "demonstration desk, 2026-01-05"},
		"big_end.clearance.in_service": {"notes", "", false, ""},
		"main_journal":                 {"book", "p. 28", true, ""},
		"side_clearance.limit":         {"book", "", false, ""},
	} {
		if by[path] != want {
			t.Errorf("%s rests on %+v, want %+v", path, by[path], want)
		}
	}
}

func TestWarnings(t *testing.T) {
	var got []string
	for _, w := range load(t, inline(t)).Warnings() {
		got = append(got, w.String())
	}
	all := strings.Join(got, "\n")
	for _, want := range []string{
		"sheet.yaml:43:17: big_end.clearance.in_service was not checked against notes; compare it with the source and add checked: with who and when",
		"10 values of materials: each was not checked against practice",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in\n%s", want, all)
		}
	}
	for _, c := range []struct{ old, new, want string }{
		{"source: book\nchecked: demonstration desk, 2026-01-05\n", "", "2 values of layout: each names no source; add source:"},
		{"housing_bore: {min: 56.000 mm, max: 56.016 mm}", "housing_bore: {min: 56.100 mm, max: 56.116 mm}", "leaves 0.1430 mm in the middle of their limits, outside 0.030 to 0.060 mm"},
		{"torque: 20 Nm", "torque: 200 Nm", "stage snug, 200 Nm, is outside the tool range, 5 to 50 Nm"},
	} {
		s := load(t, strings.Replace(v8(t), c.old, c.new, 1))
		if text := fmt.Sprint(s.Warnings()); !strings.Contains(text, c.want) {
			t.Errorf("no %q in %s", c.want, text)
		}
	}
}
