// SPDX-License-Identifier: Apache-2.0

package record_test

import (
	"bytes"
	"flag"
	"os"
	"strings"
	"testing"

	"witnessmark/record"
)

var update = flag.Bool("update", false, "write testdata/v1 anew: only while no version that wrote it was released")

// TestFormat1 opens and verifies a bundle written by the first version of this
// program. It must do so for ever; what is written now may differ.
func TestFormat1(t *testing.T) {
	if *update {
		b, k := testBundle(t)
		for name, data := range map[string][]byte{"bundle.zip": zipOf(t, b, k), "key": []byte(b.Chain.Keys[0] + "\n")} {
			if err := os.WriteFile("testdata/v1/"+name, data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	data, err := os.ReadFile("testdata/v1/bundle.zip")
	if err != nil {
		t.Fatal(err)
	}
	key, err := os.ReadFile("testdata/v1/key")
	if err != nil {
		t.Fatal(err)
	}
	b, v := record.VerifyBundle(data, strings.TrimSpace(string(key)))
	if !v.OK {
		t.Fatalf("a bundle of format 1 no longer verifies: %v", v.Problems)
	}
	if len(b.Entries) != 11 || len(v.Seals) != 2 || len(v.Erased) != 1 || b.Entries[2].Kind != "reading" {
		t.Errorf("read as %+v", v)
	}
	bad := bytes.Replace(data, []byte("1000 km"), []byte("9000 km"), 1)
	if _, v := record.VerifyBundle(bad, strings.TrimSpace(string(key))); v.OK || v.FirstBad != 10 {
		t.Errorf("changed in entry 10, named %d", v.FirstBad)
	}
}
