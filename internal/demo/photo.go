// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"

	"golang.org/x/image/font"
	"golang.org/x/image/font/basicfont"
	"golang.org/x/image/math/fixed"

	"witnessmark/internal/photo"
	"witnessmark/record"
)

// photo keeps a drawn stand-in for a photo beside the log; it says on itself
// that it is invented.
func (t *teller) photo(caption string) []string {
	if t.err != nil {
		return nil
	}
	data, err := standIn(caption)
	if err == nil {
		// Taken in like any photo from outside.
		var p photo.Photo
		if p, err = photo.Take(bytes.NewReader(data)); err == nil {
			var c record.Commitment
			if c, err = t.shop.Store().PutBlob(t.ctx, record.Blob{Data: p.JPEG}); err == nil {
				return []string{string(c)}
			}
		}
	}
	t.err = fmt.Errorf("demo: photo %q: %w", caption, err)
	return nil
}

var (
	paper = color.Gray{0xf4}
	shade = color.Gray{0xdc}
	ink   = color.Gray{0x22}
	tones = color.Palette{paper, shade, ink}
)

// standIn draws a hatched picture with the caption on it.
func standIn(caption string) ([]byte, error) {
	img := image.NewPaletted(image.Rect(0, 0, 480, 320), tones)
	for y := range 320 {
		for x := range 480 {
			if (x+y)%24 < 8 {
				img.SetColorIndex(x, y, 1)
			}
		}
	}
	for i, line := range []string{"INVENTED: NO PHOTO", caption} {
		d := font.Drawer{Dst: img, Src: image.NewUniform(ink), Face: basicfont.Face7x13, Dot: fixed.P(24, 40+24*i)}
		d.DrawString(line)
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
