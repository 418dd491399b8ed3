// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"
)

// Whatever the bytes, Load answers with a sheet or with problems that point
// into the text, and does not panic.
func FuzzLoad(f *testing.F) {
	f.Add([]byte(inline(f)))
	f.Add([]byte(least))
	for _, s := range hostile() {
		if len(s) < 2000 { // the long ones have a test of their own
			f.Add([]byte(s))
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Load("fuzz.yaml", data)
		var p *Problems
		if (s == nil) == (err == nil) || err != nil && (!errors.As(err, &p) || len(p.List) == 0) {
			t.Fatalf("sheet %v, err %v", s, err)
		}
		if s != nil {
			if len(s.AccessOrder()) != len(s.Positions()) || len(s.Throws()) == 0 {
				t.Fatalf("positions %v, access %v, throws %v", s.Positions(), s.AccessOrder(), s.Throws())
			}
			return
		}
		lines := strings.Count(string(data), "\n") + strings.Count(string(data), "\r") + 1 // YAML ends a line with either
		for _, x := range p.List {
			if x.Line < 1 || x.Line > lines || x.Column < 1 || x.What == "" {
				t.Fatalf("%+v in %d lines", x, lines)
			}
		}
	})
}

// least is about the shortest sheet there can be.
const least = `format: 1
family: X
title: X
sources: {b: {title: t}}
source: b p. 1
layout: {kind: inline, positions: [{number: 1, cylinder: 1, throw: 1, angle: 0°}]}
big_end:
  journal: 50 mm
  width: 20 mm
  clearance: {new: {min: 0.02 mm, max: 0.05 mm, confidence: 0.9}}
  shell:
    wall: 2 mm
    construction:
      title: c
      layers: [{id: l, material: m}]
      wear: [{words: a, shows: l}, {words: b, shows: l}, {words: c, shows: l}, {words: d, shows: l}, {words: e, shows: l}]
fasteners:
- {id: r, title: t, where: rod, bolts: [a, b], thread: M8, use: single, stages: [{id: s, kind: torque, torque: 20 Nm}]}
oil: {allowed: [{grade: VG 46}]}
duty: {cycle: two_stroke, bore: 50 mm, stroke: 50 mm, rod_length: 100 mm, rated_speed: 3000 rpm}
run: {}
`

// Columns count characters, not bytes, from 1, and point at the value.
func TestPlaces(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"format: 1", "format: 2", "x.yaml:1:9: "},
		{"throw: 1, angle: 0°}", "angle: 0°, throw: °}", "x.yaml:6:79: throw is "},
		{"rated_speed: 3000 rpm", "rated_sped: 3000 rpm", "x.yaml:20:75: duty has no key \"rated_sped\"; did you mean rated_speed?"},
		{"max: 0.05 mm", "max: 0.01 mm", "x.yaml:10:40: clearance max 0.01 mm is below min 0.02 mm; write the smaller first"},
	} {
		_, err := Load("x.yaml", []byte(strings.Replace(least, c.old, c.new, 1)))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v\nwant %s", err, c.want)
		}
	}
}

func TestLeastSheet(t *testing.T) {
	s := load(t, least)
	if s.BigEnd.HousingBore.Given() || s.EndFloat.Given() || s.Duty.OverSpeed.Given() {
		t.Error("what the sheet does not say must not be given")
	}
	if lines := load(t, strings.ReplaceAll(least, "\n", "\r\n")); lines.Hash == s.Hash {
		t.Error("other bytes, other hash")
	}
	load(t, "\ufeff"+least)
}

// hostile texts are broken, empty, deep or from another program.
func hostile() []string {
	deep := strings.Repeat
	return []string{
		"", " ", "\n", "\r\rx", "{}", "[]", "---", "...", "null", "format: 1", "- 1", "a: b: c", "\xff\xfe", "\xef\xbb\xbfformat: 1\n",
		"\tformat: 1", "format: [", "format: {", "format: \"", "? a\n: b", "<<: *x", "&a *a", "!!binary x",
		"format: 1\nlayout:\n  positions:\n    - {number: 99999999999999999999}\n",
		"layout: {positions: [{number: 1, cylinder: 1, throw: 1000000000, angle: 0°}]}",
		"layout: {positions: [{number: -1, cylinder: 1, throw: -1, angle: 0°}]}",
		"fasteners: [{id: [a]}, {id: {a: b}}, {id: null}]", "fasteners: {id: a}", "sources: {a b: {title: x}, ? : y}",
		"big_end: {journal: {value: , min: , max: }, clearance: {new: {}}}",
		"format: |\n  1\n", "title: >\n  a\n  b\n", "run: {heat_cycles: {value: {value: 1}}}", "\x00", "a\x00: b",
		deep("[", 100000), deep("{a: ", 100000), deep("- ", 100000), deep("? ", 100000), deep("!a ", 1000),
		deep("&a ", 1000), deep("a:\n ", 1000), deep("a: &b\n", 1000), deep("#", 100000), deep("'", 10001), deep("\"", 10001),
		deep("x", maxBytes+1), manyKeys("k%d: 1\n", "", maxBytes-100), manyKeys("k%d: 1\n", "", 16<<10), manyKeys("  - {number: %d}\n", "layout:\n positions:\n", 16<<10),
		manyKeys("  - {id: a%d}\n", "fasteners:\n", 16<<10), manyKeys("  k%d: {title: x}\n", "sources:\n", 16<<10),
	}
}

// manyKeys repeats a line up to a size.
func manyKeys(line, head string, size int) string {
	var b strings.Builder
	b.WriteString(head)
	for i := 0; b.Len() < size; i++ {
		fmt.Fprintf(&b, line, i)
	}
	return b.String()
}

// Hostile texts end in problems, and soon.
func TestHostileTexts(t *testing.T) {
	for _, text := range hostile() {
		start := time.Now()
		if _, err := Load("x.yaml", []byte(text)); err == nil {
			t.Errorf("%.40q was accepted", text)
		} else if first, _, _ := strings.Cut(err.Error(), "\n"); testing.Verbose() {
			t.Logf("%.30q: %.200s", text, first)
		}
		if d := time.Since(start); d > 20*time.Second {
			t.Errorf("%.40q took %v", text, d)
		}
	}
}
