// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"image"
	"image/jpeg"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/internal/photo"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

// Report, the owner's summary and blank sheets can be had on either paper, and
// without saying which on the workshop's own.
func TestPapers(t *testing.T) {
	b := newKit(t).as(job.Office)
	for _, path := range []string{"/jobs/0500/report.pdf", "/jobs/0500/summary.pdf", "/sheets/" + b.other + "/blank.pdf"} {
		for paper, size := range map[string]string{"": "[0 0 595.28 841.89]", "?paper=a4": "[0 0 595.28 841.89]", "?paper=letter": "[0 0 612.00 792.00]"} {
			a := b.get(path + paper)
			if a.status != http.StatusOK || !strings.HasPrefix(a.body, "%PDF-") || !strings.Contains(a.body, size) {
				t.Errorf("%s%s: %d, no PDF of %s", path, paper, a.status, size)
			}
		}
		if a := b.get(path + "?paper=a3"); a.status != http.StatusNotFound {
			t.Errorf("%s on a3: %d", path, a.status)
		}
	}
	b.page("/handover").count(`a[href$="/report.pdf"], a[href$="/summary.pdf"], a[href$="/bundle.zip"]`, 3)
	b.page("/sheet").count(`a[href$="/blank.pdf?job=0500"]`, 1)
}

// A bundle has the report in both forms and all that is beside the log, or
// says what is withheld; it verifies either way.
func TestBundleWithout(t *testing.T) {
	b := newKit(t).as(job.Manager)
	const secret = "Owner wants a call before noon."
	b.page("/note").press("main form button.go", "words", secret).follow()
	b.seePhoto()
	key, err := b.shop.VerifierKey()
	b.must(err)
	for _, c := range []struct {
		query           string
		blobs, withheld int
	}{{"", 2, 0}, {"?without=words", 1, 1}, {"?without=photos", 1, 1}, {"?" + url.Values{"without": {"words", "photos"}}.Encode(), 0, 2}} {
		a := b.get("/jobs/0500/bundle.zip" + c.query)
		bundle, v := record.VerifyBundle([]byte(a.body), key)
		if !v.OK || len(v.Withheld) != c.withheld || len(bundle.Blobs) != c.blobs || len(v.Erased) != 0 {
			t.Errorf("%q: %s; withheld %d, blobs %d", c.query, v, len(v.Withheld), len(bundle.Blobs))
		}
		html, pdf := bundle.Files["report.html"], bundle.Files["report.pdf"]
		if len(html) == 0 || !bytes.HasPrefix(pdf, []byte("%PDF-")) {
			t.Fatalf("%q: the report is missing: %d and %d bytes", c.query, len(html), len(pdf))
		}
		hidden := strings.Contains(c.query, "words")
		if bytes.Contains(html, []byte(secret)) == hidden || bytes.Contains(html, []byte("Some manager")) == hidden {
			t.Errorf("%q: names and notes withheld %t, but the report has them otherwise", c.query, hidden)
		}
	}
}

// seePhoto keeps wear with a photo of it.
func (b *tablet) seePhoto() {
	b.Helper()
	var buf bytes.Buffer
	b.must(jpeg.Encode(&buf, image.NewGray(image.Rect(0, 0, 60, 40)), nil))
	p, err := photo.Take(&buf)
	b.must(err)
	_, _, err = b.shop.Append(b.Context(), "p-manager", shop.Input{Subject: "job/" + b.job, Kind: "wear_seen",
		Body: job.WearSeen{Position: 1, Half: job.Upper, Severity: 1}, Photos: []photo.Photo{p}})
	b.must(err)
}
