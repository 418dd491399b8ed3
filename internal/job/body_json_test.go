// SPDX-License-Identifier: Apache-2.0

package job

import (
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// bodies are texts to begin with; readings, lists, nested bodies and every kind
// of value are among them.
var someBodies = []struct{ kind, raw string }{
	{"stage_done", `{"fastener":"rod_bolt","tightening":"final","stage":"snug","bolts":[{"position":1,"bolt":"a"},{"position":1,"bolt":"b"}],"set":"N1","tool":"TW-2","value":{"text":"20 N·m","unit":"N·m","kind":"torque"}}`},
	{"part_measured", `{"of":"journal","phase":"found","position":3,"gauge":"MM-1","cells":[{"plane":"front","angle":{"text":"45","unit":"°","kind":"angle"},"value":{"text":"51.992","unit":"mm","kind":"length"}}],"part_temperature":{"text":"20.1","unit":"°C","kind":"temperature"}}`},
	{"reading", `{"of":"clearance","phase":"fitted","position":1,"gauge":"SG-1","strip":{"how":"between","a":{"text":"0.038","unit":"mm","kind":"length"},"b":{"text":"0.051","unit":"mm","kind":"length"}},"crank_moved":true}`},
	{"correction", `{"replaces":4,"reason":"misread","kind":"wear_seen","version":1,"body":{"position":3,"half":"upper","severity":3,"features":["flaked"]}}`},
	{"correction", `{"replaces":4,"reason":"not this engine","body":null}`},
	{"arrival", `{"odometer":{"text":"118,400 km","unit":"km","kind":"distance"},"oil_level":"ok","noises":["none"]}`},
	{"part_ordered", `{"part":"A","quantity":2.5,"on":"2026-03-30","promised":"2026-04-01"}`},
	{"tool_calibrated", `{"date":"2026-01-05","due":"2027-01-05","expanded_u":{"text":"0.001","unit":"mm","kind":"length"},"coverage_factor":2}`},
	{"settings_changed", `{"confidence":0.9,"one_person":true}`},
	{"person_added", `{"id":"p-1","role":"manager","name":"blob:00"}`},
}

// What is read of a body is what encoding/json reads, and whatever that refuses
// is refused, however odd the text.
func TestBodiesAreReadAsByTheStandardLibrary(t *testing.T) {
	swaps := []string{`"`, `{`, `}`, `[`, `]`, `,`, `:`, ` `, "\n", `null`, `true`, `1`, `1.0`, `1e2`, `-0`, `12345678901234567890`, `"a"`, `\u0041`, `\n`, `\ud800`,
		"\xff", `"Position":2`, `"position":null`, `"VALUE":null`, `{"text":"1 mm","unit":"mm","kind":"length"}`, `{"kind":"length","text":"1","unit":"mm"}`, `"nothing of the kind":1`, `{}`, `[]`, `"body":`}
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.SampledFrom(someBodies).Draw(t, "body")
		raw := b.raw
		for range rapid.IntRange(0, 3).Draw(t, "changes") {
			at := rapid.IntRange(0, len(raw)).Draw(t, "at")
			to := min(len(raw), at+rapid.SampledFrom([]int{0, 0, 1, 4}).Draw(t, "cut"))
			with := rapid.SampledFrom(swaps).Draw(t, "with")
			if rapid.Bool().Draw(t, "twice") { // a member once more
				if i := strings.IndexByte(raw[at:], ','); i >= 0 {
					at, to, with = at+i, at+i, ","+with
				}
			}
			raw = raw[:at] + with + raw[to:]
		}
		sameAsSlowly(t, b.kind, []byte(raw))
	})
}

func sameAsSlowly(t interface {
	Helper()
	Fatalf(string, ...any)
}, kind string, raw []byte) {
	t.Helper()
	for _, k := range kinds {
		if k.Name != kind {
			continue
		}
		read, err := unmarshalBody(raw, k.fresh)
		want := k.fresh()
		errSlow := unmarshalSlowly(raw, want)
		if (err == nil) != (errSlow == nil) || err != nil && err.Error() != errSlow.Error() {
			t.Fatalf("%s %q: %v, the standard library %v", kind, raw, err, errSlow)
		}
		if err == nil && !reflect.DeepEqual(read, want) {
			t.Fatalf("%s %q:\n%+v\nthe standard library\n%+v", kind, raw, read, want)
		}
	}
}

func FuzzBodyAsByTheStandardLibrary(f *testing.F) {
	for _, b := range someBodies {
		f.Add(b.kind, []byte(b.raw))
	}
	f.Fuzz(func(t *testing.T, kind string, raw []byte) { sameAsSlowly(t, kind, raw) })
}

// BenchmarkBody reads bodies as a log does, beside the standard library.
func BenchmarkBody(b *testing.B) {
	b.Run("read", func(b *testing.B) {
		for b.Loop() {
			for _, x := range someBodies[:3] {
				for _, k := range kinds {
					if k.Name == x.kind {
						if _, err := unmarshalBody([]byte(x.raw), k.fresh); err != nil {
							b.Fatal(err)
						}
					}
				}
			}
		}
	})
	b.Run("standard library", func(b *testing.B) {
		for b.Loop() {
			for _, x := range someBodies[:3] {
				for _, k := range kinds {
					if k.Name == x.kind {
						if err := unmarshalSlowly([]byte(x.raw), k.fresh()); err != nil {
							b.Fatal(err)
						}
					}
				}
			}
		}
	})
}
