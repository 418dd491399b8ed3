// SPDX-License-Identifier: Apache-2.0

package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/gob"
	"encoding/hex"
	"fmt"

	"codeberg.org/go-pdf/fpdf"
)

// embed puts a JPEG into the document, once however often it is shown, and
// returns the name to show it by.
func (p *paper) embed(data []byte) string {
	sum := sha256.Sum256(data)
	name := hex.EncodeToString(sum[:])
	if p.doc.GetImageInfo(name) != nil {
		return name
	}
	info := p.doc.RegisterImageOptionsReader(name, jpegOptions, bytes.NewReader(data))
	if p.doc.Err() {
		return name
	}
	if err := tellApart(info, p.images); err != nil {
		p.doc.SetError(fmt.Errorf("report: photo: %w", err))
	}
	p.images++
	return name
}

var jpegOptions = fpdf.ImageOptions{ImageType: "JPG"}

// tellApart makes an image's width its own by n millionths of a pixel, of which
// nothing is printed. The document writes its images in the order of their
// widths, and images of one width in any order, so that the same report would
// come out in other bytes every time. An image's fields can only be reached as
// they are serialised.
func tellApart(info *fpdf.ImageInfoType, n int) error {
	raw, err := info.GobEncode()
	if err != nil {
		return err
	}
	var (
		data, mask, palette     []byte
		object, bits            int
		w, h, scale, dpi        float64
		colours, filter, params string
		transparent             []int
	)
	fields := []any{&data, &mask, &object, &w, &h, &colours, &palette, &bits, &filter, &params, &transparent, &scale, &dpi}
	dec := gob.NewDecoder(bytes.NewReader(raw))
	for _, f := range fields {
		if err := dec.Decode(f); err != nil {
			return err
		}
	}
	w += float64(n) * 1e-6
	var b bytes.Buffer
	enc := gob.NewEncoder(&b)
	for _, f := range fields {
		if err := enc.Encode(f); err != nil {
			return err
		}
	}
	return info.GobDecode(b.Bytes())
}
