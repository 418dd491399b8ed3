// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "write the golden files anew; look at them before they are kept")

// half is the invented engine half-way through a job.
func half() Strip {
	p := func(v, spread float64, state string) *Point {
		return &Point{Value: v, Low: v - spread, High: v + spread, State: state}
	}
	return Strip{
		Title: "Big-end clearance along the crank", Unit: "mm", Decimals: 3,
		Min: &Limit{Value: 0.030}, Max: &Limit{Value: 0.060},
		Columns: []StripColumn{
			{1, "A1", 1, p(0.046, 0.006, Fits), p(0.042, 0.004, Fits), ""},
			{2, "B1", 1, p(0.051, 0.006, Fits), p(0.044, 0.004, Fits), ""},
			{3, "A2", 2, p(0.047, 0.006, Fits), p(0.041, 0.004, Fits), ""},
			{4, "B2", 2, p(0.071, 0.006, Out), p(0.068, 0.006, Out), "too wide"},
			{5, "A3", 3, p(0.050, 0.006, Fits), p(0.043, 0.004, Fits), ""},
			{6, "B3", 3, p(0.049, 0.006, Fits), p(0.058, 0.006, Unproven), ""},
			{7, "A4", 4, p(0.052, 0.006, Fits), nil, ""},
			{8, "B4", 4, p(0.047, 0.006, Fits), nil, ""},
		},
	}
}

// withRows is half with what the report prints below the columns.
func withRows() Strip {
	s := half()
	s.Heading = true
	wear := StripRow{Label: "Shell wear\nupper, lower"}
	bolts := StripRow{Label: "Bolts\n◐ measuring\n● final"}
	verdict := StripRow{Label: "Verdict"}
	for i, c := range s.Columns {
		cell := StripCell{Lines: []string{"polished", "as new"}}
		if i == 2 {
			cell = StripCell{Lines: []string{"flaked", "polished"}, Ink: []Ink{InkOut, InkSoft}}
		}
		wear.Cells = append(wear.Cells, cell)
		b := []string{BoltFinal, BoltMeasuring, BoltNone}[i%3]
		bolts.Cells = append(bolts.Cells, StripCell{Bolts: []string{b, b}})
		state := Todo
		if c.AsFitted != nil {
			state = c.AsFitted.State
		}
		verdict.Cells = append(verdict.Cells, StripCell{Lines: []string{c.verdict()}, State: state})
	}
	s.Rows = []StripRow{wear, bolts, verdict}
	return s
}

// many has n positions, two to a throw.
func many(n int) Strip {
	s := half()
	columns := s.Columns
	s.Columns = nil
	for i := range n {
		c := columns[i%len(columns)]
		c.Position, c.Throw = i+1, i/2
		c.Cylinder = string(rune('A'+i%2)) + string(rune('1'+i/2))
		s.Columns = append(s.Columns, c)
	}
	return s
}

func offScale() Strip {
	s := half()
	s.Columns = s.Columns[:6]
	s.Columns[0].AsFitted = &Point{Value: 0.140, Low: 0.120, High: 0.160, State: Out}
	s.Columns[1].AsFound = &Point{Value: 0.127, Low: 0.127, High: 0.127, State: Out, Label: "0.127 or more"}
	s.Columns[2].AsFitted = &Point{Value: -0.020, Low: -0.03, High: 0.001, State: Out}
	s.Columns[4].AsFitted = &Point{State: None}
	return s
}

var goldens = []struct {
	name  string
	width float64
	strip Strip
}{
	{"half", 1120, half()},
	{"half-phone", 360, half()},
	{"rows", 1120, withRows()},
	{"one", 1120, many(1)},
	{"four-phone", 360, many(4)},
	{"sixteen", 1120, many(16)},
	{"sixteen-phone", 360, many(16)},
	{"off-scale", 1120, offScale()},
	{"off-scale-phone", 360, offScale()},
	{"no-positions", 1120, Strip{Unit: "mm", Decimals: 3}},
	{"no-limits", 1120, Strip{Unit: "mm", Decimals: 3, Columns: []StripColumn{{Position: 1, Cylinder: "1"}, {Position: 2, Cylinder: "2"}}}},
	{"only-limits", 1120, Strip{Unit: "mm", Decimals: 2, Max: &Limit{Value: 0.25}, Columns: []StripColumn{{Position: 1, Cylinder: "1"}, {Position: 2, Cylinder: "2", Throw: 1}}}},
}

// TestStripGolden pins the drawings (our own output: a regression pin only;
// each was looked at as a picture).
func TestStripGolden(t *testing.T) {
	for _, g := range goldens {
		c := NewStandaloneSVG(g.width, g.strip.Height(g.width), g.strip.Alt(), Light)
		g.strip.Draw(c)
		file := filepath.Join("testdata", "strip-"+g.name+".svg")
		if *update {
			if err := os.WriteFile(file, []byte(c.String()+"\n"), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if c.String()+"\n" != string(want) {
			t.Errorf("%s: the drawing is no longer the one in %s; look at it, then run with -update", g.name, file)
		}
	}
}

func TestStripSaysEachNumber(t *testing.T) {
	svg := half().SVG(1120)
	for _, want := range []string{">0.068<", ">cyl B2<", ">highest allowed 0.060<", ">lowest allowed 0.030<"} {
		if strings.Count(svg, want) != 1 {
			t.Errorf("%s stands %d times in the drawing, want once", want, strings.Count(svg, want))
		}
	}
	if strings.Contains(svg, "style=") || strings.Contains(svg, "#") {
		t.Error("a page's drawing holds a style or a colour")
	}
}

func TestStripTable(t *testing.T) {
	table := half().Table()
	got := strings.Join(table.Rows[3], " | ")
	if want := "4 | B2 | 0.071 (0.065 to 0.077) | 0.068 (0.062 to 0.074) | too wide"; got != want {
		t.Errorf("row of position 4: %s, want %s", got, want)
	}
	if got := strings.Join(table.Rows[6], " | "); !strings.HasSuffix(got, "not measured | not measured") {
		t.Errorf("row of position 7: %s", got)
	}
	if want := "Big-end clearance along the crank, in mm, lowest allowed 0.030, highest allowed 0.060"; table.Caption != want {
		t.Errorf("caption %q, want %q", table.Caption, want)
	}
}

// TestStripStaysOnCanvas: whatever is read, for 1 to 16 positions and any
// width, nothing is drawn off the canvas, and off-scale values keep their number.
func TestStripStaysOnCanvas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := many(rapid.IntRange(0, 16).Draw(t, "positions"))
		value := rapid.OneOf(rapid.Float64Range(-1, 1), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), 0, 1e300, -1e300}))
		for i := range s.Columns {
			state := rapid.SampledFrom([]string{Fits, Out, Unproven, Todo, None, ""}).Draw(t, "state")
			v := value.Draw(t, "value")
			s.Columns[i].AsFitted = &Point{Value: v, Low: v - math.Abs(value.Draw(t, "low")), High: v + 0.01, State: state}
		}
		if rapid.Bool().Draw(t, "no minimum") {
			s.Min = nil
		}
		if rapid.Bool().Draw(t, "no maximum") {
			s.Max = nil
		}
		w := rapid.Float64Range(320, 1400).Draw(t, "width")
		c := &probe{w: w, h: s.Height(w)}
		s.Draw(c)
		if c.outside != "" {
			t.Fatalf("off the canvas: %s", c.outside)
		}
		for _, col := range s.Columns {
			if p := col.AsFitted; p.read() && !strings.Contains(c.text, "\n"+s.label(p)+"\n") {
				t.Fatalf("position %d: no number %s in %s", col.Position, s.label(p), c.text)
			}
		}
	})
}
