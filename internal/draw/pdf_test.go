// SPDX-License-Identifier: Apache-2.0

package draw

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// page draws d on an A4 page between margins of 15 mm.
func page(t *testing.T, d interface{ Draw(Canvas) }, w, h float64) []byte {
	t.Helper()
	doc := fpdf.New("P", "mm", "A4", "")
	doc.SetCreationDate(time.Unix(0, 0).UTC())
	doc.SetModificationDate(time.Unix(0, 0).UTC())
	doc.SetCatalogSort(true)
	AddFonts(doc)
	doc.AddPage()
	d.Draw(NewPDF(doc, 15, 20, 180, w, h))
	var b bytes.Buffer
	if err := doc.Output(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestPDFIsDeterministic: the same drawing gives the same bytes.
func TestPDFIsDeterministic(t *testing.T) {
	s := withRows()
	a, b := page(t, s, 1120, s.Height(1120)), page(t, s, 1120, s.Height(1120))
	if !bytes.Equal(a, b) {
		t.Error("two pages of the same drawing differ")
	}
}

// TestPDFTextIsText reads the page with poppler's pdftotext, which knows
// nothing of this program.
func TestPDFTextIsText(t *testing.T) {
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		if os.Getenv("WITNESSMARK_REQUIRE_ALL") == "1" {
			t.Fatal("pdftotext is not installed: apt-get install poppler-utils")
		}
		t.Skip("left out: pdftotext is not installed (apt-get install poppler-utils)")
	}
	s := withRows()
	s.Unit = "µm"
	file := filepath.Join(t.TempDir(), "strip.pdf")
	if err := os.WriteFile(file, page(t, s, 1120, s.Height(1120)), 0o666); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"µm", "0.068", "cyl B2", "highest allowed 0.060", "◐ measuring", "too wide", "95 %"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("%q cannot be read in the page:\n%s", want, out)
		}
	}
}

// TestPrintable: what the face or the PDF's text can't hold is shown as □, and
// no text takes the page down.
func TestPrintable(t *testing.T) {
	for in, want := range map[string]string{
		"µ ± ≤ ° ⌀ ’ Ω":   "µ ± ≤ ° ⌀ ’ Ω",
		"one\ttwo\nthree": "one two three",
		"oil 🛢 leak":      "oil □ leak",
		"漢字 and \x00":     "□□ and  ",
		"half \xff sent":  "half □ sent",
		"zero\u200bwidth": "zerowidth",
	} {
		if got := Printable(in); got != want {
			t.Errorf("%q is shown as %q, want %q", in, got, want)
		}
		doc := fpdf.New("P", "mm", "A4", "")
		AddFonts(doc)
		doc.AddPage()
		NewPDF(doc, 0, 0, 100, 100, 100).Text(1, 1, in, TextStyle{Size: 4})
		if err := doc.Output(&bytes.Buffer{}); err != nil {
			t.Errorf("%q: %v", in, err)
		}
	}
}
