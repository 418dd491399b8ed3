// SPDX-License-Identifier: Apache-2.0

package faults

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"testing"
)

// smallPhoto is a photo as a tablet takes it, only small.
func smallPhoto(t testing.TB) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for x := range 64 {
		for y := range 48 {
			img.Set(x, y, color.RGBA{uint8(4 * x), uint8(5 * y), 90, 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
