// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"net/http"
	"strings"
	"testing"

	"witnessmark/internal/api"
	"witnessmark/internal/job"
)

// drawn is a picture made by the program.
func drawn() *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for x := range 64 {
		for y := range 48 {
			img.Set(x, y, color.RGBA{uint8(4 * x), uint8(5 * y), 128, 255})
		}
	}
	return img
}

// A photo is kept, named by an entry and shown; until it is named nobody sees
// it, and only a photo can be named.
func TestPhotos(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Technician)
	var file bytes.Buffer
	k.must(png.Encode(&file, drawn()))
	p, err := c.AddPhoto(t.Context(), k.job, file.Bytes())
	k.must(err)
	if p.Width != 64 || p.Height != 48 {
		t.Errorf("kept as %d × %d", p.Width, p.Height)
	}
	_, err = c.Photo(t.Context(), k.job, p.Photo)
	k.refused(err, http.StatusNotFound, "photo")
	_, err = c.Append(t.Context(), k.job, "wear_seen", job.WearSeen{Position: 2, Half: "upper", Severity: 1, Photos: []string{p.Photo}}, 0)
	k.must(err)
	data, err := c.Photo(t.Context(), k.job, p.Photo)
	k.must(err)
	if got, err := jpeg.DecodeConfig(bytes.NewReader(data)); err != nil || got.Width != 64 || len(data) != p.Bytes {
		t.Errorf("fetched %d bytes, %d wide, %v", len(data), got.Width, err)
	}
	var l api.Photos
	k.must(c.Send(t.Context(), http.MethodGet, "/jobs/0500/photos", nil, &l))
	if len(l.Photos) != 1 || l.Photos[0].Photo != p.Photo || l.Photos[0].Position != 2 {
		t.Errorf("listed %+v", l.Photos)
	}
	k.servedSafely(c.Token, p.Photo)

	// Words beside the log are no photo, of this job or another.
	_, err = k.as(job.Manager).OpenJob(t.Context(), api.NewJob{Number: "0501", Owner: &api.Contact{Name: "An Owner"}})
	k.must(err)
	other, err := c.Entries(t.Context(), "0501", 1)
	k.must(err)
	var details job.Details
	k.must(decode(other[0].Body, &details))
	_, err = c.Append(t.Context(), k.job, "arrival", job.Arrival{Photos: []string{details.Commitment}}, 0)
	k.refused(err, http.StatusUnprocessableEntity, "no photo")
}

func (k *kit) servedSafely(token, photo string) {
	k.Helper()
	r, err := http.NewRequestWithContext(k.Context(), http.MethodGet, k.server.URL+api.Prefix+"/jobs/0500/photos/"+photo+"?size=small", nil)
	k.must(err)
	r.Header.Set("Authorization", "Bearer "+token)
	res, err := http.DefaultClient.Do(r)
	k.must(err)
	defer res.Body.Close()
	for name, want := range map[string]string{"Content-Type": "image/jpeg", "X-Content-Type-Options": "nosniff"} {
		if got := res.Header.Get(name); got != want {
			k.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	if got := res.Header.Get("Content-Security-Policy"); !strings.Contains(got, "sandbox") || !strings.Contains(got, "default-src 'none'") {
		k.Errorf("policy %q", got)
	}
}

// claims is a small file that says it is a large picture.
func claims(t *testing.T, width, height uint32) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, drawn()); err != nil {
		t.Fatal(err)
	}
	data := b.Bytes()
	head := data[12:29] // the type and content of the chunk IHDR
	binary.BigEndian.PutUint32(head[4:], width)
	binary.BigEndian.PutUint32(head[8:], height)
	binary.BigEndian.PutUint32(data[29:], crc32.ChecksumIEEE(head))
	return data
}

// What only says that it is a photo is refused with a sentence.
func TestNoPhoto(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Technician)
	var whole bytes.Buffer
	k.must(jpeg.Encode(&whole, drawn(), nil))
	for name, x := range map[string]struct {
		file   []byte
		status int
		says   string
	}{
		"svg":   {[]byte(`<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`), 422, "no photo"},
		"html":  {[]byte(`<!doctype html><script>alert(1)</script>`), 422, "no photo"},
		"bomb":  {claims(t, 10000, 5001), 422, "50 megapixels"},
		"cut":   {whole.Bytes()[:whole.Len()/2], 422, "damaged"},
		"large": {make([]byte, 20<<20+1), 413, "Too large"},
		"none":  {[]byte{}, 400, "body"},
	} {
		_, err := c.AddPhoto(t.Context(), k.job, x.file)
		t.Log(name)
		k.refused(err, x.status, x.says)
	}
}
