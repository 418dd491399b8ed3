// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/oned"
	"github.com/makiuchi-d/gozxing/qrcode"
	"golang.org/x/image/draw"
)

// codeSizes are the longer sides, in pixels, at which a code is looked for: a
// label fills a photo taken close by, and is lost in noise at full size.
var codeSizes = []int{1200, 700, 2200}

// Code reads the code on a photo of a label: a QR code, or the bar code of a
// supplier's label (Code 128, Code 39, EAN). ok is false when none is found.
func Code(p Photo) (text string, ok bool, err error) {
	turn <- struct{}{}
	defer func() { <-turn }()
	img, err := jpeg.Decode(bytes.NewReader(p.JPEG))
	if err != nil {
		return "", false, fmt.Errorf("photo: %w", err)
	}
	for _, size := range codeSizes {
		if text, ok := codeOn(grey(img, size)); ok {
			return text, true, nil
		}
	}
	return "", false, nil
}

// grey is the picture in grey with its longer side of at most so many pixels.
func grey(img image.Image, longer int) *image.Gray {
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	if m := max(w, h); m > longer {
		w, h = max(w*longer/m, 1), max(h*longer/m, 1)
	}
	out := image.NewGray(image.Rect(0, 0, w, h))
	draw.ApproxBiLinear.Scale(out, out.Bounds(), img, b, draw.Src, nil)
	return out
}

// codeOn tries each kind of code. The decoder is for pictures from outside, so
// a panic in it is no code.
func codeOn(img image.Image) (text string, ok bool) {
	defer func() {
		if recover() != nil {
			text, ok = "", false
		}
	}()
	hints := map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true}
	for _, reader := range []gozxing.Reader{qrcode.NewQRCodeReader(), oned.NewCode128Reader(), oned.NewEAN13Reader(), oned.NewCode39Reader()} {
		bitmap, err := gozxing.NewBinaryBitmapFromImage(img)
		if err != nil {
			return "", false
		}
		if r, err := reader.Decode(bitmap, hints); err == nil && r.GetText() != "" {
			return r.GetText(), true
		}
	}
	return "", false
}
