// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"fmt"
	"strconv"
	"strings"
)

// Strip is the drawing of the crankshaft: one column per position with the
// reading as found and as fitted, each with the bar that holds 95 % of where
// the true value lies, against the limits. On a narrow canvas the crankshaft
// runs down the page, one row per position.
//
// All values are in the unit that is shown. Nothing is decided here: the
// states come with the points.
type Strip struct {
	Title    string // what is measured: "Big-end clearance along the crank"
	Unit     string // as printed: mm, µm, thou
	Decimals int    // of every number
	Min, Max *Limit
	Columns  []StripColumn
	Rows     []StripRow // below the columns, for paper; a page has a table there
	Heading  bool       // draw Title and key, for paper; a page has them as text
}

// Limit is one end of what is allowed. Without Label the drawing says which
// end it is.
type Limit struct {
	Value float64
	Label string
}

// StripColumn is one position along the crankshaft, counted from the front.
type StripColumn struct {
	Position          int
	Cylinder          string // the maker's number: A1
	Throw             int    // columns of one throw stand together
	AsFound, AsFitted *Point // nil: nothing read yet
	Verdict           string // in words, for the table; without, the state's word
}

// The states of a point.
const (
	Fits     = "fits"     // circle
	Out      = "out"      // square with a cross
	Unproven = "unproven" // triangle
	Todo     = "todo"     // dashed circle
	None     = "none"     // nothing is drawn
)

// Point is one reading: the value and the bar from Low to High. Without a bar
// both are the value, or both zero. As found, a point is a diamond whatever its
// State.
type Point struct {
	Value, Low, High float64
	State            string
	Label            string // beside the mark; without, the value
}

// StripRow is a line of facts below the drawing, one cell per column.
type StripRow struct {
	Label string // may have two lines
	Cells []StripCell
}

// StripCell is what one position has in a row: lines of text, or bolts.
type StripCell struct {
	Lines []string
	Ink   []Ink    // of each line; without, soft
	Bolts []string // BoltNone, BoltMeasuring, BoltFinal
	State string   // a verdict: Out fills the cell
}

// The states of a bolt.
const (
	BoltNone      = "none"
	BoltMeasuring = "measuring"
	BoltFinal     = "final"
)

// Alt says in one sentence what the drawing shows.
func (s Strip) Alt() string {
	title := s.Title
	if title == "" {
		title = "Reading"
	}
	return title + ": each position as found and as fitted, against the limits. The table has the same numbers."
}

// SVG draws the strip for a page, as wide as given: 1120 beside a table, 360
// on a phone.
func (s Strip) SVG(width float64) string {
	c := NewSVG(width, s.Height(width), s.Alt())
	s.Draw(c)
	return c.String()
}

// Table has the strip's numbers as text.
func (s Strip) Table() Table {
	t := Table{Caption: s.caption(), Head: []string{"Position", "Cylinder", "As found", "As fitted", "Verdict"}}
	for _, c := range s.Columns {
		t.Rows = append(t.Rows, []string{strconv.Itoa(c.Position), c.Cylinder, s.words(c.AsFound), s.words(c.AsFitted), c.verdict()})
	}
	return t
}

// caption is the title with unit and limits.
func (s Strip) caption() string {
	parts := []string{}
	if s.Title != "" {
		parts = append(parts, s.Title)
	}
	if s.Unit != "" {
		parts = append(parts, "in "+s.Unit)
	}
	if s.Min != nil {
		parts = append(parts, s.minLabel())
	}
	if s.Max != nil {
		parts = append(parts, s.maxLabel())
	}
	return strings.Join(parts, ", ")
}

func (s Strip) minLabel() string { return s.limitLabel(s.Min, "lowest allowed ") }
func (s Strip) maxLabel() string { return s.limitLabel(s.Max, "highest allowed ") }

func (s Strip) limitLabel(l *Limit, word string) string {
	if l.Label != "" {
		return l.Label
	}
	return word + s.number(l.Value)
}

// number prints a value with the strip's decimals.
func (s Strip) number(v float64) string { return decimal(v, s.Decimals) }

// label is what stands beside a point's mark.
func (s Strip) label(p *Point) string {
	if p.Label != "" {
		return p.Label
	}
	return s.number(p.Value)
}

// words prints a point with its bar.
func (s Strip) words(p *Point) string {
	switch {
	case !p.read():
		return "not measured"
	case !p.hasBar():
		return s.label(p)
	}
	return fmt.Sprintf("%s (%s to %s)", s.label(p), s.number(p.Low), s.number(p.High))
}

// read says whether there is a value to draw.
func (p *Point) read() bool {
	return p != nil && p.State != Todo && p.State != None && finite(p.Value)
}

func (p *Point) hasBar() bool {
	return finite(p.Low, p.High) && p.Low < p.High
}

// verdict is the column's verdict in words.
func (c StripColumn) verdict() string {
	if c.Verdict != "" {
		return c.Verdict
	}
	if !c.AsFitted.read() {
		return "not measured"
	}
	switch c.AsFitted.State {
	case Fits:
		return "fits"
	case Out:
		return "outside the limits"
	case Unproven:
		return "not proven"
	}
	return ""
}
