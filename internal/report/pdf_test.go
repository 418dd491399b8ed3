// SPDX-License-Identifier: Apache-2.0

package report

import (
	"bytes"
	"cmp"
	"context"
	"encoding/xml"
	"flag"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/sheets"
	"witnessmark/units"
)

var update = flag.Bool("update", false, "write the golden text in testdata again")

// Our own earlier output: a regression pin of structure and words, read back
// by poppler's pdftotext. Written again with
//
//	go test ./internal/report -run TestPDFText -update
func TestPDFText(t *testing.T) {
	text := tool(t, "pdftotext", "poppler-utils")
	got := words(read(t, text, pdfOf(t, fixture(t), Options{}), []string{"-raw"}, "-"))
	const golden = "testdata/report.txt"
	if *update {
		if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	a, b := strings.Split(got, "\n"), strings.Split(string(want), "\n")
	for i := range max(len(a), len(b)) {
		switch {
		case i >= len(a) || i >= len(b):
			t.Fatalf("%d lines, golden has %d", len(a), len(b))
		case a[i] != b[i]:
			t.Fatalf("line %d: %q, golden %q", i+1, a[i], b[i])
		}
	}
}

// words is the text page by page, its white space made even.
func words(s string) string {
	var out []string
	for l := range strings.SplitSeq(strings.ReplaceAll(s, "\f", "\n---- page ----\n"), "\n") {
		if l = strings.Join(strings.Fields(l), " "); l != "" {
			out = append(out, l)
		}
	}
	return strings.Join(out, "\n") + "\n"
}

// TestPDFIsDeterministic: the same data give the same bytes, gathered twice.
func TestPDFIsDeterministic(t *testing.T) {
	for _, o := range []Options{{}, {Paper: "letter"}} {
		a, b := pdfOf(t, gathered(t, told.cast.HandedOver), o), pdfOf(t, gathered(t, told.cast.HandedOver), o)
		if !bytes.Equal(a, b) {
			t.Errorf("%+v: two reports of the same job differ", o)
		}
	}
	o := BlankOptions{Job: "0412", Gauge: GaugeOf(tools(t))}
	if !bytes.Equal(blankOf(t, sheets.V8, o), blankOf(t, sheets.V8, o)) {
		t.Error("two blank sheets of the same engine differ")
	}
	if !bytes.Contains(blankOf(t, sheets.V8, o), []byte("(D:19700101000000")) {
		t.Error("a blank sheet carries the date of the clock")
	}
}

// TestPDFSaysWhatItIs: metadata, language, size of paper, fonts.
func TestPDFSaysWhatItIs(t *testing.T) {
	info, fonts := tool(t, "pdfinfo", "poppler-utils"), tool(t, "pdffonts", "poppler-utils")
	for paper, size := range map[string]string{"a4": "595.28 x 841.89 pts (A4)", "letter": "612 x 792 pts (letter)"} {
		data := pdfOf(t, gathered(t, told.cast.HandedOver), Options{Paper: paper})
		got := read(t, info, data, nil)
		for _, want := range []string{"Job 0398: report", "Saltmere Lane Engine Works (invented)", "Witnessmark test", size, "2026"} {
			if !strings.Contains(got, want) {
				t.Errorf("%s: pdfinfo has no %q:\n%s", paper, want, got)
			}
		}
		if !bytes.Contains(data, []byte("/Lang (en)")) {
			t.Errorf("%s: the language is not named", paper)
		}
		rows := strings.Split(strings.TrimSpace(read(t, fonts, data, nil)), "\n")[2:]
		if len(rows) != 2 {
			t.Errorf("%s: %d fonts, want regular and bold", paper, len(rows))
		}
		for _, r := range rows {
			if !regexp.MustCompile(`Identity-H +yes `).MatchString(r) {
				t.Errorf("%s: a font is not embedded: %s", paper, r)
			}
		}
	}
	if err := fixture(t).PDF(io.Discard, Options{Paper: "a3"}); err == nil || !strings.Contains(err.Error(), "a4 or letter") {
		t.Errorf("paper a3: %v", err)
	}
}

// TestEveryPage: the number, the precedence sentence and the notice stand on
// every page; the summary is the first and no more.
func TestEveryPage(t *testing.T) {
	text := tool(t, "pdftotext", "poppler-utils")
	all := map[string][]byte{"blank": blankOf(t, sheets.Inline4, BlankOptions{}), "crowded": pdfOf(t, crowded(t), Options{Paper: "letter"})}
	for _, id := range []string{told.cast.HandedOver, told.cast.HalfWay, told.cast.Opened} {
		all[id] = pdfOf(t, gathered(t, id), Options{})
	}
	for name, data := range all {
		pages := strings.Split(strings.TrimSuffix(read(t, text, data, []string{"-layout"}, "-"), "\f"), "\f")
		for i, p := range pages {
			p = strings.Join(strings.Fields(p), " ")
			for _, want := range []string{"page " + strconv.Itoa(i+1) + " of " + strconv.Itoa(len(pages)), job.Precedence, job.InventedNotice} {
				if !strings.Contains(p, want) {
					t.Errorf("%s, page %d has no %q", name, i+1, want)
				}
			}
		}
		if name == "blank" {
			continue
		}
		if !strings.Contains(pages[0], "Report for the owner") || !strings.Contains(pages[1], "As fitted") || strings.Contains(pages[1], "Report for the owner") {
			t.Errorf("%s: the summary does not fill the first page alone", name)
		}
	}
}

// box is a word as poppler sees it.
type box struct {
	X0   float64 `xml:"xMin,attr"`
	Y0   float64 `xml:"yMin,attr"`
	X1   float64 `xml:"xMax,attr"`
	Y1   float64 `xml:"yMax,attr"`
	Text string  `xml:",chardata"`
}

// TestNothingOverlaps: no word lies over another or off the page, however much
// there is to say. The strip places its own labels and is tested in draw.
func TestNothingOverlaps(t *testing.T) {
	text := tool(t, "pdftotext", "poppler-utils")
	bare := func(d Data) Data {
		d.View.Strip.Columns = nil
		return d
	}
	for name, data := range map[string][]byte{
		"report":           pdfOf(t, bare(fixture(t)), Options{}),
		"handed over":      pdfOf(t, bare(gathered(t, told.cast.HandedOver)), Options{}),
		"half way, letter": pdfOf(t, bare(gathered(t, told.cast.HalfWay)), Options{Paper: "letter"}),
		"crowded":          pdfOf(t, bare(crowded(t)), Options{}),
		"blank":            blankOf(t, sheets.V8, BlankOptions{Job: "0412", Workshop: "Works", Gauge: GaugeOf(tools(t))}),
		"blank, letter":    blankOf(t, sheets.Inline4, BlankOptions{Options: Options{Paper: "letter"}, Units: units.Inch}),
	} {
		var doc struct {
			Pages []struct {
				W     float64 `xml:"width,attr"`
				H     float64 `xml:"height,attr"`
				Words []box   `xml:"word"`
			} `xml:"body>doc>page"`
		}
		if err := xml.Unmarshal([]byte(read(t, text, data, []string{"-bbox"}, "-")), &doc); err != nil {
			t.Fatal(err)
		}
		if len(doc.Pages) == 0 {
			t.Fatalf("%s: no page", name)
		}
		for i, p := range doc.Pages {
			slices.SortFunc(p.Words, func(a, b box) int { return cmp.Compare(a.Y0, b.Y0) })
			for j, w := range p.Words {
				if w.X0 < 40 || w.X1 > p.W-40 || w.Y0 < 15 || w.Y1 > p.H-8 {
					t.Errorf("%s, page %d: %q runs off the page: %+v", name, i+1, w.Text, w)
				}
				for _, v := range p.Words[j+1:] {
					if v.Y0 > w.Y1 {
						break
					}
					if v.over(w) {
						t.Errorf("%s, page %d: %q lies over %q", name, i+1, w.Text, v.Text)
					}
				}
			}
		}
	}
}

// over reports whether the letters of two words meet. Poppler's boxes are as
// high as the font's tallest and deepest letters, so their edges may.
func (a box) over(b box) bool {
	const trim = 0.28
	ah, bh := (a.Y1-a.Y0)*trim, (b.Y1-b.Y0)*trim
	return a.X0 < b.X1-0.8 && b.X0 < a.X1-0.8 && a.Y0+ah < b.Y1-bh && b.Y0+bh < a.Y1-ah
}

// TestTableHeads: a table that goes on repeats its head.
func TestTableHeads(t *testing.T) {
	text := tool(t, "pdftotext", "poppler-utils")
	out := read(t, text, pdfOf(t, crowded(t), Options{}), []string{"-layout"}, "-")
	n := 0
	for p := range strings.SplitSeq(out, "\f") {
		if strings.Count(p, "one line of ten thousand") > 3 {
			n++
			if !strings.Contains(p, "What is on record") {
				t.Errorf("page without the head of its table:\n%s", p)
			}
		}
	}
	if n < 5 {
		t.Errorf("the long note fills %d pages", n)
	}
	if c := strings.Count(out, "one line of ten thousand"); c != 600 {
		t.Errorf("%d of 600 lines of the note are there", c)
	}
}

// TestQRCodes reads the codes back with zbarimg.
func TestQRCodes(t *testing.T) {
	d := gathered(t, told.cast.HandedOver)
	last := d.Seals[len(d.Seals)-1]
	if strings.ReplaceAll(last.Fingerprint, " ", "") != last.Root[:16] || last.Key != d.Key || last.Origin != "saltmere-demo/0398" {
		t.Errorf("seal: %+v", last)
	}
	for want, data := range map[string][]byte{
		last.QRText(): pdfOf(t, d, Options{}),
		"0412":        blankOf(t, sheets.V8, BlankOptions{Job: "0412"}),
	} {
		if got := codes(t, data); got != want {
			t.Errorf("the code says %q, want %q", got, want)
		}
	}
}

func codes(t *testing.T, data []byte) string {
	t.Helper()
	ppm, zbar, info := tool(t, "pdftoppm", "poppler-utils"), tool(t, "zbarimg", "zbar-tools"), tool(t, "pdfinfo", "poppler-utils")
	pages := regexp.MustCompile(`Pages: +(\d+)`).FindStringSubmatch(read(t, info, data, nil))[1]
	page := "1" // of blank sheets
	if n, err := strconv.Atoi(pages); err == nil && n > 8 {
		page = pages
	}
	root := filepath.Join(t.TempDir(), "page")
	read(t, ppm, data, []string{"-r", "150", "-gray", "-png", "-singlefile", "-f", page, "-l", page}, root)
	out, err := exec.Command(zbar, "-q", "--raw", root+".png").Output()
	if err != nil {
		t.Fatalf("zbarimg finds no code on page %s: %v", page, err)
	}
	return strings.TrimSpace(string(out))
}

// TestErasedPhoto: what was erased says so in its place.
func TestErasedPhoto(t *testing.T) {
	d := gathered(t, told.cast.HalfWay)
	if len(d.Photos) == 0 || d.Photos[0].JPEG == nil || d.Photos[0].Gone != "" {
		t.Fatalf("photos: %d", len(d.Photos))
	}
	text := tool(t, "pdftotext", "poppler-utils")
	out := strings.Join(strings.Fields(read(t, text, pdfOf(t, fixture(t), Options{}), nil, "-")), " ")
	for _, want := range []string{goneErased, "Entry 3, position 1 (A): Wear seen"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q can't be read", want)
		}
	}
}

// TestFeatures: what can be ticked on paper is what an entry takes.
func TestFeatures(t *testing.T) {
	for _, b := range []any{
		job.WearSeen{Position: 1, Half: job.Upper, Features: shellFeatures},
		job.JournalSeen{Position: 1, Features: journalFeatures[1:]},
		job.JournalSeen{Position: 1, Features: journalFeatures[:1]},
	} {
		kind := "wear_seen"
		if _, ok := b.(job.JournalSeen); ok {
			kind = "journal_seen"
		}
		if _, err := job.Propose("job/1", kind, b); err != nil {
			t.Error(err)
		}
	}
}

func BenchmarkGather(b *testing.B) {
	ctx := context.Background()
	l, err := told.shop.Job(ctx, told.cast.HandedOver)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Gather(ctx, told.shop, l); err != nil {
			b.Fatal(err)
		}
	}
}
