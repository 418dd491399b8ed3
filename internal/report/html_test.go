// SPDX-License-Identifier: Apache-2.0

package report

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"regexp"
	"strings"
	"testing"

	"witnessmark/internal/job"
)

func htmlOf(t testing.TB, d Data) string {
	t.Helper()
	var b bytes.Buffer
	if err := d.HTML(context.Background(), &b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestHTMLHasEverything: what the PDF has is on the page too.
func TestHTMLHasEverything(t *testing.T) {
	d := fixture(t)
	got := htmlOf(t, d)
	for _, want := range []string{
		"<title>Job 0001 · report</title>", job.Precedence, FilmCaution, job.InventedNotice, d.Purpose, "Owner: Owner (invented)",
		"Corrected by entry 6. It first said: Position 1 (A), as fitted, clearance: 0.083 mm.", "Position 1 (A), bolts a and b",
		"1 thing stands in the way", "Conceded by B. Nobody: the owner was told.", "It rests on entry 8.", "Said at the handover: Running-in explained.",
		"µ ± ≤ ° ⌀ ’ are shown", goneErased, "Entry 3, position 1 (A): Wear seen", "data:image/jpeg;base64,", `class="drawn" d="M`,
		"Tools and gauges used", "Different from what the handover rested on", "0123 4567 89ab cdef", d.Key,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
	text := strings.Count(got, "<h2>")
	if text != 13 {
		t.Errorf("%d sections", text)
	}
}

// TestHTMLIsGuarded: the page's own style has the hash that is allowed, and
// nothing on it is script, inline style or from elsewhere, whatever was typed.
func TestHTMLIsGuarded(t *testing.T) {
	d := fixture(t)
	d.Purpose = `<script>alert(1)</script>" onload="x`
	d.Lines[0].Now = `<img src=x onerror=alert(1)>`
	got := htmlOf(t, d)
	_, rest, _ := strings.Cut(got, "<style>")
	own, _, _ := strings.Cut(rest, "</style>")
	sum := sha256.Sum256([]byte(own))
	if want := "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"; StyleHash() != want {
		t.Errorf("style hash %s, page has %s", StyleHash(), want)
	}
	if m := regexp.MustCompile(`<script|<img|<[^>]* style=|<[^>]* on\w+=|(?:src|href)="https?:`).FindString(got); m != "" {
		t.Errorf("the page has %q", m)
	}
}
