// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"bytes"
	"image/jpeg"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/qr"

	"witnessmark/internal/api"
	"witnessmark/internal/job"
)

// Labels come as a sheet; their code leads to their item, typed or on a photo.
func TestLabelsAndScan(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Office)
	for kind, body := range map[string]any{"operation_done": job.OperationDone{Operation: "sump", Title: "Sump off", Direction: "strip"},
		"part_ordered": job.PartOrdered{Part: "INV-7", Title: "oil cooler", Quantity: 1, On: "2026-03-02"}} {
		_, err := k.as(job.Technician).Append(t.Context(), k.job, kind, body, 0)
		k.must(err)
	}
	var sheet []byte
	k.must(c.Send(t.Context(), http.MethodGet, "/jobs/0500/labels.pdf?paper=letter&columns=3&rows=10&bag=sump&bin=INV-7", nil, &sheet))
	if !bytes.HasPrefix(sheet, []byte("%PDF-")) {
		t.Errorf("labels: %.40q", sheet)
	}
	k.refused(c.Send(t.Context(), http.MethodGet, "/jobs/0500/labels.pdf", nil, &sheet), http.StatusUnprocessableEntity, "No label is chosen")

	label := job.Label{Job: "0500", Kind: job.LabelBag, Item: "sump"}.Text()
	var got api.Scanned
	k.must(c.Send(t.Context(), http.MethodGet, "/scan?code="+url.QueryEscape(label), nil, &got))
	if got.Job != "0500" || got.Kind != "bag" || got.Item != "sump" {
		t.Errorf("the label leads to %+v", got)
	}
	k.must(c.Send(t.Context(), http.MethodGet, "/scan?code=inv+7", nil, &got))
	if len(got.Parts) != 1 || got.Parts[0].Part != "INV-7" {
		t.Errorf("the number leads to %+v", got)
	}
	code, err := qr.Encode(label, qr.M, qr.Auto)
	k.must(err)
	code, err = barcode.Scale(code, 400, 400)
	k.must(err)
	var b bytes.Buffer
	k.must(jpeg.Encode(&b, code, nil))
	var photo api.Scanned
	k.must(c.Send(t.Context(), http.MethodPost, "/scan", b.Bytes(), &photo))
	if photo.Code != label || photo.Item != "sump" {
		t.Errorf("the photo leads to %+v", photo)
	}
	b.Reset()
	k.must(jpeg.Encode(&b, drawn(), nil))
	k.refused(c.Send(t.Context(), http.MethodPost, "/scan", b.Bytes(), &photo), http.StatusUnprocessableEntity, "No code was found")
	k.refused(c.Send(t.Context(), http.MethodPost, "/scan", []byte("none"), &photo), http.StatusUnprocessableEntity, "")
}

// The calendar comes as a file, and by an address that holds a secret.
func TestCalendarFeed(t *testing.T) {
	k := newKit(t)
	c := k.as(job.Office)
	var file []byte
	k.must(c.Send(t.Context(), http.MethodGet, "/calendar.ics", nil, &file))
	if !bytes.HasPrefix(file, []byte("BEGIN:VCALENDAR\r\n")) {
		t.Errorf("calendar: %.40q", file)
	}
	var at api.FeedAddress
	k.must(c.Send(t.Context(), http.MethodPost, "/calendar/feed", nil, &at))
	secret := strings.TrimSuffix(strings.TrimPrefix(at.Path, "/calendar/"), "/workshop.ics")
	if p, err := k.shop.FeedPerson(t.Context(), secret); err != nil || p.ID != "p-office" {
		t.Errorf("%q opens the calendar of %+v, %v", at.Path, p, err)
	}
	k.must(c.Send(t.Context(), http.MethodDelete, "/calendar/feed", nil, nil))
	if _, err := k.shop.FeedPerson(t.Context(), secret); err == nil {
		t.Error("the address that was ended still opens")
	}
}
