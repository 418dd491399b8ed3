// SPDX-License-Identifier: Apache-2.0

package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

var bodiesToChange = []string{
	`{}`, `{"a":1}`, ` { "a" : [1, 2.5e3, -0, true, null, "x,]}\\"] , "b" : { "a" : {} } } `, `{"a":{"b":1},"b":{"b":[{"b":2},{"b":3}]}}`,
	`{"\u0061":1,"b":"\"","":0}`, `{"text":"0.050 mm","ø":"20 °C","list":[[],[{}],[[[]]]]}`, `{"a":` + strings.Repeat("[", 30) + `1` + strings.Repeat("]", 30) + `}`,
	`{"a":` + strings.Repeat(`{"a":`, 30) + `{}` + strings.Repeat("}", 30) + `}`,
}

// A body is taken or refused as by the standard library, token by token: the
// same texts, the same names that stand twice, the same depth.
func TestBodyIsCheckedTokenByToken(t *testing.T) {
	many := make([]string, 40)
	for i := range many {
		many[i] = fmt.Sprintf(`"n%d":{"n%d":0}`, i, i)
	}
	texts := append([]string{"{" + strings.Join(many, ",") + "}"}, bodiesToChange...)
	puts := []string{`"`, `{`, `}`, `[`, `]`, `,`, `:`, ` `, "\n", `null`, `"a":1,`, `"\u0061":2,`, `,"b":3`, `"n7":0,`, `,"n39":1`, `[[`, `]]`, `\`, `\ud800`, "\xff", `1`, `.`, `-`}
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.SampledFrom(texts).Draw(t, "body")
		for range rapid.IntRange(0, 3).Draw(t, "changes") {
			at := rapid.IntRange(0, len(b)).Draw(t, "at")
			to := min(len(b), at+rapid.IntRange(0, 2).Draw(t, "cut"))
			b = b[:at] + rapid.SampledFrom(puts).Draw(t, "put") + b[to:]
		}
		sameVerdict(t, []byte(b))
	})
}

func sameVerdict(t interface{ Fatalf(string, ...any) }, b []byte) {
	if got, want := checkBody(b), tokenBody(b); (got == nil) != (want == nil) {
		t.Fatalf("%q: %v, token by token %v", b, got, want)
	}
}

func FuzzBodyTokenByToken(f *testing.F) {
	for _, b := range bodiesToChange {
		f.Add([]byte(b))
	}
	f.Fuzz(func(t *testing.T, b []byte) { sameVerdict(t, b) })
}

// tokenBody is checkBody token by token, as the standard library takes it apart.
func tokenBody(b []byte) error {
	if len(b) > MaxBody {
		return invalid("body of %d bytes is longer than %d", len(b), MaxBody)
	}
	if !utf8.Valid(b) || !json.Valid(b) {
		return invalid("body is not JSON in UTF-8")
	}
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	t, err := d.Token()
	if err != nil || t != json.Delim('{') {
		return invalid("body is not a JSON object")
	}
	if err := tokenObject(d, 1); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return invalid("body goes on after its end")
	}
	return nil
}

// tokenObject reads to the end of an object whose brace was read.
func tokenObject(d *json.Decoder, depth int) error {
	names := map[string]bool{}
	for d.More() {
		t, err := d.Token()
		name, ok := t.(string)
		if err != nil || !ok {
			return invalid("body: not JSON at byte %d", d.InputOffset())
		}
		if names[name] {
			return invalid("body: name %q stands twice", name)
		}
		names[name] = true
		if err := tokenValue(d, depth); err != nil {
			return err
		}
	}
	return tokenEnd(d)
}

func tokenValue(d *json.Decoder, depth int) error {
	t, err := d.Token()
	if err != nil {
		return invalid("body: not JSON at byte %d", d.InputOffset())
	}
	if depth >= maxDepth {
		return invalid("body: nested deeper than %d", maxDepth)
	}
	switch t {
	case json.Delim('{'):
		return tokenObject(d, depth+1)
	case json.Delim('['):
		for d.More() {
			if err := tokenValue(d, depth+1); err != nil {
				return err
			}
		}
		return tokenEnd(d)
	}
	return nil
}

func tokenEnd(d *json.Decoder) error {
	if _, err := d.Token(); err != nil {
		return invalid("body: not JSON at byte %d", d.InputOffset())
	}
	return nil
}
