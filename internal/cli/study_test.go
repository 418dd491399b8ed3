// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"witnessmark/internal/studycsv"
)

func runStudy(t *testing.T, csv string, args ...string) (int, string, string) {
	t.Helper()
	var out, errw bytes.Buffer
	code := Main(append([]string{"study", "-"}, args...), strings.NewReader(csv), &out, &errw)
	return code, out.String(), errw.String()
}

// Published: the data set of Six Sigma with R (Springer 2012), ch. 5, taken as
// millimetres.
func TestStudyCommand(t *testing.T) {
	var out, errw bytes.Buffer
	name := filepath.Join("..", "..", "metrology", "testdata", "study_published.csv")
	if code := Main([]string{"study", name, "--json"}, strings.NewReader(""), &out, &errw); code != 0 || errw.Len() > 0 {
		t.Fatalf("exit %d: %s", code, errw.String())
	}
	var got map[string]any
	if err := json.Unmarshal(out.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	for key, want := range map[string]float64{
		"repeatability_um": 145.97518, "reproducibility_um": 23.94813, "interaction_um": 0, "gauge_um": 147.92656,
		"part_um": 253.65123, "total_um": 293.63449, "gauge_percent_of_total": 100 * 0.14792656 / 0.29363449,
		"distinct_categories": 2, "interaction_p": 0.44619,
	} {
		if x, ok := got[key].(float64); !ok || math.Abs(x-want) > 1e-5*max(1, want) {
			t.Errorf("%s = %v, want %g", key, got[key], want)
		}
	}
	if got["interaction_pooled"] != true {
		t.Error("the interaction is pooled")
	}
}

func TestStudyCommandOnePerson(t *testing.T) {
	code, out, msg := runStudy(t, "part,person,reading_mm\nP1,A,0.041\nP1,A,0.043\nP2,A,0.050\nP2,A,0.052\n", "--json")
	if code != 0 {
		t.Fatal(msg)
	}
	var got map[string]any
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	if v, ok := got["reproducibility_um"]; !ok || v != nil || got["interaction_p"] != nil {
		t.Errorf("what can't be told is null: %s", out)
	}
	if !strings.Contains(out, "One person") {
		t.Errorf("not said: %s", out)
	}
	if _, text, _ := runStudy(t, "part,person,reading_mm\nP1,A,0.041\nP1,A,0.043\nP2,A,0.050\nP2,A,0.052\n"); !strings.Contains(text, "One person") {
		t.Errorf("not said: %s", text)
	}
}

// Semicolons and decimal commas, columns in another order, a byte order mark.
func TestStudyCommandSpreadsheet(t *testing.T) {
	a, out, _ := runStudy(t, "\uFEFFperson;part;reading_mm\r\nA;P1;0,041\r\nA;P1;0,043\r\nB;P1;0,050\r\nB;P1;0,052\r\n", "--json")
	b, same, _ := runStudy(t, "part, person, reading_mm\nP1,A,0.041\nP1,A,0.043\nP1,B,0.050\nP1,B,0.052\n", "--json")
	if a != 0 || b != 0 || out != same {
		t.Errorf("exit %d and %d:\n%s\n%s", a, b, out, same)
	}
}

func TestStudyCommandRefuses(t *testing.T) {
	for name, c := range map[string]struct{ csv, says string }{
		"empty":         {"", "part,person,reading_mm"},
		"no column":     {"part,person,value\nP1,A,1\n", `"reading_mm"`},
		"no readings":   {"part,person,reading_mm\n", "no readings"},
		"no number":     {"part,person,reading_mm\nP1,A,0.041\nP1,A,abc\n", "line 3"},
		"infinite":      {"part,person,reading_mm\nP1,A,Inf\nP1,A,1\n", "line 2"},
		"no person":     {"part,person,reading_mm\nP1,,0.041\n", "line 2"},
		"short row":     {"part,person,reading_mm\nP1,A\n", "line 2"},
		"nothing twice": {"part,person,reading_mm\nP1,A,1\nP2,A,2\n", "read twice"},
	} {
		code, out, msg := runStudy(t, c.csv, "--json")
		if code != 2 || out != "" || !strings.Contains(msg, c.says) {
			t.Errorf("%s: exit %d, %q, %q", name, code, out, msg)
		}
	}
	var out, errw bytes.Buffer
	if code := Main([]string{"study", filepath.Join(t.TempDir(), "none.csv")}, strings.NewReader(""), &out, &errw); code != 3 {
		t.Errorf("no such file: exit %d", code)
	}
	big := filepath.Join(t.TempDir(), "big.csv")
	if err := os.WriteFile(big, bytes.Repeat([]byte("x"), studycsv.MaxBytes+1), 0o600); err != nil {
		t.Fatal(err)
	}
	if code := Main([]string{"study", big}, strings.NewReader(""), &out, &errw); code != 2 {
		t.Errorf("too big: exit %d", code)
	}
}

// FuzzParseStudy: whatever is in the file, readings or an error.
func FuzzParseStudy(f *testing.F) {
	for _, s := range []string{
		"part,person,reading_mm\nP1,A,0.041\nP1,A,0.043\n", "person;part;reading_mm\nA;P1;0,041\n",
		"", "part,person,reading_mm\n\"", "part,person,reading_mm\nP1,A,1e999\n", "\uFEFFpart",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		readings, err := studycsv.Parse(text)
		if err != nil {
			return
		}
		for _, r := range readings {
			if r.Part == "" || r.Person == "" || math.IsNaN(r.Reading) || math.IsInf(r.Reading, 0) {
				t.Fatalf("%+v", r)
			}
		}
	})
}
