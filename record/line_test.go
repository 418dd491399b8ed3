// SPDX-License-Identifier: Apache-2.0

package record_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"witnessmark/record"
)

const goodLine = `{"v":1,"seq":41,"person":"p-7","received":"2031-05-02T09:14:03.12Z","id":"01BX5ZZKBKACTAV9WEVGEMMVRZ","subject":"job/24-031","device_time":"2031-05-02T11:14:01+02:00","kind":"reading","version":1,"saw":40,"body":{"read":"0.050 mm","n":[1,{"a":null}]}}`

func TestLineGoesRound(t *testing.T) {
	e, err := record.ParseLine([]byte(goodLine))
	if err != nil {
		t.Fatal(err)
	}
	if e.Seq != 41 || e.Person != "p-7" || e.Saw != 40 || e.Kind != "reading" || e.Subject != "job/24-031" || string(e.Body) != `{"read":"0.050 mm","n":[1,{"a":null}]}` {
		t.Errorf("read as %+v", e)
	}
	again, err := record.NewEntry(e.Proposal, e.Person, e.Seq, e.Received)
	if err != nil || string(again.Line()) != goodLine {
		t.Errorf("written as %s, error %v", again.Line(), err)
	}
	if !strings.HasSuffix(goodLine, string(e.ClientPart())) || !e.Keeps(e.Proposal) {
		t.Errorf("client part %s", e.ClientPart())
	}
}

func TestLinesRefused(t *testing.T) {
	for name, edit := range map[string][2]string{
		"blank":             {`"seq":41`, `"seq": 41`},
		"other order":       {`"seq":41,"person":"p-7"`, `"person":"p-7","seq":41`},
		"newer format":      {`{"v":1`, `{"v":2`},
		"no person":         {`"p-7"`, `""`},
		"leading zero":      {`"seq":41`, `"seq":041`},
		"sequence 0":        {`"seq":41`, `"seq":0`},
		"negative":          {`"seq":41`, `"seq":-1`},
		"too large":         {`"seq":41`, `"seq":99999999999999999999`},
		"saw 0":             {`"saw":40`, `"saw":0`},
		"version 0":         {`"version":1`, `"version":0`},
		"local received":    {`09:14:03.12Z`, `09:14:03.12+00:00`},
		"idle digits":       {`03.12Z`, `03.120Z`},
		"microseconds":      {`03.12Z`, `03.120001Z`},
		"no such day":       {`2031-05-02T09`, `2031-02-30T09`},
		"lower-case id":     {`01BX5ZZKBKACTAV9WEVGEMMVRZ`, `01bx5zzkbkactav9wevgemmvrz`},
		"id too large":      {`01BX5ZZKBKACTAV9WEVGEMMVRZ`, `81BX5ZZKBKACTAV9WEVGEMMVRZ`},
		"escaped name":      {`"p-7"`, `"p\u002d7"`},
		"body with blank":   {`[1,`, `[1, `},
		"body is a list":    {`{"read":"0.050 mm","n":[1,{"a":null}]}`, `[1]`},
		"name twice":        {`"n":[`, `"read":[`},
		"name twice, deep":  {`{"a":null}`, `{"a":null,"a":1}`},
		"name twice, spelt": {`"n":[`, `"re\u0061d":[`},
		"body not JSON":     {`null`, `nul`},
		"more after body":   {`]}}`, `]},"x":1}`},
		"two bodies":        {`]}}`, `]}}}`},
		"newline":           {`}}`, "}}\n"},
		"not UTF-8":         {`0.050 mm`, "\xff"},
	} {
		bad := strings.Replace(goodLine, edit[0], edit[1], 1)
		if bad == goodLine {
			t.Fatalf("%s: nothing was changed", name)
		}
		if _, err := record.ParseLine([]byte(bad)); !errors.Is(err, record.ErrInvalid) {
			t.Errorf("%s: error %v for %s", name, err, bad)
		}
	}
	for n := range len(goodLine) {
		if _, err := record.ParseLine([]byte(goodLine[:n])); err == nil {
			t.Errorf("cut after %d: accepted", n)
		}
	}
}

func TestDeepBodyIsRefused(t *testing.T) {
	p := proposal(t, 1, "note", `{"a":`+strings.Repeat("[", 100)+strings.Repeat("]", 100)+`}`)
	if err := p.Validate(); !errors.Is(err, record.ErrInvalid) {
		t.Errorf("100 deep: %v", err)
	}
	p.Body = json.RawMessage(`{"a":"` + strings.Repeat("x", record.MaxBody) + `"}`)
	if err := p.Validate(); !errors.Is(err, record.ErrInvalid) {
		t.Errorf("longer than MaxBody: %v", err)
	}
}

func TestSubjects(t *testing.T) {
	for _, s := range []string{"workshop", "job/24-031", "tool/T.1_b", "stock/a"} {
		if err := record.CheckSubject(s); err != nil {
			t.Errorf("%s: %v", s, err)
		}
	}
	for _, s := range []string{"", "job", "job/", "/x", "Job/x", "job/x/y", "job/../x", "job/.x", "job/ä", "job/x y", "job/workshop", "job/" + strings.Repeat("x", 65), "workshop/x\n"} {
		if err := record.CheckSubject(s); !errors.Is(err, record.ErrInvalid) {
			t.Errorf("%q: %v", s, err)
		}
	}
	for subject, want := range map[string]string{"job/24-031": "w/24-031", "tool/t-1": "w/tool/t-1", "workshop": "w/workshop"} {
		if got := record.Origin("w", subject); got != want {
			t.Errorf("origin of %s: %s", subject, got)
		}
	}
}

// TestAnyEntryGoesRound: whatever NewEntry writes ParseLine reads, and numbers
// and strings of the body keep their spelling.
func TestAnyEntryGoesRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		quoted, err := json.Marshal(text)
		if err != nil {
			t.Fatal(err)
		}
		number := rapid.SampledFrom([]string{"0.050", "1e3", "-0", "42"}).Draw(t, "number")
		zone := time.FixedZone("", 60*rapid.IntRange(-14*60, 14*60).Draw(t, "zone"))
		at := time.Unix(rapid.Int64Range(0, 1<<33).Draw(t, "s"), rapid.Int64Range(0, 999_999_999).Draw(t, "ns")).In(zone)
		p := record.Proposal{
			ID: "01BX5ZZKBKACTAV9WEVGEMMVRZ", Subject: "job/" + rapid.StringMatching(`[A-Za-z0-9][A-Za-z0-9._-]{0,20}`).Draw(t, "job"),
			DeviceTime: at, Kind: rapid.StringMatching(`[a-z][a-z0-9._-]{0,20}`).Draw(t, "kind"),
			Version: rapid.IntRange(1, 9).Draw(t, "version"), Saw: rapid.Int64Range(0, 99).Draw(t, "saw"),
			Body: []byte(" {\n\"text\" : " + string(quoted) + ", \"n\":" + number + " } "),
		}
		e, err := record.NewEntry(p, "p-1", rapid.Int64Range(1, 1<<40).Draw(t, "seq"), at)
		if err != nil {
			t.Fatal(err)
		}
		got, err := record.ParseLine(e.Line())
		if err != nil {
			t.Fatalf("%v: %s", err, e.Line())
		}
		if !got.DeviceTime.Equal(at) || !got.Received.Equal(at.Truncate(time.Millisecond)) || !got.Keeps(p) || !p.Same(got.Proposal) {
			t.Errorf("read as %+v", got)
		}
		if want := `{"text":` + string(quoted) + `,"n":` + number + `}`; string(got.Body) != want {
			t.Errorf("body %s, not %s", got.Body, want)
		}
	})
}

func FuzzParseLine(f *testing.F) {
	f.Add([]byte(goodLine))
	f.Add([]byte(strings.Replace(goodLine, `,"saw":40`, "", 1)))
	f.Add([]byte(strings.Replace(goodLine, "null", `"\ud800 µ"`, 1)))
	f.Add([]byte(`{"v":1,"seq":1,"person":"`))
	f.Add([]byte(""))
	f.Fuzz(func(t *testing.T, line []byte) {
		e, err := record.ParseLine(line)
		if err != nil {
			return
		}
		if !bytes.Equal(e.Line(), line) {
			t.Fatalf("%q read from %q", e.Line(), line)
		}
		again, err := record.NewEntry(e.Proposal, e.Person, e.Seq, e.Received)
		if err != nil || !bytes.Equal(again.Line(), line) {
			t.Fatalf("%q written as %q, error %v", line, again.Line(), err)
		}
		if !json.Valid(line) {
			t.Fatalf("not JSON: %q", line)
		}
	})
}

func FuzzVerifyBundle(f *testing.F) {
	b, k := testBundle(f)
	data := zipOf(f, b, k)
	f.Add(data)
	f.Add(data[:len(data)/2])
	f.Add([]byte("PK\x05\x06" + strings.Repeat("\x00", 18)))
	f.Fuzz(func(t *testing.T, changed []byte) {
		if _, v := record.VerifyBundle(changed, k.Verifier); v.OK && !bytes.Equal(changed, data) {
			t.Fatal("other bytes were accepted")
		}
	})
}
