// SPDX-License-Identifier: Apache-2.0

package record

import (
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/transparency-dev/formats/log"
	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"
)

func readCSV(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func unhex(t *testing.T, s string) []byte {
	t.Helper()
	b, err := hex.DecodeString(s)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// vectorTree is the tree of the eight published leaves, with their hashes.
func vectorTree(t *testing.T) (*Tree, []Hash) {
	t.Helper()
	tree, leaves := &Tree{}, []Hash{}
	for i, row := range readCSV(t, "rfc6962_roots.csv") {
		if i > 0 {
			leaf := tlog.RecordHash(unhex(t, row[1]))
			if hex.EncodeToString(leaf[:]) != row[2] {
				t.Errorf("leaf %d: hash %x, published %s", i-1, leaf, row[2])
			}
			leaves = append(leaves, leaf)
			tree.AppendLeaf(leaf)
		}
		// Published: roots of sizes 0 to 8, transparency-dev/merkle testonly.
		if root := tree.Root(); hex.EncodeToString(root[:]) != row[3] {
			t.Errorf("size %d: root %x, published %s", i, root, row[3])
		}
	}
	return tree, leaves
}

func TestPublishedRoots(t *testing.T) {
	tree, _ := vectorTree(t)
	if tree.Size() != 8 {
		t.Errorf("%d leaves", tree.Size())
	}
}

func TestProofs(t *testing.T) {
	tree, leaves := vectorTree(t)
	rows := readCSV(t, "rfc6962_proofs.csv")
	if len(rows) != 36+28 {
		t.Fatalf("%d proofs", len(rows))
	}
	for _, row := range rows {
		a, _ := strconv.ParseInt(row[1], 10, 64)
		n, _ := strconv.ParseInt(row[2], 10, 64)
		var want []Hash
		for _, h := range strings.Fields(row[3]) {
			want = append(want, Hash(unhex(t, h)))
		}
		root, err := tree.RootAt(n)
		if err != nil {
			t.Fatal(err)
		}
		if row[0] == "inclusion" {
			got, err := tree.Inclusion(a, n)
			if err != nil || !slices.Equal(got, want) {
				t.Errorf("inclusion of %d in %d: %v, error %v, expected %v", a, n, got, err, want)
			}
			check := func(p []Hash, i, size int64) error { return CheckInclusion(p, i, leaves[a], size, root) }
			badProofs(t, "inclusion", want, a, n, check)
			continue
		}
		got, err := tree.Consistency(a, n)
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("consistency from %d to %d: %v, error %v, expected %v", a, n, got, err, want)
		}
		old, err := tree.RootAt(a)
		if err != nil {
			t.Fatal(err)
		}
		check := func(p []Hash, o, size int64) error { return CheckConsistency(p, o, old, size, root) }
		badProofs(t, "consistency", want, a, n, check)
	}
}

// badProofs: the true proof is accepted; nodes swapped, one dropped, one
// added, one bit flipped, another index and one outside the tree are not.
func badProofs(t *testing.T, what string, proof []Hash, a, n int64, check func([]Hash, int64, int64) error) {
	t.Helper()
	if err := check(proof, a, n); err != nil {
		t.Errorf("%s %d, %d: %v", what, a, n, err)
	}
	bad := map[string]error{
		"one added":   check(append(slices.Clone(proof), Hash{}), a, n),
		"outside":     check(proof, n+1, n),
		"negative":    check(proof, -1, n),
		"other index": nil,
	}
	if other := a + 1; other < n {
		bad["other index"] = check(proof, other, n)
	} else {
		delete(bad, "other index")
	}
	if what == "inclusion" {
		bad["at the size"] = check(proof, n, n)
	}
	for i := range proof {
		flipped := slices.Clone(proof)
		flipped[i][i%32] ^= 1 << (i % 8)
		bad["bit flipped"] = check(flipped, a, n)
		bad["one dropped"] = check(slices.Delete(slices.Clone(proof), i, i+1), a, n)
		if i > 0 && proof[i] != proof[i-1] {
			swapped := slices.Clone(proof)
			swapped[i], swapped[i-1] = swapped[i-1], swapped[i]
			bad["swapped"] = check(swapped, a, n)
		}
		for name, err := range bad {
			if err == nil {
				t.Errorf("%s %d, %d: %s: accepted", what, a, n, name)
			}
		}
	}
	for name, err := range bad {
		if err == nil {
			t.Errorf("%s %d, %d: %s: accepted", what, a, n, name)
		}
	}
}

func TestTreeRefusals(t *testing.T) {
	tree, _ := vectorTree(t)
	for name, f := range map[string]func() error{
		"index at size":  func() error { _, err := tree.Inclusion(4, 4); return err },
		"size too large": func() error { _, err := tree.Inclusion(0, 9); return err },
		"old too large":  func() error { _, err := tree.Consistency(5, 4); return err },
		"old is none":    func() error { _, err := tree.Consistency(0, 4); return err },
		"no such root":   func() error { _, err := tree.RootAt(9); return err },
		"negative root":  func() error { _, err := tree.RootAt(-1); return err },
		"no such hash":   func() error { _, err := tree.ReadHashes([]int64{99}); return err },
	} {
		if f() == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

type noteVector struct {
	Source      string `json:"source"`
	VerifierKey string `json:"verifier_key"`
	KeyID       string `json:"key_id_hex"`
	Text        string `json:"text"`
	Note        string `json:"note"`
	Origin      string `json:"origin"`
	Size        uint64 `json:"tree_size"`
	Root        string `json:"root_hash_hex"`
	MustVerify  *bool  `json:"must_verify"`
}

func noteVectors(t *testing.T) []noteVector {
	t.Helper()
	data, err := os.ReadFile("testdata/signed_note.json")
	if err != nil {
		t.Fatal(err)
	}
	var out []noteVector
	if err := json.Unmarshal(data, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

func TestPublishedNotes(t *testing.T) {
	for _, v := range noteVectors(t) {
		if v.MustVerify == nil {
			continue // a format only: see TestPublishedCheckpoint
		}
		key, err := note.NewVerifier(v.VerifierKey)
		if err != nil {
			t.Fatal(err)
		}
		text, err := openNote(v.Note, key)
		if (err == nil) != *v.MustVerify {
			t.Errorf("%s: error %v, must verify %v", v.Source, err, *v.MustVerify)
		}
		if *v.MustVerify && (text != v.Text || Fingerprint(v.VerifierKey) != v.KeyID) {
			t.Errorf("%s: text %q, key id %s", v.Source, text, Fingerprint(v.VerifierKey))
		}
	}
}

// TestEveryByteOfANote: no byte of a published note can be changed, not even
// the unused bits at the end of its base64.
func TestEveryByteOfANote(t *testing.T) {
	v := noteVectors(t)[1]
	key, err := note.NewVerifier(v.VerifierKey)
	if err != nil {
		t.Fatal(err)
	}
	for i := range len(v.Note) {
		for bit := range 8 {
			bad := []byte(v.Note)
			bad[i] ^= 1 << bit
			if _, err := openNote(string(bad), key); err == nil {
				t.Errorf("byte %d, bit %d: accepted", i, bit)
			}
		}
	}
	for _, bad := range []string{v.Note + "\n", "\n" + v.Note, v.Note + v.Note, v.Note + strings.SplitAfter(v.Note, "\n\n")[1]} {
		if _, err := openNote(bad, key); err == nil {
			t.Errorf("accepted: %q", bad)
		}
	}
}

func TestPublishedCheckpoint(t *testing.T) {
	for _, v := range noteVectors(t) {
		if v.Origin == "" {
			continue
		}
		var cp log.Checkpoint
		rest, err := cp.Unmarshal([]byte(v.Note))
		if err != nil || cp.Origin != v.Origin || cp.Size != v.Size || hex.EncodeToString(cp.Hash) != v.Root {
			t.Errorf("%s: read as %+v, error %v", v.Source, cp, err)
		}
		again := Checkpoint(v.Origin, int64(v.Size), Hash(unhex(t, v.Root))) + string(rest)
		if again != v.Note {
			t.Errorf("%s: written as %q", v.Source, again)
		}
	}
}
