// SPDX-License-Identifier: Apache-2.0

package main

import (
	"strings"
	"testing"
)

const events = `{"Action":"start","Package":"a"}
{"Action":"output","Package":"a","Test":"TestGood","Output":"quiet\n"}
{"Action":"pass","Package":"a","Test":"TestGood/part"}
{"Action":"pass","Package":"a","Test":"TestGood"}
{"Action":"output","Package":"a","Test":"TestBad","Output":"why it failed\n"}
{"Action":"fail","Package":"a","Test":"TestBad"}
{"Action":"skip","Package":"a","Test":"TestLeft"}
{"Action":"output","Package":"a","Output":"FAIL\n"}
{"Action":"output","Package":"a","Output":"FAIL\ta\t0.1s\n"}
{"Action":"fail","Package":"a"}
go: not an event
{"Action":"output","Package":"b","Output":"?   \tb\t[no test files]\n"}
{"Action":"output","Package":"c","Output":"ok  \tc\t0.2s\n"}
`

func TestTally(t *testing.T) {
	var out strings.Builder
	got := &tally{out: &out, said: map[string][]string{}}
	if err := got.read(strings.NewReader(events)); err != nil {
		t.Fatal(err)
	}
	if got.line() != "1 passed, 1 failed" || got.skipped != 1 || !got.broken {
		t.Errorf("%s, broken %t", got.line(), got.broken)
	}
	const want = "why it failed\nFAIL\ta\t0.1s\ngo: not an event\nok  \tc\t0.2s\n"
	if out.String() != want {
		t.Errorf("printed %q, want %q", out.String(), want)
	}
}

// TestBuildFailure: a package that does not build fails the run.
func TestBuildFailure(t *testing.T) {
	var out strings.Builder
	got := &tally{out: &out, said: map[string][]string{}}
	err := got.read(strings.NewReader(`{"ImportPath":"a","Action":"build-output","Output":"a.go:1: no\n"}` + "\n" + `{"ImportPath":"a","Action":"build-fail"}` + "\n"))
	if err != nil || !got.broken || out.String() != "a.go:1: no\n" {
		t.Errorf("%v, broken %t, %q", err, got.broken, out.String())
	}
}
