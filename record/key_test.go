// SPDX-License-Identifier: Apache-2.0

package record_test

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"witnessmark/record"
)

func TestKeys(t *testing.T) {
	for i := range 50 { // base64 of a key may hold the "+" that parts its fields
		k := testKey(t, fmt.Sprint("key", i))
		got, err := record.ParseKey(k.Secret + "\n")
		if err != nil || got != k {
			t.Fatalf("key %d: %v, error %v", i, got, err)
		}
		if name, err := record.KeyName(k.Verifier); name != "invented-workshop" || err != nil {
			t.Errorf("name %q, error %v", name, err)
		}
		if fp := record.Fingerprint(k.Verifier); len(fp) != 8 || !strings.Contains(k.Verifier, "+"+fp+"+") {
			t.Errorf("fingerprint %q of %s", fp, k.Verifier)
		}
	}
	k := testKey(t, "one")
	for _, bad := range []string{"", "PRIVATE+KEY+", k.Verifier, k.Secret[:len(k.Secret)-2], "x" + k.Secret} {
		if _, err := record.ParseKey(bad); !errors.Is(err, record.ErrInvalid) || strings.Contains(fmt.Sprint(err), "PRIVATE") {
			t.Errorf("%q: %v", bad, err)
		}
	}
	for _, name := range []string{"", "A", "a b", "a+b", "a/b"} {
		if _, err := record.GenerateKey(steady("x"), name); err == nil {
			t.Errorf("workshop id %q was taken", name)
		}
	}
}

func TestChain(t *testing.T) {
	k1, k2, k3 := testKey(t, "one"), testKey(t, "two"), testKey(t, "three")
	one := record.NewChain(k1)
	two, err := one.Rotate(k1, k2, start)
	if err != nil {
		t.Fatal(err)
	}
	three, err := two.Rotate(k2, k3, start)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []record.Chain{one, two, three} {
		got, err := record.ParseChain(c.Marshal())
		if err != nil || got.Newest() != c.Newest() || !got.Has(k1.Verifier) {
			t.Errorf("chain of %d: %v, error %v", len(c.Keys), got, err)
		}
	}
	if _, err := two.Rotate(k1, k3, start); err == nil {
		t.Error("a key given up led on")
	}
	if _, err := three.Rotate(k3, k1, start); err == nil {
		t.Error("a key came back")
	}
	wire := three.Marshal()
	for i := 0; i < len(wire); i += stride {
		for _, flip := range []byte{1, 4} {
			bad := bytes.Clone(wire)
			bad[i] ^= flip
			if c, err := record.ParseChain(bad); err == nil && c.Keys[0] == three.Keys[0] {
				t.Errorf("byte %d: accepted", i)
			}
		}
	}
	for name, bad := range map[string]record.Chain{
		"empty":            {Format: 1},
		"newer":            {Format: 2, Keys: one.Keys},
		"no rotation":      {Format: 1, Keys: two.Keys},
		"other rotation":   {Format: 1, Keys: []string{k1.Verifier, k3.Verifier}, Rotations: two.Rotations},
		"rotations turned": {Format: 1, Keys: three.Keys, Rotations: []string{three.Rotations[1], three.Rotations[0]}},
		"one left out":     {Format: 1, Keys: []string{k1.Verifier, k3.Verifier}, Rotations: three.Rotations[:1]},
	} {
		if bad.Check() == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func TestCommit(t *testing.T) {
	salt := make([]byte, record.SaltSize)
	got, err := record.Commit(salt, []byte("abc"))
	// Recomputed: (head -c32 /dev/zero; printf abc) | sha256sum, GNU coreutils.
	const want = "blob:365aa7d8f7f9402c4b9434502b4cc89ddb09fe50d7cd95b493b834c62d5a5370"
	if err != nil || string(got) != want {
		t.Errorf("commitment %s, error %v", got, err)
	}
	// Published: SHA-256 of "abc", FIPS 180-4 example (NIST CSRC).
	if h := record.HashContent([]byte("abc")); h != "sheet:ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad" {
		t.Errorf("content hash %s", h)
	}
	for _, salt := range [][]byte{nil, salt[:31], append(salt, 0)} {
		if _, err := record.Commit(salt, nil); err == nil {
			t.Errorf("a salt of %d bytes was taken", len(salt))
		}
	}
}

func TestRefs(t *testing.T) {
	a, b := strings.Repeat("a", 64), strings.Repeat("b", 64)
	body := fmt.Sprintf(`{"x":"blob:%s","blob:%s":1,"y":[{"z":"sheet:%s"},"blob:%s"],"w":"see blob:%s","v":"blob:short"}`, a, b, b, a, b)
	blobs, sheets := record.Refs([]byte(body))
	if fmt.Sprint(blobs) != "[blob:"+a+" blob:"+b+"]" {
		t.Errorf("blobs %v", blobs)
	}
	if len(sheets) != 1 || string(sheets[0]) != "sheet:"+b {
		t.Errorf("sheets %v", sheets)
	}
	if bs, ss := record.Refs([]byte(`{"blob:":`)); bs != nil || ss != nil {
		t.Errorf("from what is not JSON: %v %v", bs, ss)
	}
}

func TestGuards(t *testing.T) {
	l := &testLog{t: t}
	l.add("note", `{}`)
	l.add("note", `{}`)
	log := record.Slice(l.entries)
	p := proposal(t, 3, "correction", `{}`)
	need := map[string]bool{"correction": true}
	for saw, want := range map[int64]struct{ seen, unchanged bool }{0: {false, true}, 1: {true, false}, 2: {true, true}, 3: {false, false}} {
		p.Saw = saw
		if err := record.CheckSeen(log, p, need); (err == nil) != want.seen {
			t.Errorf("saw %d: %v", saw, err)
		}
		err := record.UnchangedSinceSeen(log, p)
		var c *record.ConflictError
		if (err == nil) != want.unchanged || err != nil && (!errors.As(err, &c) || c.Seq != 2 || c.Error() == "") {
			t.Errorf("saw %d: %v", saw, err)
		}
	}
	if got, err := log.After(1); err != nil || len(got) != 1 || got[0].Seq != 2 {
		t.Errorf("after 1: %v, error %v", got, err)
	}
	if got, err := log.After(9); err != nil || len(got) != 0 {
		t.Errorf("after 9: %v, error %v", got, err)
	}
}
