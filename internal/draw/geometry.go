// SPDX-License-Identifier: Apache-2.0

package draw

import "math"

// arc returns points along a circle, from one angle to another in degrees,
// counted from the right and clockwise as seen.
func arc(x, y, r, from, to float64) []XY {
	n := max(2, int(math.Abs(to-from)/7.5))
	p := make([]XY, n+1)
	for i := range p {
		a := (from + (to-from)*float64(i)/float64(n)) * math.Pi / 180
		p[i] = XY{x + r*math.Cos(a), y + r*math.Sin(a)}
	}
	return p
}

// box is an upright rectangle that something takes on a canvas.
type box struct{ x0, y0, x1, y1 float64 }

func (b box) overlaps(o box) bool {
	return b.x0 < o.x1 && o.x0 < b.x1 && b.y0 < o.y1 && o.y0 < b.y1
}

// inside says whether b lies within o.
func (b box) inside(o box) bool {
	return b.x0 >= o.x0 && b.x1 <= o.x1 && b.y0 >= o.y0 && b.y1 <= o.y1
}

// board remembers what is taken, so that labels find a free place within the
// edges.
type board struct {
	edges box
	taken []box
}

func (b *board) take(o box) { b.taken = append(b.taken, o) }

// place takes the first candidate that is free, or else the first that stays
// within the edges, and returns its index.
func (b *board) place(candidates []box) int {
	at := -1
	for i, c := range candidates {
		if !c.inside(b.edges) {
			continue
		}
		if b.free(c) {
			b.take(c)
			return i
		}
		if at < 0 {
			at = i
		}
	}
	at = max(at, 0)
	b.take(candidates[at])
	return at
}

func (b *board) free(c box) bool {
	for _, t := range b.taken {
		if c.overlaps(t) {
			return false
		}
	}
	return true
}

// nudge returns how far right a box must move to stay within the edges.
func (b *board) nudge(o box) float64 {
	return max(0, b.edges.x0-o.x0) - max(0, o.x1-b.edges.x1)
}

// textBox is where a text with its baseline at y stands.
func textBox(x, y float64, text string, s TextStyle) box {
	w := TextWidth(text, s.Size, s.Bold)
	switch s.Anchor {
	case Middle:
		x -= w / 2
	case End:
		x -= w
	}
	return box{x, y - 0.78*s.Size, x + w, y + 0.22*s.Size}
}
