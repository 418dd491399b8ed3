// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"image"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"slices"
	"testing"

	"witnessmark/internal/job"
)

// Every page that makes an entry about the engine takes photos with it.
func TestEveryEntryTakesPhotos(t *testing.T) {
	b := newKit(t).as(job.Technician)
	for page, forms := range map[string][]string{
		"/arrival": {"arrival"}, "/strip": {"strip"}, "/debris": {"debris", "mains"}, "/wear/1": {"wear", "journal", "part"}, "/shells/1": {"shells"},
		"/position/1/fitted": {"reading"}, "/assemble": {"fitted"}, "/settings": {"settings"}, "/close": {"close"}, "/run": {"run"}, "/note": {"note"},
	} {
		a := b.page(page)
		for _, f := range forms {
			if a.Find(`form[enctype="multipart/form-data"][action$="/`+f+`"] input[type=file][name=photo]`).Length() == 0 {
				t.Errorf("%s: no photo with the form that sends to %s", page, f)
			}
		}
	}
}

// sendPhoto presses a button with a photo in its form.
func (a answer) sendPhoto(button string, fields ...string) answer {
	a.Helper()
	v, action := a.fill(button, fields...)
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for name, values := range v {
		for _, x := range values {
			if name != "photo" {
				a.must(form.WriteField(name, x))
			}
		}
	}
	file, err := form.CreateFormFile("photo", "a.jpg")
	a.must(err)
	a.must(jpeg.Encode(file, image.NewGray(image.Rect(0, 0, 60, 40)), nil))
	a.must(form.Close())
	r, err := http.NewRequestWithContext(a.Context(), http.MethodPost, a.url+action, &body)
	a.must(err)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return a.do(r)
}

// The sheet asks for photos: pages say so, their absence stands in the way and
// leads to the page that takes them, and a photo clears it.
func TestPhotoAsked(t *testing.T) {
	b := newKit(t).as(job.Technician)
	missing := func() []string {
		var out []string
		for _, o := range standing(b.state(), job.PhotoMissing) {
			out = append(out, obstaclePath("0500", o))
		}
		return out
	}
	if got := missing(); !slices.Equal(got, []string{"/jobs/0500/wear/1", "/jobs/0500/bolts", "/jobs/0500/debris"}) {
		t.Errorf("missing photos lead to %q", got)
	}
	page := b.page("/wear/1")
	page.says(".asked", "The engine sheet asks for a photo here: both shells side by side")
	page.sendPhoto("#shell button.go", "half", "upper", "severity", "1").follow().says(".asked.is-fits", "both shells side by side")
	b.page("/debris").sendPhoto("#found button.go", "place", "filter", "kind", "copper", "amount", "trace").follow()
	if got := missing(); !slices.Equal(got, []string{"/jobs/0500/wear/2", "/jobs/0500/bolts"}) {
		t.Errorf("missing photos lead to %q", got)
	}
}

// A reading takes a photo too. Without script the read-back asks for it once
// more, since a browser sends a file with one page only.
func TestPhotoOfReading(t *testing.T) {
	b := newKit(t).as(job.Technician)
	again := b.page("/position/1/fitted").sendPhoto("#keep", "bar", "0.038")
	again.says("main", "Choose the photo once more")
	again.sendPhoto("main form button.go").follow()
	l := b.state()
	if n := len(l.State.Photos); n != 1 || b.last().Kind != "reading" {
		t.Errorf("%d photos, last entry %s", n, b.last().Kind)
	}
	b.page("/photos").says(".contact", "as fitted")
}
