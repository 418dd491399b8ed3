// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"strings"
	"testing"
)

// Of a plane z = x the line at 2.5 stands upright at 2.5, whatever y.
func TestContoursOfAPlane(t *testing.T) {
	m := Contours{Title: "Plane", Xs: []float64{1, 2, 3, 4}, Ys: []float64{0, 1, 2}, Levels: []Level{{Value: 2.5, Label: "here", Ink: InkText}}}
	for range m.Ys {
		m.Values = append(m.Values, m.Xs)
	}
	c := NewSVG(562, 300, m.Alt())
	m.Draw(c)
	// The area is from 58 to 500: 2.5 of 1 to 4 stands in its middle.
	if n := strings.Count(c.String(), `class="st-ink" stroke-width="1.5"`); n != 2 || !strings.Contains(c.String(), `<line x1="279" y1="142" x2="279" y2="26"`) {
		t.Errorf("%d pieces of the line stand at 279, want 2:\n%s", n, c)
	}
	if !strings.Contains(c.String(), "here") {
		t.Error("the line has no name")
	}
	m.Values[1] = []float64{0, 2, 3, 4}
	if got := m.Table(); got.Rows[0][1] != "1" || len(got.Rows) != 1 {
		t.Errorf("table %v", got)
	}
}
