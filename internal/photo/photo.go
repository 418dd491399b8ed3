// SPDX-License-Identifier: Apache-2.0

// Package photo takes in a photo from outside: it refuses what is too large or
// is no photo, turns it upright, and writes it anew so that nothing but the
// picture is left of the file: no location, no camera, no hidden payload.
//
// Start with [Take]; [Thumbnail] makes the small copy for a page. Uploads are
// distrusted: size and pixels are looked at before anything is decoded.
package photo

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	_ "image/png" // a screen shot or a drawing
	"io"

	"golang.org/x/image/draw"
	_ "golang.org/x/image/webp" // what some tablets save
)

// Limits of a photo.
const (
	MaxBytes  = 20 << 20   // of the file
	MaxPixels = 50_000_000 // width times height
	ThumbSize = 480        // of a thumbnail's longer side
	quality   = 88         // of the JPEG that is kept
)

// Photo is a photo as it is kept: upright, and nothing but the picture.
type Photo struct {
	JPEG          []byte
	Width, Height int
	Small         []byte // the thumbnail
}

// Refused says why a file is not taken. Its words are for whoever sent it.
type Refused struct{ Why, Next string }

func (r *Refused) Error() string { return r.Why + "; " + r.Next }

// one at a time: a photo of 50 megapixels takes 200 MB while it is turned.
var turn = make(chan struct{}, 1)

// Take reads one photo: JPEG, PNG or WebP, 20 MB and 50 megapixels at most.
// The error is a *Refused unless reading itself failed.
func Take(r io.Reader) (Photo, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return Photo{}, fmt.Errorf("photo: %w", err)
	}
	if len(data) > MaxBytes {
		return Photo{}, &Refused{"the file is larger than 20 MB", "take the photo at a lower resolution"}
	}
	if len(data) == 0 {
		return Photo{}, &Refused{"the file is empty", "take the photo again"}
	}
	if err := look(data); err != nil {
		return Photo{}, err
	}
	turn <- struct{}{}
	defer func() { <-turn }()
	img, format, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return Photo{}, &Refused{"the photo can't be decoded: it is damaged or was only half sent", "send it again"}
	}
	if format == "jpeg" {
		img = upright(img, orientation(data))
	}
	p, err := encode(img)
	if err == nil {
		p.Small, err = thumbnail(img, p.JPEG)
	}
	return p, err
}

// look reads the head of the file alone: what it is and how many pixels it
// claims, before anything of that size is made.
func look(data []byte) error {
	c, _, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case errors.Is(err, image.ErrFormat):
		return &Refused{"the file is no photo that can be read here", "send a JPEG, PNG or WebP photo"}
	case err != nil:
		return &Refused{"the photo can't be decoded: it is damaged or was only half sent", "send it again"}
	case c.Width < 1 || c.Height < 1:
		return &Refused{"the photo has no pixels", "take it again"}
	case int64(c.Width)*int64(c.Height) > MaxPixels:
		return &Refused{fmt.Sprintf("the photo has %d × %d pixels, more than 50 megapixels", c.Width, c.Height), "take it at a lower resolution"}
	}
	return nil
}

func encode(img image.Image) (Photo, error) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, opaque(img), &jpeg.Options{Quality: quality}); err != nil {
		return Photo{}, fmt.Errorf("photo: %w", err)
	}
	s := img.Bounds().Size()
	return Photo{JPEG: b.Bytes(), Width: s.X, Height: s.Y}, nil
}

// opaque lays a picture with holes on white; JPEG would make them black.
func opaque(img image.Image) image.Image {
	if o, ok := img.(interface{ Opaque() bool }); !ok || o.Opaque() {
		return img
	}
	out := image.NewRGBA(img.Bounds())
	draw.Draw(out, out.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(out, out.Bounds(), img, img.Bounds().Min, draw.Over)
	return out
}

// Thumbnail is a small copy of a photo that [Take] has made, 480 pixels on its
// longer side; a smaller photo stays as it is.
func Thumbnail(data []byte) ([]byte, error) {
	img, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("photo: thumbnail: %w", err)
	}
	return thumbnail(img, data)
}

func thumbnail(img image.Image, data []byte) ([]byte, error) {
	s := img.Bounds().Size()
	long := max(s.X, s.Y)
	if long <= ThumbSize {
		return data, nil
	}
	small := image.NewRGBA(image.Rect(0, 0, max(1, s.X*ThumbSize/long), max(1, s.Y*ThumbSize/long)))
	draw.ApproxBiLinear.Scale(small, small.Bounds(), opaque(img), img.Bounds(), draw.Src, nil)
	p, err := encode(small)
	return p.JPEG, err
}

// Size is the width and height of a kept photo, without decoding it.
func Size(data []byte) (w, h int, err error) {
	c, err := jpeg.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return 0, 0, fmt.Errorf("photo: %w", err)
	}
	return c.Width, c.Height, nil
}
