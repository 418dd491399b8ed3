// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"bytes"
	"image/jpeg"
	"testing"
)

// Every scene is a picture of its size, comes out the same each time, and looks
// otherwise than the rest.
func TestPictures(t *testing.T) {
	seen := map[string]int{}
	for i, s := range []scene{shells{look{severity: 1}, look{}}, shells{look{severity: 3, flaked: true}, look{severity: 1}}, shells{look{severity: 1}, look{severity: 1, edge: true}},
		journal{}, journal{line: true}, crushed{bar: 1}, crushed{bar: 2, more: true}, marks{}, marks{0.3}, pleats{grey: true}, pleats{true, true}, magnet{}} {
		data, err := picture(s, "Position 1")
		if err != nil {
			t.Fatal(err)
		}
		again, err := picture(s, "Position 1")
		if err != nil || !bytes.Equal(data, again) {
			t.Errorf("%#v comes out otherwise the second time: %v", s, err)
		}
		c, err := jpeg.DecodeConfig(bytes.NewReader(data))
		if err != nil || c.Width != pictureWidth || c.Height != pictureHeight {
			t.Errorf("%#v: %d × %d, %v", s, c.Width, c.Height, err)
		}
		if j, twice := seen[string(data)]; twice {
			t.Errorf("%#v looks like scene %d", s, j)
		}
		seen[string(data)] = i
	}
}
