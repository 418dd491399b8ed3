// SPDX-License-Identifier: Apache-2.0

package report

import (
	"bytes"
	"context"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"witnessmark/engine"
	"witnessmark/internal/demo"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/sheets"
)

// told is one telling of the invented scenario, for tests that only look at it.
var told struct {
	shop *shop.Shop
	cast demo.Cast
}

// printed stands for the day on which everything here is printed.
var printed = time.Date(2026, 4, 6, 9, 30, 0, 0, time.UTC)

func TestMain(m *testing.M) {
	os.Exit(func() int {
		dir, err := os.MkdirTemp("", "report")
		if err != nil {
			log.Print(err)
			return 1
		}
		defer os.RemoveAll(dir)
		f, err := tell(dir)
		if err != nil {
			log.Print(err)
			return 1
		}
		defer f.Close()
		return m.Run()
	}())
}

func tell(dir string) (*store.Folder, error) {
	ctx := context.Background()
	r := demo.NewReplay(time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC))
	f, err := store.Init(ctx, dir, demo.Config(), store.Options{Clock: r.Now, Rand: r, NeedSaw: shop.NeedSaw})
	if err != nil {
		return nil, err
	}
	told.shop, err = shop.New(shop.Options{Folder: f, Program: "test", Clock: r.Now, Rand: r})
	if err != nil {
		return nil, err
	}
	told.cast, err = demo.Fill(ctx, told.shop, demo.Options{Replay: r})
	return f, err
}

// gathered is what the report of a job prints, printed on the day of these
// tests.
func gathered(t testing.TB, id string) Data {
	t.Helper()
	ctx := context.Background()
	l, err := told.shop.Job(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	d, err := Gather(ctx, told.shop, l)
	if err != nil {
		t.Fatal(err)
	}
	d.PrintedAt, d.Printed = printed, clock(printed, time.UTC)
	return d
}

func pdfOf(t testing.TB, d Data, o Options) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := d.PDF(&b, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func tools(t testing.TB) job.Register {
	t.Helper()
	r, err := told.shop.Tools(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func sheetOf(t testing.TB, file string) *engine.Sheet {
	t.Helper()
	s, err := sheets.Named(file)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func blankOf(t testing.TB, file string, o BlankOptions) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WorkshopSheets(&b, sheetOf(t, file), o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// tool finds a program that reads what was printed and knows nothing of this
// one.
func tool(t testing.TB, name, pkg string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("WITNESSMARK_REQUIRE_ALL") == "1" {
			t.Fatalf("%s is not installed: apt-get install %s", name, pkg)
		}
		t.Skipf("left out: %s is not installed (apt-get install %s)", name, pkg)
	}
	return path
}

// read runs a tool over a file of the given bytes: the arguments, the file,
// and what follows it.
func read(t testing.TB, path string, data []byte, args []string, after ...string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "it.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(path, append(append(args, file), after...)...).Output()
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	return string(out)
}
