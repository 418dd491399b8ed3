// SPDX-License-Identifier: Apache-2.0

package studycsv

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"witnessmark/metrology"
)

// Columns stand in any order, others beside them; a first line with semicolons
// means decimal commas.
func TestParse(t *testing.T) {
	want := []metrology.StudyReading{{Part: "J 1", Person: "A", Reading: 51.992}, {Part: "J 2", Person: "B", Reading: 0.042}}
	for name, text := range map[string]string{
		"as documented":      "part,person,reading_mm\nJ 1,A,51.992\nJ 2,B,0.042\n",
		"another order":      "remark,reading_mm, person ,part\n,51.992, A,J 1\nworn,4.2e-2,B,J 2",
		"semicolons":         "part;person;reading_mm\r\nJ 1;A;51,992\r\nJ 2;B;0,042\r\n",
		"semicolons, points": "\uFEFFpart;person;reading_mm\nJ 1;A;51.992\nJ 2;B;0.042\n",
		"quoted":             "part,person,reading_mm\n\"J 1\",\"A\",\"51.992\"\nJ 2,B,0.042\n",
	} {
		got, err := Parse(text)
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("%s: %v, %v", name, got, err)
		}
	}
	if got, err := Parse("part,person,reading_mm\n"); err != nil || len(got) != 0 {
		t.Errorf("a table without a reading: %v, %v", got, err)
	}
}

// What can't be read is refused with its line and what to write instead.
func TestParseRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                                     "no first line",
		"part,reading_mm\nJ1,0.042\n":          `line 1: no column "person"; the first line must be part,person,reading_mm`,
		"part,person,reading_in\nJ1,A,0.042\n": `no column "reading_mm"`,
		"part,person,reading_mm\nJ1,A,0.042\n,A,0.042\n":     "line 3: part or person is empty",
		"part,person,reading_mm\nJ1, ,0.042\n":               "line 2: part or person is empty",
		"part,person,reading_mm\nJ1,A,\n":                    `line 2: reading_mm "" is not a plain length`,
		"part,person,reading_mm\nJ1,A,wide\n":                `line 2: reading_mm "wide"`,
		"part,person,reading_mm\nJ1,A,NaN\n":                 `reading_mm "NaN"`,
		"part,person,reading_mm\nJ1,A,Inf\n":                 `reading_mm "Inf"`,
		"part,person,reading_mm\nJ1,A,0x1p-2\n":              `reading_mm "0x1p-2"`,
		"part,person,reading_mm\nJ1,A,5_1\n":                 `reading_mm "5_1"`,
		"part,person,reading_mm\nJ1,A,100001\n":              `reading_mm "100001"`,
		"part;person;reading_mm\nJ1;A;1.234,5\n":             `reading_mm "1.234,5"`,
		"part,person,reading_mm\nJ1,A,0.042\nJ1,A,0.042,7\n": "line 3",
		"part,person,reading_mm\n\"J1,A,0.042\n":             "line 2",
	} {
		if got, err := Parse(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, %v; want an error with %q", text, got, err, want)
		}
	}
}

// What is written is read back.
func TestWrittenIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringMatching(`[A-Za-zäß0-9;,"'#=]([A-Za-z0-9 ;,"'.-]{0,8}[A-Za-z0-9;,"'.-])?`)
		var want []metrology.StudyReading
		for range rapid.IntRange(0, 6).Draw(t, "readings") {
			want = append(want, metrology.StudyReading{Part: name.Draw(t, "part"), Person: name.Draw(t, "person"), Reading: rapid.Float64Range(-1e5, 1e5).Draw(t, "reading")})
		}
		var b bytes.Buffer
		if err := Write(&b, want); err != nil {
			t.Fatal(err)
		}
		got, err := Parse(b.String())
		if err != nil || !slices.Equal(got, want) {
			t.Fatalf("%q: got %v (%v), want %v", b.String(), got, err, want)
		}
	})
}

// Whatever is sent, it is a table or refused; a table that was read can be
// written and read again.
func FuzzParse(f *testing.F) {
	for _, text := range []string{
		"", "part,person,reading_mm\n", "part,person,reading_mm\nJ1,A,0.042\n", "part;person;reading_mm\nJ1;A;0,042\n",
		"\uFEFFreading_mm,person,part\n1e-3,B,\"J\n1\"\n", "part,person,reading_mm\n\"J1,A\n", "part,person,reading_mm\nJ1,A,-0\n",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := Parse(text)
		if err != nil {
			return
		}
		var b bytes.Buffer
		if err := Write(&b, got); err != nil {
			t.Fatal(err)
		}
		again, err := Parse(b.String())
		if err != nil || !slices.Equal(again, got) {
			t.Fatalf("%q, written %q: got %v (%v), want %v", text, b.String(), again, err, got)
		}
	})
}
