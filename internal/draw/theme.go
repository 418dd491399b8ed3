// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"fmt"
	"strings"
)

// Ink is a colour by its meaning.
type Ink string

// The inks. Every one has a custom property of the same name on pages.
const (
	InkNone  Ink = ""
	InkText  Ink = "ink"   // what is read
	InkSoft  Ink = "soft"  // what is read second
	InkMark  Ink = "mark"  // as found, to do
	InkRule  Ink = "rule"  // dividing lines
	InkFaint Ink = "faint" // grid
	InkBand  Ink = "band"  // between the limits
	InkSheet Ink = "sheet" // the paper drawn on
	InkFit   Ink = "fit"   // fits
	InkOut   Ink = "out"   // outside the limits
	InkWait  Ink = "wait"  // not proven
	InkAct   Ink = "act"   // what is being shown, where to act
)

// inks lists every ink in the order of the stylesheet.
var inks = []Ink{InkText, InkSoft, InkMark, InkRule, InkFaint, InkBand, InkSheet, InkFit, InkOut, InkWait, InkAct}

// Theme gives every ink a colour, as #rrggbb.
type Theme map[Ink]string

// Light is ink on paper; reports print in it.
var Light = Theme{
	InkText: "#1c2227", InkSoft: "#5b6268", InkMark: "#7a8185", InkRule: "#d8d3c6", InkFaint: "#e6e2d7",
	InkBand: "#e9f0ea", InkSheet: "#fffefb", InkFit: "#00664d", InkOut: "#b23a06", InkWait: "#6b5a00", InkAct: "#0b5c93",
}

// Dark is the same drawing for a dark page.
var Dark = Theme{
	InkText: "#ece9e1", InkSoft: "#aab1b6", InkMark: "#98a0a5", InkRule: "#434b51", InkFaint: "#333a3f",
	InkBand: "#21352d", InkSheet: "#1b2024", InkFit: "#5cc7a3", InkOut: "#ff9466", InkWait: "#e0c75a", InkAct: "#6db6ea",
}

// Stylesheet is the CSS that colours the drawings of a page: one class per ink
// for strokes and one for fills, from the page's custom properties of the same
// names and, where the page has none, from [Light].
func Stylesheet() string {
	var b strings.Builder
	for _, k := range inks {
		fmt.Fprintf(&b, ".st-%[1]s{stroke:var(--%[1]s,%[2]s)}.fi-%[1]s{fill:var(--%[1]s,%[2]s)}\n", k, Light[k])
	}
	return b.String()
}

// Properties is the CSS that sets the custom properties of one theme, to be
// put inside a rule.
func (t Theme) Properties() string {
	var b strings.Builder
	for _, k := range inks {
		fmt.Fprintf(&b, "--%s:%s;", k, t[k])
	}
	return b.String()
}

// rgb splits an ink's colour. An ink that the theme lacks is black.
func (t Theme) rgb(k Ink) (r, g, b int) {
	if _, err := fmt.Sscanf(t[k], "#%02x%02x%02x", &r, &g, &b); err != nil {
		return 0, 0, 0
	}
	return r, g, b
}
