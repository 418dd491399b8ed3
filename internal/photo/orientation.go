// SPDX-License-Identifier: Apache-2.0

package photo

import (
	"bytes"
	"encoding/binary"
	"image"
)

// orientation reads the tag that says how the camera was held, 1 to 8; 1,
// upright, when there is none or it can't be read.
//
// Source: JEITA CP-3451 (Exif 2.3), tag 0x0112 in IFD0 of the APP1 segment;
// from memory.
func orientation(jpegData []byte) int {
	tiff := exif(jpegData)
	if len(tiff) < 8 {
		return 1
	}
	var order binary.ByteOrder = binary.LittleEndian
	if string(tiff[:2]) == "MM" {
		order = binary.BigEndian
	} else if string(tiff[:2]) != "II" {
		return 1
	}
	at := uint64(order.Uint32(tiff[4:]))
	if at+2 > uint64(len(tiff)) {
		return 1
	}
	n := uint64(order.Uint16(tiff[at:]))
	for i := range n {
		e := at + 2 + 12*i
		if e+12 > uint64(len(tiff)) {
			return 1
		}
		if order.Uint16(tiff[e:]) == 0x0112 {
			if v := int(order.Uint16(tiff[e+8:])); v >= 1 && v <= 8 {
				return v
			}
			return 1
		}
	}
	return 1
}

// exif finds the TIFF block of a JPEG's Exif segment.
func exif(data []byte) []byte {
	head := []byte("Exif\x00\x00")
	for i := 2; i+4 <= len(data) && data[i] == 0xff; {
		marker := data[i+1]
		if marker == 0xda || marker == 0xd9 { // the picture begins, or the file ends
			return nil
		}
		size := int(binary.BigEndian.Uint16(data[i+2:]))
		end := i + 2 + size
		if size < 2 || end > len(data) {
			return nil
		}
		if segment := data[i+4 : end]; marker == 0xe1 && bytes.HasPrefix(segment, head) {
			return segment[len(head):]
		}
		i = end
	}
	return nil
}

// upright turns a picture so that it stands as it was seen.
func upright(img image.Image, o int) image.Image {
	if o == 1 {
		return img
	}
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	if o >= 5 { // on its side
		w, h = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range b.Dy() {
		for x := range b.Dx() {
			tx, ty := place(o, x, y, b.Dx()-1, b.Dy()-1)
			out.Set(tx, ty, img.At(b.Min.X+x, b.Min.Y+y))
		}
	}
	return out
}

// place is where a stored pixel belongs; r and b are the last column and row.
func place(o, x, y, r, b int) (int, int) {
	switch o {
	case 2: // mirrored
		return r - x, y
	case 3: // upside down
		return r - x, b - y
	case 4: // upside down, mirrored
		return x, b - y
	case 5: // on its side, mirrored
		return y, x
	case 6: // turned to the left: turn it right
		return b - y, x
	case 7:
		return b - y, r - x
	case 8: // turned to the right: turn it left
		return y, r - x
	}
	return x, y
}
