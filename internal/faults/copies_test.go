// SPDX-License-Identifier: Apache-2.0

package faults

import (
	"archive/zip"
	"bytes"
	"crypto/rand"
	"crypto/sha256"
	"fmt"
	"hash/crc32"
	"io"
	"maps"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"witnessmark/internal/demo"
	"witnessmark/internal/job"
	"witnessmark/record"
)

// TestEditedBundle changes a bundle as somebody would who wants it to say
// something else. Verifying names what is wrong, never says that it is right,
// and follows no path that the zip names.
func TestEditedBundle(t *testing.T) {
	dir := workshop(t)
	base := filepath.Dir(dir)
	bundle := filepath.Join(base, "job.zip")
	must(t, "bundle", demo.TheCast().HandedOver, "-o", bundle, "--dir", dir)
	key := strings.TrimSpace(must(t, "key", "show", "--dir", dir))
	if out := must(t, "verify", bundle, "--key", key); !strings.Contains(out, "Verified.") {
		t.Fatalf("as it was written: %s", out)
	}
	good, err := os.ReadFile(bundle)
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		edit func(files map[string][]byte)
		says string
	}{
		"a reading":     {func(f map[string][]byte) { inEntries(f, `0.051`, `0.038`) }, "entr"},
		"a person":      {func(f map[string][]byte) { inEntries(f, `"person":"p-2"`, `"person":"p-3"`) }, "entr"},
		"an entry less": {func(f map[string][]byte) { dropLine(f, 20) }, "entr"},
		"a file less":   {func(f map[string][]byte) { delete(f, anyOf(f, "blob")) }, "blob"},
		"the report":    {func(f map[string][]byte) { f[anyOf(f, "report")] = []byte("<p>All was well.</p>") }, "report"},
		"a path in it":  {func(f map[string][]byte) { f["../../evil"] = []byte("evil") }, "evil"},
		"one more file": {func(f map[string][]byte) { f["added.txt"] = []byte("added") }, "added.txt"},
		// With care: every sum that anybody can compute is put right.
		"a reading with its sums": {func(f map[string][]byte) { inEntries(f, `0.051`, `0.038`); sumsAgain(t, f) }, "manifest"},
		"the report with its sum": {func(f map[string][]byte) {
			f[anyOf(f, "report.html")] = []byte("<p>All was well.</p>")
			sumsAgain(t, f)
		}, "manifest"},
		"under another key": {nil, "not one of the workshop's keys"},
		"a bomb":            {nil, "is compressed or longer than the file"},
		"not a zip":         {nil, "zip"},
		"cut in the half":   {nil, "zip"},
	} {
		t.Run(name, func(t *testing.T) {
			var data []byte
			switch {
			case c.edit != nil:
				data = rezip(t, good, c.edit)
			case name == "under another key":
				data = underAnotherKey(t, good)
			case name == "a bomb":
				data = zipped(t)
			case name == "not a zip":
				data = []byte("<html>not found</html>")
			default:
				data = good[:len(good)/2]
			}
			path := filepath.Join(base, strings.ReplaceAll(name, " ", "-")+".zip")
			if err := os.WriteFile(path, data, 0o644); err != nil {
				t.Fatal(err)
			}
			code, out, said := run(t, "verify", path, "--key", key)
			if code != 1 {
				t.Errorf("exit code %d", code)
			}
			parts{"NOT VERIFIED", c.says, "othing was changed", "ask the workshop for another copy"}.in(t, out+said)
		})
	}
	if _, err := os.Stat(filepath.Join(base, "..", "evil")); err == nil {
		t.Error("a path in the zip was followed")
	}
}

func anyOf(files map[string][]byte, part string) string {
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if strings.Contains(name, part) {
			return name
		}
	}
	return ""
}

func inEntries(files map[string][]byte, old, new string) {
	name := anyOf(files, "entries")
	files[name] = bytes.Replace(files[name], []byte(old), []byte(new), 1)
}

// sumsAgain computes leaves and the manifest's sums anew; only the signatures
// can't be.
func sumsAgain(t *testing.T, files map[string][]byte) {
	t.Helper()
	var leaves strings.Builder
	for line := range bytes.Lines(files["entries.jsonl"]) {
		e, err := record.ParseLine(bytes.TrimSuffix(line, []byte("\n")))
		if err != nil {
			t.Fatal(err)
		}
		h := e.Leaf()
		fmt.Fprintf(&leaves, "%x\n", h[:])
	}
	files["leaves.txt"] = []byte(leaves.String())
	var out []string
	for line := range strings.SplitSeq(string(files["manifest"]), "\n") {
		if f := strings.Split(line, " "); len(f) == 3 && len(f[0]) == 64 {
			line = fmt.Sprintf("%x %d %s", sha256.Sum256(files[f[2]]), len(files[f[2]]), f[2])
		}
		out = append(out, line)
	}
	files["manifest"] = []byte(strings.Join(out, "\n"))
}

// underAnotherKey changes a reading and writes the whole bundle again as the
// workshop would, with a key of the forger's own under the workshop's name.
func underAnotherKey(t *testing.T, good []byte) []byte {
	t.Helper()
	b, err := record.ReadBundle(good)
	if err != nil {
		t.Fatal(err)
	}
	for i, e := range b.Entries {
		if line := bytes.Replace(e.Line(), []byte(`0.051`), []byte(`0.038`), 1); e.Kind == "reading" && !bytes.Equal(line, e.Line()) {
			if b.Entries[i], err = record.ParseLine(line); err != nil {
				t.Fatal(err)
			}
			break
		}
	}
	key, err := record.GenerateKey(rand.Reader, demo.Config().WorkshopID)
	if err != nil {
		t.Fatal(err)
	}
	b.Chain, b.Leaves = record.NewChain(key), nil
	var out bytes.Buffer
	if err := record.WriteBundle(&out, b, key); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func dropLine(files map[string][]byte, n int) {
	name := anyOf(files, "entries")
	files[name] = bytes.Join(slices.Delete(bytes.SplitAfter(files[name], []byte("\n")), n, n+1), nil)
}

// rezip writes a zip again with its files edited.
func rezip(t *testing.T, data []byte, edit func(files map[string][]byte)) []byte {
	t.Helper()
	in, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	before := map[string]string{}
	var like zip.FileHeader
	for _, f := range in.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if files[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
		before[f.Name] = string(files[f.Name])
		like = f.FileHeader
	}
	edit(files)
	if maps.EqualFunc(files, before, func(a []byte, b string) bool { return string(a) == b }) {
		t.Fatalf("nothing was edited; the files are %v", slices.Sorted(maps.Keys(files)))
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, name := range slices.Sorted(maps.Keys(files)) {
		head := like // stored, without a time, as the format is: nothing but the content gives it away
		head.Name, head.CRC32 = name, crc32.ChecksumIEEE(files[name])
		head.CompressedSize64, head.UncompressedSize64 = uint64(len(files[name])), uint64(len(files[name]))
		f, err := w.CreateRaw(&head)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Write(files[name]); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// zipped compresses everything: a bomb would look like that.
func zipped(t *testing.T) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	f, err := w.Create("entries.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Write(make([]byte, 64<<20)); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// TestBackupAndRestore backs a server up while four tablets enter, and restores
// it into another folder. What was acknowledged before the backup began is in
// it; every log is a beginning of the one that goes on; blobs, keys and
// settings are the same byte for byte; and the copy serves.
func TestBackupAndRestore(t *testing.T) {
	dir := workshop(t)
	base := filepath.Dir(dir)
	s := serve(t, dir)
	var acked []string
	b := s.as(job.Technician)
	at := "/jobs/" + demo.TheCast().HalfWay
	for n := range 5 {
		id := newID(t)
		b.post(at+"/reading", reading(id, 1+n)).kept()
		acked = append(acked, id)
	}
	var wg sync.WaitGroup
	over := make(chan struct{})
	for range 4 {
		b := s.as(job.Technician)
		b.accept = "application/json"
		wg.Go(func() {
			for n := 0; ; n++ {
				_, e := b.entry(demo.TheCast().HalfWay, n)
				if !b.try(e) {
					return
				}
				select {
				case <-over:
					return
				default:
				}
			}
		})
	}
	file := filepath.Join(base, "day.backup")
	must(t, "backup", file, "--dir", dir)
	close(over)
	wg.Wait()
	s.stop()
	to := filepath.Join(place(t), "restored")
	must(t, "restore", file, "--dir", to)

	whole, copied := map[string][]string{}, map[string][]string{}
	for _, e := range sound(t, dir) {
		whole[e.subject] = append(whole[e.subject], e.line)
	}
	var ids []string
	for _, e := range sound(t, to) {
		copied[e.subject] = append(copied[e.subject], e.line)
		ids = append(ids, e.id)
	}
	for subject, lines := range copied {
		if w := whole[subject]; len(w) < len(lines) || !slices.Equal(w[:len(lines)], lines) {
			t.Errorf("%s is not a beginning of what goes on", subject)
		}
	}
	if len(copied) != len(whole) {
		t.Errorf("%d logs of %d", len(copied), len(whole))
	}
	for _, id := range acked {
		if !slices.Contains(ids, id) {
			t.Errorf("%s was acknowledged before the backup and is not in it", id)
		}
	}
	for _, part := range []string{"config.yaml", "keys", "blobs"} {
		sameFiles(t, filepath.Join(to, part), filepath.Join(dir, part))
	}
	// The bundle of the copy is the bundle of the original.
	for i, d := range []string{dir, to} {
		must(t, "bundle", demo.TheCast().HandedOver, "-o", filepath.Join(base, fmt.Sprint(i, ".zip")), "--dir", d)
	}
	sameFiles(t, filepath.Join(base, "0.zip"), filepath.Join(base, "1.zip"))
	again := serve(t, to)
	if a := again.as(job.Manager).get(at); a.status != http.StatusOK {
		t.Errorf("the copy serves %d", a.status)
	}
	code, _, said := run(t, "restore", file, "--dir", to)
	if code != 3 {
		t.Errorf("into a folder in use: exit code %d", code)
	}
	parts{"restore into", to, "it is not empty", "Name another folder with --dir"}.in(t, said)
}

// sameFiles holds every file of a copy to the original, byte for byte.
func sameFiles(t *testing.T, copied, original string) {
	t.Helper()
	for path := range tree(t, copied) {
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		if info.IsDir() {
			continue
		}
		of := original + strings.TrimPrefix(path, copied)
		a, errA := os.ReadFile(path)
		b, errB := os.ReadFile(of)
		if errA != nil || errB != nil || !bytes.Equal(a, b) {
			t.Errorf("%s is not %s: %v, %v", path, of, errA, errB)
		}
	}
}
