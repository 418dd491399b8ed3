// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/qr"

	"witnessmark/internal/job"
)

// A part comes along from the order to the shelf: one tap when it arrives, a
// number that differs is questioned, and the answer stays on record.
func TestPartComesAlong(t *testing.T) {
	b := newKit(t).as(job.Office)
	a := b.page("/parts").press(`form[data-queue="Part ordered"] button`, "part", "INV-7", "title", "oil cooler", "quantity", "2", "supplier", "Harbour Parts", "on", "2026-03-02", "promised", "2026-03-01").follow()
	a.says(`[data-part="INV-7"] .question`, "promised for 2026-03-01, before it was ordered on 2026-03-02")
	a = a.press(`form[aria-label^="Promised"] button`, "promised", "2026-03-09").follow()
	a.count(`[data-part="INV-7"] .question`, 0)
	a = a.press(`form[aria-label^="On back order"] button`, "quantity", "1", "promised", "2026-03-20").follow()
	a.says(`[data-part="INV-7"] .word`, "back order, 1 short")
	a = a.press(`button[aria-label^="Arrived, 2"]`).follow()
	a.says(`[data-part="INV-7"] .word`, "here")
	a = a.press(`form[aria-label^="Check its number"] button`, "number", "INV-8").follow()
	a.says(`[data-part="INV-7"] .question`, "The number on it is INV-8, expected INV-7")
	refused := a.press(`form[data-queue^="Number looked at"] button`)
	refused.says(".problem", "Say why INV-8 is the right part")
	a = refused.press(`form[data-queue^="Number looked at"] button`, "reason", "the maker’s new number").follow()
	a.says(`[data-part="INV-7"] .word`, "here, number right")
	// An office worker does not say what was fitted.
	a.count(`form[aria-label^="Fitted"]`, 0)
	if c := b.state().State.Supply["INV-7"]; len(c.Checked) != 2 || c.Checked[1].Body.Right == "" {
		t.Errorf("on record: %+v", c.Checked)
	}
}

func TestPartIsRefusedWithWhatWasTyped(t *testing.T) {
	b := newKit(t).as(job.Office)
	a := b.page("/parts").press(`form[data-queue="Part ordered"] button`, "part", "INV-7", "quantity", "many", "on", "2026-03-02")
	if a.status != http.StatusUnprocessableEntity {
		t.Fatalf("status %d", a.status)
	}
	a.says(".problem", `"many" is no number of parts: write how many, such as 8`)
	if got := a.Find(`form[data-queue="Part ordered"] [name=part]`).AttrOr("value", ""); got != "INV-7" {
		t.Errorf("the number typed came back as %q", got)
	}
}

func TestSpecialTool(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	a := b.page("/special").press(`form[data-queue="Tool reserved"] button`, "tool", "balance shaft pin", "from", "2026-03-12", "to", "2026-03-09")
	a.says(".problem", "before it begins")
	a = a.press(`form[data-queue="Tool reserved"] button`, "tool", "balance shaft pin", "from", "2026-03-09", "to", "2026-03-12").follow()
	a.says("main", "Reserved: balance shaft pin")
	// Promised to another job too: said in both.
	k.add("job/0501", "job_opened", job.Opened{Number: "0501"})
	k.add("job/0501", "tool_reserved", job.ToolReserved{Tool: "balance shaft pin", From: "2026-03-12", To: "2026-03-14"})
	b.page("/special").says(".open-here", "balance shaft pin is promised to job 0500 and job 0501, 2026-03-12")
	a = b.page("/special").press(`button[aria-label^="Borrowed, in hand"]`).follow()
	a.says("main .word", "in hand, borrowed")
	a.press(`button[aria-label^="Given back"]`).follow().says("main .word", "given back")
}

// A label opens its bag or bin: scanned, typed, or read off a photo.
func TestLabelOpensItsItem(t *testing.T) {
	k := newKit(t)
	k.add("job/0500", "operation_done", job.OperationDone{Operation: "sump", Title: "Sump off", Direction: "strip"})
	k.add("job/0500", "part_ordered", job.PartOrdered{Part: "INV-7", Title: "oil cooler", Quantity: 1, On: "2026-03-02"})
	b := k.as(job.Technician)
	a := b.get("/jobs/0500/labels.pdf?" + url.Values{"paper": {"letter"}, "columns": {"3"}, "rows": {"10"}, "margin_top": {"12.7"}, "margin_side": {"4.8"},
		"gap_across": {"3,2"}, "gap_down": {"0"}, "skip": {"2"}, "bag": {"sump"}, "bin": {"INV-7"}, "other": {"old shells"}}.Encode())
	if a.status != http.StatusOK || !strings.HasPrefix(a.body, "%PDF-") {
		t.Fatalf("labels: %d %.80s", a.status, a.body)
	}
	b.get("/jobs/0500/labels.pdf?paper=a4&columns=30&rows=2").says(".problem", "write")
	label := job.Label{Job: "0500", Kind: job.LabelBag, Item: "sump"}.Text()
	for code, to := range map[string]string{label: "/jobs/0500/refit#operation-sump", "inv 7": "/jobs/0500/parts#part-INV-7", "0500": "/jobs/0500"} {
		if got := b.send("/scan", url.Values{"code": {code}}); got.status != http.StatusSeeOther || got.to != to {
			t.Errorf("%s leads to %d %s, want %s", code, got.status, got.to, to)
		}
	}
	if got := b.photo("/scan", photoOf(t, label)); got.status != http.StatusSeeOther || got.to != "/jobs/0500/refit#operation-sump" {
		t.Errorf("the photo leads to %d %s: %s", got.status, got.to, got.Find(".problem").Text())
	}
	b.get("/scan?code=4711").says(".problem", "no label of this workshop")
	b.get("/scan?code="+url.QueryEscape(job.Label{Job: "9", Kind: job.LabelBag, Item: "x"}.Text())).says(".problem", "job 9, which is not in this workshop")
}

// photoOf is a photo of a code.
func photoOf(t *testing.T, text string) []byte {
	t.Helper()
	code, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		t.Fatal(err)
	}
	if code, err = barcode.Scale(code, 400, 400); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, code, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// photo posts one photo, with fields beside it.
func (b *tablet) photo(path string, data []byte, fields ...string) answer {
	b.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for i := 0; i < len(fields); i += 2 {
		b.must(w.WriteField(fields[i], fields[i+1]))
	}
	part, err := w.CreateFormFile("photo", "label.jpg")
	b.must(err)
	_, err = part.Write(data)
	b.must(err)
	b.must(w.Close())
	r, err := http.NewRequestWithContext(b.Context(), http.MethodPost, b.url+path, &body)
	b.must(err)
	r.Header.Set("Content-Type", w.FormDataContentType())
	return b.do(r)
}

// The calendar's address is shown once, opens without a log-in, and ends.
func TestCalendarFeed(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	made := b.get("/calendar").press(`form[action="/calendar/feed"] button`)
	address := strings.TrimSpace(made.Find("#feed").Text())
	path := address[strings.Index(address, "/calendar/"):]
	if b.get("/calendar").Find("#feed").Length() != 0 {
		t.Error("the address is shown again")
	}
	k.add("job/0500", "tool_reserved", job.ToolReserved{Tool: "balance shaft pin", From: "2026-03-09", To: "2026-03-12"})
	out := k.as("")
	a := out.get(path)
	if a.status != http.StatusOK || !strings.Contains(a.body, "BEGIN:VCALENDAR\r\n") || !strings.Contains(a.body, "DTSTART;VALUE=DATE:20260309\r\nDTEND;VALUE=DATE:20260313\r\n") {
		t.Fatalf("%d\n%s", a.status, a.body)
	}
	b.get("/calendar").press(`form[action="/calendar/feed/end"] button`)
	if a := out.get(path); a.status != http.StatusNotFound {
		t.Errorf("an ended address answers %d", a.status)
	}
	if a := out.get("/calendar//workshop.ics"); a.status == http.StatusOK {
		t.Error("no secret opens a calendar")
	}
}

func TestWorkingCalendar(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Manager)
	a := b.get("/settings").press(`form[action="/settings/calendar"] button`, "day1", "8 to 5")
	a.says(".problem", "Monday: hours")
	a = b.get("/settings").press(`form[action="/settings/calendar"] button`, "day6", "08:00-12:00", "off", "2026-12-24\n2026-12-25", "people", "2", "lifts", "3", "wait", "2,5")
	a.follow().says("main", "Now 3 lifts and 2 people, limit 2.5 %")
	w, err := k.shop.Workshop(t.Context())
	k.must(err)
	h, err := k.shop.Hours(w)
	k.must(err)
	if h.Assumed || h.Set.WaitLimit != 0.025 || len(h.Calendar.Off) != 2 || len(h.Calendar.Week[6]) != 1 {
		t.Errorf("%+v", h)
	}
}
