// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"sync"

	"witnessmark/internal/photo"
	"witnessmark/record"
)

// photo keeps a drawn picture in place of a photo beside the log; it says on
// itself that it is invented.
func (t *teller) photo(s scene, caption string) []string {
	if t.err != nil {
		return nil
	}
	data, err := picture(s, caption)
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

// scene is something to draw. Equal scenes are equal pictures.
type scene interface {
	// at is the colour of a point; x runs from 0 to 3 and y from 0 to 2, down.
	at(x, y float64) rgb
}

// The size of every picture, in pixels.
const (
	pictureWidth  = 420
	pictureHeight = pictureWidth * 2 / 3
)

var (
	drawnMu sync.Mutex
	drawn   = map[scene]*image.RGBA{} // without captions
)

// render draws a scene, once however often it is asked for.
func render(s scene) *image.RGBA {
	drawnMu.Lock()
	defer drawnMu.Unlock()
	if img := drawn[s]; img != nil {
		return img
	}
	img := image.NewRGBA(image.Rect(0, 0, pictureWidth, pictureHeight))
	var rows sync.WaitGroup
	for py := range pictureHeight {
		rows.Go(func() { row(img, s, py) })
	}
	rows.Wait()
	drawn[s] = img
	return img
}

func row(img *image.RGBA, s scene, py int) {
	const step = 3.0 / pictureWidth
	for px := range pictureWidth {
		x, y := (float64(px)+0.5)*step, (float64(py)+0.5)*step
		c := s.at(x, y)
		// A lens darkens its corners; a sensor is never quite still.
		vignette := 1.04 - 0.10*(sq(x-1.5)+sq(y-1))/1.6
		c = c.times(vignette).plus(0.02 * (chance(int32(px), int32(py), 7) - 0.5))
		img.SetRGBA(px, py, c.pixel())
	}
}

// picture is a scene with its caption, as a file.
func picture(s scene, caption string) ([]byte, error) {
	base := render(s)
	img := image.NewRGBA(base.Bounds())
	copy(img.Pix, base.Pix)
	if err := label(img, caption); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 92}); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
