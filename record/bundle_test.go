// SPDX-License-Identifier: Apache-2.0

package record_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"testing"

	"witnessmark/record"
)

func TestBundleVerifies(t *testing.T) {
	b, k := testBundle(t)
	data := zipOf(t, b, k)
	for _, key := range b.Chain.Keys { // the older key is as good: the chain leads on from it
		got, v := record.VerifyBundle(data, key)
		if !v.OK {
			t.Fatalf("with key %s: %v", key, v.Problems)
		}
		if v.Entries != 11 || v.Sealed != 10 || len(v.Seals) != 2 || len(v.Erased) != 1 || v.FirstBad != 0 {
			t.Errorf("verification: %+v", v)
		}
		if string(got.Files["report.html"]) != "<p>invented</p>" || len(got.Blobs) != 1 || len(got.Sheets) != 1 {
			t.Errorf("the bundle lost something: %+v", got)
		}
	}
	if again := zipOf(t, b, k); !bytes.Equal(again, data) {
		t.Error("the same content and key gave other bytes")
	}
}

// TestEveryByteCounts changes every byte of the zip in turn: each is refused,
// and for a byte of the entries the entry is named.
func TestEveryByteCounts(t *testing.T) {
	b, k := testBundle(t)
	data := zipOf(t, b, k)
	entryAt := entryOffsets(t, data, b)
	named := 0
	for i := 0; i < len(data); i += stride {
		for n, flip := range []byte{0x01, 0x80} {
			if n == 1 && i%7 != 0 {
				continue
			}
			bad := bytes.Clone(data)
			bad[i] ^= flip
			_, v := record.VerifyBundle(bad, k.Verifier)
			if v.OK {
				t.Fatalf("byte %d changed by %#x was accepted", i, flip)
			}
			if want, ok := entryAt[i]; ok {
				named++
				if v.FirstBad != want {
					t.Errorf("byte %d changed by %#x lies in entry %d, verify names %d: %v", i, flip, want, v.FirstBad, v.Problems)
				}
			}
		}
	}
	if named < 1000/stride {
		t.Errorf("only %d changes fell into entries", named)
	}
}

// entryOffsets maps each byte of the stored entries to its entry's number.
func entryOffsets(t *testing.T, data []byte, b record.Bundle) map[int]int64 {
	t.Helper()
	at := bytes.Index(data, b.Entries[0].Line())
	if at < 0 {
		t.Fatal("entries not found in the zip")
	}
	out := map[int]int64{}
	for _, e := range b.Entries {
		for range len(e.Line()) + 1 {
			out[at] = e.Seq
			at++
		}
	}
	return out
}

func TestEveryCutAndAdditionCounts(t *testing.T) {
	b, k := testBundle(t)
	data := zipOf(t, b, k)
	for n := 0; n < len(data); n += stride + n%61 {
		if _, v := record.VerifyBundle(data[:n], k.Verifier); v.OK {
			t.Fatalf("cut after %d bytes it was accepted", n)
		}
	}
	for name, bad := range map[string][]byte{
		"prefix": append([]byte("x"), data...),
		"suffix": append(bytes.Clone(data), 0),
	} {
		if _, v := record.VerifyBundle(bad, k.Verifier); v.OK {
			t.Errorf("%s junk was accepted", name)
		}
	}
}

// rezip writes files as WriteBundle would, but with what edit did to them.
func rezip(t *testing.T, data []byte, method uint16, edit func(map[string]string, *[]string)) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	files, names := map[string]string{}, []string{}
	for _, f := range z.File {
		var buf bytes.Buffer
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := buf.ReadFrom(r); err != nil {
			t.Fatal(err)
		}
		files[f.Name] = buf.String()
		names = append(names, f.Name)
	}
	edit(files, &names)
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, n := range names {
		f, err := w.CreateHeader(&zip.FileHeader{Name: n, Method: method})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Write([]byte(files[n])); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestTamperedBundles(t *testing.T) {
	b, k := testBundle(t)
	data := zipOf(t, b, k)
	line4 := string(b.Entries[3].Line())
	for name, edit := range map[string]func(map[string]string, *[]string){
		"extra file":    func(f map[string]string, n *[]string) { f["files/zz.html"] = "x"; *n = append(*n, "files/zz.html") },
		"extra seal":    func(f map[string]string, n *[]string) { f["seals/009.note"] = "x"; *n = append(*n, "seals/009.note") },
		"file twice":    func(_ map[string]string, n *[]string) { *n = append(*n, "entries.jsonl") },
		"other order":   func(_ map[string]string, n *[]string) { (*n)[0], (*n)[1] = (*n)[1], (*n)[0] },
		"file left out": func(_ map[string]string, n *[]string) { *n = (*n)[1:] },
		"climbing name": func(f map[string]string, n *[]string) { f["../x"] = "x"; *n = append(*n, "../x") },
		"entry left out": func(f map[string]string, _ *[]string) {
			f["entries.jsonl"] = strings.Replace(f["entries.jsonl"], line4+"\n", "", 1)
		},
		"entry twice": func(f map[string]string, _ *[]string) {
			f["entries.jsonl"] = strings.Replace(f["entries.jsonl"], line4+"\n", line4+"\n"+line4+"\n", 1)
		},
		"only copied": func(map[string]string, *[]string) {}, // other headers, so other bytes
	} {
		if _, v := record.VerifyBundle(rezip(t, data, zip.Store, edit), k.Verifier); v.OK {
			t.Errorf("%s: accepted", name)
		}
	}
	for _, n := range []string{"entry left out", "entry twice"} {
		bad := rezip(t, data, zip.Store, func(f map[string]string, _ *[]string) {
			with := ""
			if n == "entry twice" {
				with = line4 + "\n" + line4 + "\n"
			}
			f["entries.jsonl"] = strings.Replace(f["entries.jsonl"], line4+"\n", with, 1)
		})
		_, v := record.VerifyBundle(bad, k.Verifier)
		if want := map[string]int64{"entry left out": 4, "entry twice": 5}[n]; v.FirstBad != want {
			t.Errorf("%s: named entry %d, not %d: %v", n, v.FirstBad, want, v.Problems)
		}
	}
}

// TestBombIsRefused: nothing is decompressed, so there is nothing to blow up.
func TestBombIsRefused(t *testing.T) {
	b, k := testBundle(t)
	bomb := rezip(t, zipOf(t, b, k), zip.Deflate, func(f map[string]string, _ *[]string) {
		f["entries.jsonl"] = strings.Repeat("0", 8<<20)
	})
	if len(bomb) > 1<<17 {
		t.Fatalf("not much of a bomb: %d bytes", len(bomb))
	}
	allocs := testing.AllocsPerRun(1, func() {
		if _, v := record.VerifyBundle(bomb, k.Verifier); v.OK {
			t.Error("accepted")
		}
	})
	if allocs > 1000 {
		t.Errorf("%v allocations to refuse it", allocs)
	}
}

func TestWrongKey(t *testing.T) {
	b, k := testBundle(t)
	data := zipOf(t, b, k)
	other := testKey(t, "three")
	for _, key := range []string{other.Verifier, "", "x+y+z", k.Secret} {
		if _, v := record.VerifyBundle(data, key); v.OK {
			t.Errorf("key %q: accepted", key)
		}
	}
}

// TestForgedChain: whoever makes a chain of their own can't slip it under a
// key that the workshop gave out.
func TestForgedChain(t *testing.T) {
	b, k := testBundle(t)
	forger := testKey(t, "forger")
	b.Chain = record.NewChain(forger)
	if _, v := record.VerifyBundle(zipOf(t, b, forger), k.Verifier); v.OK {
		t.Error("a bundle under another chain was accepted")
	}
	b.Chain = record.Chain{Format: 1, Keys: []string{k.Verifier, forger.Verifier}, Rotations: []string{""}}
	var buf bytes.Buffer
	if err := record.WriteBundle(&buf, b, forger); err == nil {
		t.Error("a chain without rotation was written")
	}
}

// TestWithoutLeaves: where only the seals speak, the entries they can vouch
// for bound what is named.
func TestWithoutLeaves(t *testing.T) {
	b, _ := testBundle(t)
	bad := append([]record.Entry(nil), b.Entries...)
	line := strings.Replace(string(bad[9].Line()), "1000 km", "9000 km", 1)
	e, err := record.ParseLine([]byte(line))
	if err != nil {
		t.Fatal(err)
	}
	bad[9] = e
	if v := record.VerifyLog(bad, nil, b.Chain); v.OK || v.FirstBad != 9 { // entries 1 to 8 are under the first seal
		t.Errorf("named entry %d: %v", v.FirstBad, v.Problems)
	}
	if v := record.VerifyLog(b.Entries, nil, b.Chain); !v.OK {
		t.Errorf("the true log: %v", v.Problems)
	}
}

func TestVerificationSpeaks(t *testing.T) {
	b, k := testBundle(t)
	data := zipOf(t, b, k)
	_, v := record.VerifyBundle(data, k.Verifier)
	if got := fmt.Sprint(v); got != "invented-workshop/j-1: 11 entries, sealed to entry 10, all as they were kept." {
		t.Error(got)
	}
	bad := bytes.Replace(data, []byte("0.050 mm"), []byte("0.030 mm"), 1)
	_, v = record.VerifyBundle(bad, k.Verifier)
	if got := fmt.Sprint(v); got != "invented-workshop/j-1: the record does not match its seal from entry 3 on." {
		t.Error(got)
	}
}
