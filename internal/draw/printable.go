// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"strings"
	"unicode"
)

// missing stands for a character that DejaVu Sans does not have.
const missing = '□'

// Printable returns the text as paper can show it, on one line: white space
// and control characters become spaces, what the face lacks becomes □. The
// format of the PDF's text holds nothing beyond U+FFFF.
func Printable(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r) || unicode.IsControl(r):
			return ' '
		case unicode.Is(unicode.Cf, r): // joiners and marks of direction
			return -1
		case r > 0xffff || r == unicode.ReplacementChar || !regular.has(r):
			return missing
		}
		return r
	}, text)
}

// has reports whether the face has a glyph for a character.
func (f *face) has(r rune) bool {
	if r < 0x7f {
		return true
	}
	f.width(r) // parses the font and measures
	f.mu.Lock()
	defer f.mu.Unlock()
	i, err := f.font.GlyphIndex(&f.buf, r)
	return err == nil && i != 0
}
