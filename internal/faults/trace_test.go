// SPDX-License-Identifier: Apache-2.0

package faults

import (
	"bufio"
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// traced are the calls that change what is on the disk, and those by which an
// entry comes in and is acknowledged.
const traced = "open,openat,creat,write,pwrite64,writev,pwritev,pwritev2,ftruncate,truncate,fallocate,fsync,fdatasync,sync_file_range," +
	"rename,renameat,renameat2,unlink,unlinkat,mkdir,mkdirat,rmdir,link,linkat,symlink,symlinkat,read,sendto,sendmsg"

// call is one call of the traced program: as it began, and as it came back.
// What was written may be on the disk from begin on; what was synced is there
// for sure from end on.
type call struct {
	name       string
	args       string // as strace prints them, until it came back
	result     string
	begin, end int // places in the trace
}

// readTrace reads what strace wrote: the calls in the order in which they
// began.
func readTrace(t testing.TB, path string) []*call {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in := bufio.NewReaderSize(f, 1<<20)
	var calls []*call
	half := halves{}
	for place := 0; ; place++ {
		line, err := in.ReadString('\n')
		if errors.Is(err, io.EOF) {
			return calls
		}
		if err != nil {
			t.Fatal(err)
		}
		thread, text, _ := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
		c, err := half.next(thread, strings.TrimLeft(text, " "), place)
		if err != nil {
			t.Fatal(err)
		}
		if c != nil {
			calls = append(calls, c)
		}
	}
}

// gone is how strace ends the line of a thread that vanished in a call, as
// threads do when another one ends the program.
const gone = " <detached ...>"

// halves are the calls that have begun and not come back, by thread.
type halves map[string]*call

// next reads one line of a thread and returns the call that it begins, if it
// begins one.
func (h halves) next(thread, text string, place int) (*call, error) {
	if rest, ok := strings.CutPrefix(text, "<... "); ok {
		name, rest, _ := strings.Cut(rest, " resumed>")
		c := h[thread]
		if c == nil || c.name != name {
			return nil, fmt.Errorf("trace: line %d resumes nothing", place+1)
		}
		delete(h, thread)
		if strings.HasSuffix(rest, gone) {
			return nil, nil // it never came back, so its end stays open
		}
		args, result, _ := cutResult(rest)
		if args = strings.TrimPrefix(args, ", "); args != "" {
			c.args += ", " + args
		}
		c.result, c.end = result, place
		return nil, nil
	}
	name, rest, ok := strings.Cut(text, "(")
	if !ok {
		return nil, nil // it says that the thread has ended
	}
	if args, ok := strings.CutSuffix(rest, " <unfinished ...>"); ok {
		h[thread] = &call{name: name, args: strings.TrimSuffix(args, ","), begin: place, end: -1}
		return h[thread], nil
	}
	if args, ok := strings.CutSuffix(rest, gone); ok {
		if name == "read" {
			return nil, nil // an idle reader, whose arguments may be cut short
		}
		return &call{name: name, args: strings.TrimSuffix(args, ","), begin: place, end: -1}, nil
	}
	args, result, ok := cutResult(rest)
	if !ok {
		return nil, fmt.Errorf("trace: line %d is no call: %.60s … %s", place+1, text, text[max(0, len(text)-120):])
	}
	return &call{name, args, result, place, place}, nil
}

// cutResult takes "args) = result" apart.
func cutResult(text string) (args, result string, ok bool) {
	at := strings.LastIndex(text, " = ")
	if at < 0 {
		return "", "", false
	}
	args, ok = strings.CutSuffix(strings.TrimRight(text[:at], " "), ")")
	return args, text[at+3:], ok
}

var lastNumber = regexp.MustCompile(`(\d+)$`)

// file is the path of the file that the first argument, or the result, is.
func (c *call) file() string  { return pathIn(c.args) }
func (c *call) opens() string { return pathIn(c.result) }

// pathIn finds the path in "7</a/file>".
func pathIn(text string) string {
	number, rest, ok := strings.Cut(text, "<")
	if !ok || strings.ContainsAny(number, " ,") {
		return ""
	}
	path, _, _ := strings.Cut(rest, ">")
	return string(unhex(path))
}

// strings are the string arguments, whole.
func (c *call) strings() ([][]byte, error) {
	var out [][]byte
	parts := strings.Split(c.args, `"`)
	for i := 1; i < len(parts); i += 2 {
		if strings.HasPrefix(parts[min(i+1, len(parts)-1)], "...") {
			return nil, fmt.Errorf("trace: a string of %s was cut short", c.name)
		}
		out = append(out, unhex(parts[i]))
	}
	return out, nil
}

// number is the last argument, -1 if that is none.
func (c *call) number() int64 {
	n, err := strconv.ParseInt(lastNumber.FindString(c.args[max(0, len(c.args)-24):]), 10, 64)
	if err != nil {
		return -1
	}
	return n
}

func (c *call) failed() bool { return strings.HasPrefix(c.result, "-1 ") || c.result == "?" }

// unhex undoes strace -xx, which writes every byte as \x41.
func unhex(text string) []byte {
	digits := bytes.ReplaceAll([]byte(text), []byte(`\x`), nil)
	out := make([]byte, hex.DecodedLen(len(digits)))
	if _, err := hex.Decode(out, digits); err != nil {
		return []byte(text) // a name such as socket:[123]
	}
	return out
}

// TestHalves reads the lines that strace writes when threads take turns and
// when they vanish.
func TestHalves(t *testing.T) {
	half, lines := halves{}, []string{
		`fsync(7</a>) = 0`,
		`write(7</a>, "\x41" <unfinished ...>`,
		`<... write resumed>) = 1`,
		`fsync(8</b> <unfinished ...>`,
		`<... fsync resumed> <detached ...>`,
		`read(3<socket:[1]>, <detached ...>`,
		`fdatasync(9</c> <detached ...>`,
		`+++ exited with 0 +++`,
	}
	var got []call
	var calls []*call
	for i, l := range lines {
		c, err := half.next("1", l, i)
		if err != nil {
			t.Fatal(err)
		}
		if c != nil {
			calls = append(calls, c)
		}
	}
	for _, c := range calls {
		got = append(got, *c)
	}
	want := []call{
		{"fsync", `7</a>`, "0", 0, 0},
		{"write", `7</a>, "\x41"`, "1", 1, 2},
		{"fsync", `8</b>`, "", 3, -1},
		{"fdatasync", `9</c>`, "", 6, -1},
	}
	if !slices.Equal(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if _, err := half.next("1", "nonsense(", 9); err == nil {
		t.Error("nonsense was taken for a call")
	}
}
