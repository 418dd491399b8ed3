// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"testing"

	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/code128"
	"github.com/boombuler/barcode/qr"
	"golang.org/x/image/draw"
	"golang.org/x/image/math/f64"
)

// The codes are drawn by another library than the one that reads them.
func TestCode(t *testing.T) {
	const label = "witnessmark:job/0412/bag/sump"
	q, err := qr.Encode(label, qr.M, qr.Auto)
	if err != nil {
		t.Fatal(err)
	}
	bar, err := code128.Encode("INV-34-RB")
	if err != nil {
		t.Fatal(err)
	}
	for name, x := range map[string]struct {
		code barcode.Barcode
		w, h int
		turn float64 // sine of the angle
		want string
	}{
		"label":         {q, 300, 300, 0, label},
		"label, turned": {q, 300, 300, 0.3, label},
		"bar code":      {bar, 600, 160, 0, "INV-34-RB"},
	} {
		scaled, err := barcode.Scale(x.code, x.w, x.h)
		if err != nil {
			t.Fatal(err)
		}
		text, ok, err := Code(shot(t, scaled, x.turn))
		if err != nil || !ok || text != x.want {
			t.Errorf("%s: read %q, %v, %v", name, text, ok, err)
		}
	}
}

func TestNoCode(t *testing.T) {
	if text, ok, err := Code(shot(t, image.NewUniform(color.Gray{90}), 0)); ok || err != nil {
		t.Errorf("read %q on an empty wall, %v", text, err)
	}
}

// shot is a photo of something on a grey bench.
func shot(t *testing.T, img image.Image, sin float64) Photo {
	t.Helper()
	out := image.NewRGBA(image.Rect(0, 0, 1600, 1200))
	draw.Draw(out, out.Bounds(), image.NewUniform(color.Gray{150}), image.Point{}, draw.Src)
	b := image.Rect(0, 0, 700, 400)
	if img.Bounds().Dx() < 10_000 {
		b = img.Bounds()
	}
	paper := image.NewRGBA(b.Inset(-60))
	draw.Draw(paper, paper.Bounds(), image.White, image.Point{}, draw.Src)
	draw.Draw(paper, b, img, b.Min, draw.Src)
	cos := 1 - sin*sin/2
	draw.BiLinear.Transform(out, f64.Aff3{cos, -sin, 500, sin, cos, 350}, paper, paper.Bounds(), draw.Over, nil)
	var data bytes.Buffer
	if err := jpeg.Encode(&data, out, &jpeg.Options{Quality: 80}); err != nil {
		t.Fatal(err)
	}
	p, err := Take(&data)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
