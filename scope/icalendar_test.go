// SPDX-License-Identifier: Apache-2.0

package scope

import (
	"bytes"
	"flag"
	"os"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "write testdata/feed.ics; then run testdata/remake.sh --write")

func testFeed() Feed {
	at := func(d, h, m int) time.Time {
		return time.Date(2026, 12, d, h, m, 0, 0, time.FixedZone("CET", 3600))
	}
	return Feed{Product: "-//Invented workshop//Witnessmark//EN", Name: "Lifts; all, of them", Events: []Event{
		{UID: "job-0412@workshop.invalid", Start: at(14, 8, 0), End: at(16, 16, 30), Summary: "Job 0412, Tarn 3.4: lift 1; rod bearings",
			Description: "Waits for: relief valve\nPath C:\\parts\nÖlwanne, Lager ⌀ 52 mm, " + strings.Repeat("größte Sorgfalt ", 12),
			Location:    "Lift 1", Status: "TENTATIVE", Sequence: 3, Stamp: at(1, 9, 0)},
		{UID: "off-2026-12-24@workshop.invalid", AllDay: true, Start: at(24, 0, 0), End: at(27, 0, 0), Summary: "Closed", Stamp: at(1, 9, 0)},
	}}
}

// Another parser reads what was written: the Python module icalendar, through
// testdata/make_golden.py.
func TestFeedAgainstAnotherParser(t *testing.T) {
	f := testFeed()
	var b bytes.Buffer
	if err := WriteCalendar(&b, f); err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile("testdata/feed.ics", b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile("testdata/feed.ics")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(kept, b.Bytes()) {
		t.Fatalf("testdata/feed.ics is not what is written now:\n%s", b.String())
	}
	g := readGolden(t).Feed
	if g.Product != f.Product || g.Name != f.Name || g.Version != "2.0" || len(g.Errors) != 0 || len(g.Events) != len(f.Events) {
		t.Fatalf("%+v", g)
	}
	for i, e := range f.Events {
		x := g.Events[i]
		form := "2006-01-02T15:04:05-07:00"
		start, end := e.Start.UTC().Format(form), e.End.UTC().Format(form)
		if e.AllDay {
			start, end = e.Start.Format(time.DateOnly), e.End.Format(time.DateOnly)
		}
		if x.UID != e.UID || x.Summary != e.Summary || x.Description != e.Description || x.Location != e.Location ||
			x.Status != e.Status || x.Sequence != e.Sequence || x.Start != start || x.End != end ||
			x.Stamp != e.Stamp.UTC().Format(form) {
			t.Errorf("written %+v\nread %+v", e, x)
		}
	}
}

// RFC 5545, 3.1: lines end with CRLF, have at most 75 octets, no letter is cut,
// and unfolded they are what was meant.
func TestLines(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		text := rapid.StringOfN(rapid.RuneFrom([]rune("aé⌀𝄞;,\\ \n:")), 0, 300, -1).Draw(r, "text")
		var b strings.Builder
		writeLine(&b, "SUMMARY", escapeText(text))
		out := b.String()
		if !strings.HasSuffix(out, "\r\n") {
			r.Fatal("no CRLF at the end")
		}
		for _, line := range strings.Split(strings.TrimSuffix(out, "\r\n"), "\r\n") {
			if len(line) > 75 || !utf8.ValidString(line) || strings.ContainsAny(line, "\r\n") {
				r.Fatalf("line %q", line)
			}
		}
		unfolded := strings.TrimSuffix(strings.ReplaceAll(out, "\r\n ", ""), "\r\n")
		if got := unescape(strings.TrimPrefix(unfolded, "SUMMARY:")); got != text {
			r.Fatalf("%q came back as %q", text, got)
		}
	})
}

// unescape undoes 3.3.11 letter by letter.
func unescape(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '\\' {
			i++
			if s[i] == 'n' {
				b.WriteByte('\n')
				continue
			}
		}
		b.WriteByte(s[i])
	}
	return b.String()
}

func TestCalendarRefuses(t *testing.T) {
	for name, change := range map[string]func(*Feed){
		"product": func(f *Feed) { f.Product = "" },
		"UID":     func(f *Feed) { f.Events[0].UID = "" },
		"twice":   func(f *Feed) { f.Events[1].UID = f.Events[0].UID },
		"stamp":   func(f *Feed) { f.Events[0].Stamp = time.Time{} },
		"end":     func(f *Feed) { f.Events[0].End = f.Events[0].Start },
		"status":  func(f *Feed) { f.Events[0].Status = "MAYBE" },
		"control": func(f *Feed) { f.Events[0].Summary = "a\x00b" },
		"return":  func(f *Feed) { f.Events[0].Location = "a\r\nEND:VEVENT" },
		"text":    func(f *Feed) { f.Events[0].Summary = "\xff" },
	} {
		f := testFeed()
		change(&f)
		if err := WriteCalendar(&bytes.Buffer{}, f); err == nil {
			t.Errorf("%s: it is written", name)
		}
	}
}
