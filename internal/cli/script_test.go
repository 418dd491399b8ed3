// SPDX-License-Identifier: Apache-2.0

package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/units"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"witnessmark": func() { os.Exit(Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// TestScript runs the stories of testdata/script, one file each.
func TestScript(t *testing.T) {
	t.Cleanup(func() {
		if dir, _ := scenario(); dir != "" {
			os.RemoveAll(dir)
		}
	})
	testscript.Run(t, testscript.Params{
		Dir:  "testdata/script",
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){"exits": exits, "spoil": spoil, "told": copyTold, "readstudies": readStudies},
		Setup: func(e *testscript.Env) error {
			sheets, err := filepath.Abs("../../sheets")
			e.Setenv("SHEETS", sheets)
			e.Setenv("GORACE", os.Getenv("GORACE"))
			return err
		},
	})
}

// exits CODE COMMAND...: the command ends with this very code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("%v: exit code %d, want %d", args[1:], got, want)
	}
}

// spoil FROM TO AT: a copy with the byte at AT changed.
func spoil(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: spoil FROM TO AT")
	}
	at, err := strconv.Atoi(args[2])
	ts.Check(err)
	data, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	data[at] ^= 1
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), data, 0o600))
}

// scenario is a folder with the demonstration in it, told once: telling it
// takes longer than most stories. job.txtar tells it by the command itself.
var scenario = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "witnessmark-told-")
	if err != nil {
		return "", err
	}
	var said bytes.Buffer
	if code := Main([]string{"demo", "--dir", dir, "--no-serve"}, nil, &said, &said); code != 0 {
		return dir, fmt.Errorf("demo: exit code %d: %s", code, said.String())
	}
	return dir, nil
})

// copyTold is `told DIR`: a copy of the demonstration.
func copyTold(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: told DIR")
	}
	dir, err := scenario()
	ts.Check(err)
	ts.Check(os.CopyFS(ts.MkAbs(args[0]), os.DirFS(dir)))
	keys, err := filepath.Glob(filepath.Join(ts.MkAbs(args[0]), "keys", "*"))
	ts.Check(err)
	for _, key := range keys { // a copy is readable by others
		ts.Check(os.Chmod(key, 0o600))
	}
}

// readStudies is `readstudies DIR`: every study is read to its end. Part k reads
// k/10 mm, a hundredth more in the second round. STUDY is the last one's id.
func readStudies(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: readstudies DIR")
	}
	ctx := context.Background()
	folder, s, err := openShop(ctx, ts.MkAbs(args[0]), store.Options{})
	ts.Check(err)
	studies, err := s.Studies(ctx, "")
	ts.Check(err)
	for _, g := range studies {
		ts.Setenv("STUDY", g.ID)
		for i, step := range g.Steps {
			value, err := units.Parse(units.KindLength, fmt.Sprintf("0.%s%d mm", step.Part, step.Round), units.UnitMillimetre)
			ts.Check(err)
			if _, read := g.Read[i+1]; !read {
				_, _, err = s.Append(ctx, step.Person, shop.Input{Subject: g.Subject, Kind: "study_read", Body: job.StudyRead{Step: i + 1, Value: value}})
				ts.Check(err)
			}
		}
	}
	ts.Check(folder.Close())
}
