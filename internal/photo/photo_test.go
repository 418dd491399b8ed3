// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"strings"
	"testing"
)

// corner is a picture, wider than high, whose upper left quarter is red.
func corner(w, h int) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.RGBA{255, 255, 255, 255}
			if x < w/2 && y < h/2 {
				c = color.RGBA{200, 0, 0, 255}
			}
			img.Set(x, y, c)
		}
	}
	return img
}

func asJPEG(t testing.TB, img image.Image) []byte {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// withExif puts an Exif segment with the orientation, and a place in words,
// after the start of a JPEG.
func withExif(data []byte, o uint16, order binary.ByteOrder) []byte {
	var tiff bytes.Buffer
	if order == binary.LittleEndian {
		tiff.WriteString("II")
	} else {
		tiff.WriteString("MM")
	}
	w := func(v any) { _ = binary.Write(&tiff, order, v) }
	w(uint16(42))
	w(uint32(8))
	w(uint16(1))
	w(uint16(0x0112))
	w(uint16(3))
	w(uint32(1))
	w(o)
	w(uint16(0))
	w(uint32(0))
	tiff.WriteString("GPS: behind the workshop")
	segment := append([]byte("Exif\x00\x00"), tiff.Bytes()...)
	out := append([]byte{}, data[:2]...)
	out = append(out, 0xff, 0xe1)
	out = binary.BigEndian.AppendUint16(out, uint16(len(segment)+2))
	out = append(out, segment...)
	return append(out, data[2:]...)
}

// The red quarter must lie where the tag says the scene's upper left was.
func TestTakeTurnsUpright(t *testing.T) {
	// Stored picture 40 × 20 with red upper left. Where red lands, in halves,
	// by the meaning of each orientation.
	where := map[uint16][2]int{1: {0, 0}, 2: {1, 0}, 3: {1, 1}, 4: {0, 1}, 5: {0, 0}, 6: {1, 0}, 7: {1, 1}, 8: {0, 1}}
	for _, order := range []binary.ByteOrder{binary.LittleEndian, binary.BigEndian} {
		for o, half := range where {
			p, err := Take(bytes.NewReader(withExif(asJPEG(t, corner(40, 20)), o, order)))
			if err != nil {
				t.Fatalf("orientation %d: %v", o, err)
			}
			if wide := p.Width > p.Height; wide != (o < 5) {
				t.Errorf("orientation %d: %d × %d", o, p.Width, p.Height)
			}
			img, err := jpeg.Decode(bytes.NewReader(p.JPEG))
			if err != nil {
				t.Fatal(err)
			}
			x, y := p.Width/4+half[0]*p.Width/2, p.Height/4+half[1]*p.Height/2
			if r, g, _, _ := img.At(x, y).RGBA(); r>>8 < 150 || g>>8 > 90 {
				t.Errorf("orientation %d: no red at %d,%d of %d × %d", o, x, y, p.Width, p.Height)
			}
		}
	}
}

func TestTakeLeavesNothingButThePicture(t *testing.T) {
	data := withExif(asJPEG(t, corner(40, 20)), 1, binary.BigEndian)
	data = append(data, []byte("<script>alert(1)</script>")...)
	p, err := Take(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []string{"Exif", "GPS", "script"} {
		if bytes.Contains(p.JPEG, []byte(s)) {
			t.Errorf("%q is still in the photo", s)
		}
	}
}

// bomb is a PNG whose head claims a size that its data does not have.
func bomb(t *testing.T, w, h uint32) []byte {
	var b bytes.Buffer
	if err := png.Encode(&b, corner(4, 4)); err != nil {
		t.Fatal(err)
	}
	data := b.Bytes()
	binary.BigEndian.PutUint32(data[16:], w)
	binary.BigEndian.PutUint32(data[20:], h)
	binary.BigEndian.PutUint32(data[29:], crc32.ChecksumIEEE(data[12:29]))
	return data
}

func TestTakeRefuses(t *testing.T) {
	whole := asJPEG(t, corner(400, 200))
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"nothing":         {nil, "empty"},
		"half a photo":    {whole[:len(whole)/2], "half sent"},
		"a text":          {[]byte("not a photo at all"), "no photo"},
		"SVG":             {[]byte(`<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`), "no photo"},
		"HTML":            {[]byte("<!doctype html><script>alert(1)</script>"), "no photo"},
		"HTML with magic": {append([]byte("\xff\xd8\xff"), []byte("<!doctype html>")...), "decoded"},
		"GIF":             {[]byte("GIF89a\x01\x00\x01\x00\x00\x00\x00"), "no photo"},
		"a bomb":          {bomb(t, 30000, 30000), "50 megapixels"},
		"too large":       {append(whole, make([]byte, MaxBytes)...), "20 MB"},
	} {
		_, err := Take(bytes.NewReader(c.data))
		var r *Refused
		if !errors.As(err, &r) || !strings.Contains(r.Why, c.want) || r.Next == "" {
			t.Errorf("%s: %v, want a refusal with %q", name, err, c.want)
		}
	}
}

func TestThumbnail(t *testing.T) {
	p, err := Take(bytes.NewReader(asJPEG(t, corner(1000, 500))))
	if err != nil {
		t.Fatal(err)
	}
	small, err := Thumbnail(p.JPEG)
	if err != nil {
		t.Fatal(err)
	}
	c, err := jpeg.DecodeConfig(bytes.NewReader(small))
	if err != nil || c.Width != ThumbSize || c.Height != ThumbSize/2 {
		t.Errorf("thumbnail of 1000 × 500 is %d × %d, %v", c.Width, c.Height, err)
	}
	if same, err := Thumbnail(small); err != nil || !bytes.Equal(same, small) {
		t.Error("a small photo was made anew")
	}
}

func TestPNGWithHolesIsOnWhite(t *testing.T) {
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewNRGBA(image.Rect(0, 0, 8, 8))); err != nil {
		t.Fatal(err)
	}
	p, err := Take(&b)
	if err != nil {
		t.Fatal(err)
	}
	img, err := jpeg.Decode(bytes.NewReader(p.JPEG))
	if err != nil {
		t.Fatal(err)
	}
	if r, _, _, _ := img.At(4, 4).RGBA(); r>>8 < 250 {
		t.Error("what was transparent is not white")
	}
}

func FuzzTake(f *testing.F) {
	f.Add(asJPEG(f, corner(8, 8)))
	f.Add(withExif(asJPEG(f, corner(8, 8)), 6, binary.LittleEndian))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Take(bytes.NewReader(data))
		if err != nil {
			return
		}
		if _, err := jpeg.DecodeConfig(bytes.NewReader(p.JPEG)); err != nil {
			t.Errorf("what was taken can't be read back: %v", err)
		}
	})
}
