// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
)

// wellFormed returns the first fault that an XML reader finds.
func wellFormed(text string) error {
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}

func TestSVGEscapes(t *testing.T) {
	c := NewSVG(10, 10, `a "title" <b>`)
	c.Text(1, 2, "<script>&\x00 µ ≤ ⌀", TextStyle{Size: 9})
	got := c.String()
	if err := wellFormed(got); err != nil {
		t.Fatalf("%v in %s", err, got)
	}
	if strings.Contains(got, "<script") || !strings.Contains(got, "µ ≤ ⌀") {
		t.Errorf("text is not escaped as it should be: %s", got)
	}
}

func TestSVGLeavesOutWhatIsNotFinite(t *testing.T) {
	c := NewSVG(10, 10, "")
	nan, inf := math.NaN(), math.Inf(1)
	st := Style{Stroke: InkText}
	c.Line(nan, 0, 1, 1, st)
	c.Rect(0, inf, 1, 1, st)
	c.Circle(0, 0, nan, st)
	c.Polyline([]XY{{0, 0}, {nan, 1}}, st)
	c.Polygon(nil, st)
	c.Text(inf, 0, "x", TextStyle{Size: 9})
	if strings.Count(c.String(), "<") != 2 {
		t.Errorf("something was drawn: %s", c.String())
	}
}

// TestSVGPageHoldsNoColour: a page's security policy forbids inline style, and
// dark mode needs classes.
func TestSVGPageHoldsNoColour(t *testing.T) {
	css := Stylesheet()
	for _, g := range goldens {
		got := g.strip.SVG(g.width)
		if strings.Contains(got, "style=") || strings.Contains(got, "#") {
			t.Errorf("%s: a style or a colour stands in the drawing", g.name)
		}
		for _, part := range strings.Split(got, `class="`)[1:] {
			class, _, _ := strings.Cut(part, `"`)
			for _, name := range strings.Fields(class) {
				if name != "drawing" && !strings.Contains(css, "."+name+"{") {
					t.Errorf("%s: class %s is not in the stylesheet", g.name, name)
				}
			}
		}
	}
}

func TestThemesHaveEveryInk(t *testing.T) {
	for _, k := range inks {
		for name, theme := range map[string]Theme{"light": Light, "dark": Dark} {
			if len(theme[k]) != 7 {
				t.Errorf("%s has no %s", name, k)
			}
		}
	}
	if r, g, b := Light.rgb(InkFit); r != 0 || g != 0x66 || b != 0x4d {
		t.Errorf("fit is %d %d %d", r, g, b)
	}
}

// TestThemesAreLegible holds every ink that words are written in to a contrast
// of 4.5 on the sheet and on the band.
// Formula: W3C, WCAG 2.2, relative luminance and contrast ratio; success
// criterion 1.4.3.
func TestThemesAreLegible(t *testing.T) {
	for name, theme := range map[string]Theme{"light": Light, "dark": Dark} {
		for _, k := range []Ink{InkText, InkSoft, InkFit, InkOut, InkWait, InkAct} {
			for _, paper := range []Ink{InkSheet, InkBand} {
				if got := contrast(theme, k, paper); got < 4.5 {
					t.Errorf("%s: %s on %s has a contrast of %.2f", name, k, paper, got)
				}
			}
		}
	}
}

func contrast(t Theme, a, b Ink) float64 {
	x, y := luminance(t.rgb(a)), luminance(t.rgb(b))
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

func luminance(r, g, b int) float64 {
	linear := func(v int) float64 {
		c := float64(v) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
}
