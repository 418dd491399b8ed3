// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"sync"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"codeberg.org/go-fonts/dejavu/dejavusansbold"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// face measures text in one weight of DejaVu Sans.
type face struct {
	once sync.Once
	ttf  []byte
	font *sfnt.Font
	// ascii are the advances of the characters most text is made of, to be
	// read without the lock.
	ascii [128]float64

	mu      sync.Mutex
	buf     sfnt.Buffer
	advance map[rune]float64
}

var regular, bold = &face{ttf: dejavusans.TTF}, &face{ttf: dejavusansbold.TTF}

// TextWidth returns how wide a text is set at the given size in DejaVu Sans,
// the face that page and paper share. Kerning is left out, as it is in the PDF.
func TextWidth(text string, size float64, heavy bool) float64 {
	f := regular
	if heavy {
		f = bold
	}
	w := 0.0
	for _, r := range text {
		w += f.width(r)
	}
	return w * size
}

// width returns the advance of one character at size 1.
func (f *face) width(r rune) float64 {
	f.once.Do(func() {
		// The font is embedded; that it parses is a matter for the test.
		f.font, _ = sfnt.Parse(f.ttf)
		f.advance = map[rune]float64{}
		for r := range f.ascii {
			f.ascii[r] = f.measure(rune(r))
		}
	})
	if 0 <= r && int(r) < len(f.ascii) {
		return f.ascii[r]
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if w, ok := f.advance[r]; ok {
		return w
	}
	w := f.measure(r)
	f.advance[r] = w
	return w
}

// measure asks the font itself.
func (f *face) measure(r rune) float64 {
	const ppem = 2048 // DejaVu's own units per em, so nothing is rounded
	i, err := f.font.GlyphIndex(&f.buf, r)
	if err != nil {
		i = 0
	}
	a, err := f.font.GlyphAdvance(&f.buf, i, fixed.I(ppem), font.HintingNone)
	if err != nil {
		return 0.6
	}
	return float64(a) / 64 / ppem
}

// fitted returns the size, at most size, at which a regular text is no wider
// than room; it never goes below what can be read.
func fitted(text string, size, room float64) float64 {
	const smallest = 8
	if w := TextWidth(text, size, false); w > room {
		return max(smallest, size*room/w)
	}
	return size
}
