// SPDX-License-Identifier: Apache-2.0

package web

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"net/http"
	"strings"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
)

// wrenchRows is a file of four bolts, one of which starts late.
func wrenchRows() []byte {
	var b strings.Builder
	b.WriteString("fastener,angle_deg,torque_Nm\n")
	for bolt, seats := range map[string]int{"1a": 40, "1b": 42, "2a": 41, "2b": 70} {
		for angle := 0; angle <= seats+90; angle++ {
			fmt.Fprintf(&b, "%s,%d,%.2f\n", bolt, angle, 1+0.6*float64(max(0, angle-seats)))
		}
	}
	return []byte(b.String())
}

// An odd trace says why, and stands in the way until somebody looked.
func TestOddTraceUntilLookedAt(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	b.page("/traces").says(".empty", "No trace is on record")
	_, _, err := k.shop.KeepTraces(t.Context(), "p-technician", k.job, shop.TraceUpload{Fastener: "rod_bolt", Name: "w.csv", Data: wrenchRows()})
	k.must(err)
	odd := func() (n int) {
		for _, o := range b.state().Assessment.Obstacles {
			if o.Code == job.TraceOdd {
				n++
			}
		}
		return n
	}
	if odd() != 1 {
		t.Fatalf("%d odd traces stand in the way, want 1", odd())
	}
	page := b.page("/traces")
	page.says(".oddtrace", "Position 2 (B1) bolt b: odd.")
	page.says(".oddtrace", "Starts late")
	page.count(".traces svg.drawing", 2)
	page = page.press(".oddtrace button", "finding", "Cap not seated; loosened, seated, done again.").follow()
	page.says(".oddtrace", "Looked at: Cap not seated")
	page.count(".oddtrace form", 0)
	if odd() != 0 {
		t.Error("it still stands in the way after somebody looked")
	}
}

// sendTraces sends a wrench's file by the form of the page.
func (b *tablet) sendTraces(data string) answer {
	b.Helper()
	v, action := b.page("/traces").fill("form[enctype] button.go")
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for name := range v {
		if name != "file" {
			b.must(form.WriteField(name, v.Get(name)))
		}
	}
	part, err := form.CreateFormFile("file", "wrench.csv")
	b.must(err)
	_, err = part.Write([]byte(data))
	b.must(err)
	b.must(form.Close())
	r, err := http.NewRequestWithContext(b.Context(), http.MethodPost, b.url+action, &body)
	b.must(err)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return b.do(r)
}

// A file that can't be read comes back in words and keeps nothing; one with
// decimal commas and mojibake in its names is read.
func TestTraceFilesByForm(t *testing.T) {
	b := newKit(t).as(job.Technician)
	before := b.last().Seq
	for name, c := range map[string]struct{ data, want string }{
		"backwards":  {"fastener,angle_deg,torque_Nm\n1a,10,5\n1a,60,25\n1a,20,26\n", "goes back"},
		"no columns": {"a;b\n1;2\n", "angle and torque"},
		"empty":      {"", "file"},
	} {
		a := b.sendTraces(c.data)
		if a.status != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d", name, a.status)
		}
		a.says(".problem", c.want)
	}
	if b.last().Seq != before {
		t.Error("a bad file was kept")
	}
	var german strings.Builder
	german.WriteString("Bolt;Angle (Â°);Torque (NÂ·m)\n")
	for angle := 0; angle <= 130; angle++ {
		fmt.Fprintf(&german, "1a;%d,5;%s\n", angle, strings.Replace(fmt.Sprintf("%.2f", 1+0.6*float64(max(0, angle-40))), ".", ",", 1))
	}
	b.sendTraces(german.String()).follow().says(".traces", "Position 1 (")
	kept := entryOf[job.TraceKept](t, b.last(), "trace_kept")
	if got := kept.Traces[0]; kept.Rows != 131 || got.Rate == nil || *got.Rate < 0.59 || *got.Rate > 0.61 {
		t.Errorf("kept %+v", kept)
	}
}
