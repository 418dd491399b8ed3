// SPDX-License-Identifier: Apache-2.0

// Command testlines reads what `go test -json` says and prints what a person
// wants of it: one line per package, and everything that a failed test said.
// It closes with the count of test functions, which it also writes to a file.
package main

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"
)

// event is one line of `go test -json`; see `go doc test2json`.
type event struct {
	Action  string
	Package string
	Test    string
	Output  string
}

// tally is what came out so far.
type tally struct {
	out                     io.Writer
	said                    map[string][]string // by package and test
	passed, failed, skipped int
	broken                  bool // a package failed, with or without a failed test
}

func main() {
	count := flag.String("count", "", "file for the closing line")
	requireAll := flag.Bool("require-all", false, "a skipped test is a failure")
	flag.Parse()
	t := &tally{out: os.Stdout, said: map[string][]string{}}
	if err := t.read(os.Stdin); err != nil {
		fmt.Fprintln(os.Stderr, "testlines:", err)
		os.Exit(3)
	}
	if t.skipped > 0 {
		fmt.Printf("%d left out, for the reasons above\n", t.skipped)
	}
	fmt.Println(t.line())
	if *count != "" {
		if err := os.WriteFile(*count, []byte(t.line()+"\n"), 0o666); err != nil {
			fmt.Fprintln(os.Stderr, "testlines:", err)
			os.Exit(3)
		}
	}
	if t.broken || t.failed > 0 || *requireAll && t.skipped > 0 || t.passed == 0 {
		os.Exit(1)
	}
}

// line is the closing line.
func (t *tally) line() string {
	return fmt.Sprintf("%d passed, %d failed", t.passed, t.failed)
}

func (t *tally) read(r io.Reader) error {
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, 1<<24)
	for lines.Scan() {
		var e event
		if json.Unmarshal(lines.Bytes(), &e) != nil {
			fmt.Fprintln(t.out, lines.Text()) // not from a test: the go command itself
			continue
		}
		t.add(e)
	}
	return lines.Err()
}

func (t *tally) add(e event) {
	key := e.Package + " " + e.Test
	switch e.Action {
	case "build-output":
		fmt.Fprint(t.out, e.Output)
	case "build-fail":
		t.broken = true
	case "output":
		t.output(key, e)
	case "pass", "fail", "skip":
		t.result(key, e)
	}
}

// output keeps what a test says until it is known whether that matters. A
// package's own lines are printed, but for those of packages without tests.
func (t *tally) output(key string, e event) {
	if e.Test != "" {
		t.said[key] = append(t.said[key], e.Output)
		return
	}
	plain := e.Output == "PASS\n" || e.Output == "FAIL\n" || strings.Contains(e.Output, "[no test files]")
	if !plain {
		fmt.Fprint(t.out, e.Output)
	}
}

func (t *tally) result(key string, e event) {
	said := t.said[key]
	delete(t.said, key)
	if e.Test == "" {
		t.broken = t.broken || e.Action == "fail"
		return
	}
	if e.Action != "pass" {
		fmt.Fprint(t.out, strings.Join(said, ""))
	}
	if strings.Contains(e.Test, "/") { // a part of a test function
		return
	}
	switch e.Action {
	case "pass":
		t.passed++
	case "fail":
		t.failed++
	default:
		t.skipped++
	}
}
