// SPDX-License-Identifier: Apache-2.0

package record_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"testing"
	"time"

	"witnessmark/record"
)

// start is when the invented job of these tests begins.
var start = time.Date(2031, 5, 2, 8, 0, 0, 0, time.UTC)

// steady gives the same "random" bytes on every run.
func steady(seed string) io.Reader { return &stream{seed: seed} }

type stream struct {
	seed string
	n    int
	left []byte
}

func (s *stream) Read(p []byte) (int, error) {
	for i := range p {
		if len(s.left) == 0 {
			sum := sha256.Sum256(fmt.Appendf(nil, "%s %d", s.seed, s.n))
			s.left, s.n = sum[:], s.n+1
		}
		p[i], s.left = s.left[0], s.left[1:]
	}
	return len(p), nil
}

func testKey(t testing.TB, seed string) record.Key {
	t.Helper()
	k, err := record.GenerateKey(steady(seed), "invented-workshop")
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// proposal number n about job/j-1, one minute apart.
func proposal(t testing.TB, n int, kind, body string) record.Proposal {
	t.Helper()
	at := start.Add(time.Duration(n) * time.Minute)
	id, err := record.NewID(at, steady(fmt.Sprint("id", n)))
	if err != nil {
		t.Fatal(err)
	}
	return record.Proposal{ID: id, Subject: "job/j-1", DeviceTime: at, Kind: kind, Version: 1, Body: json.RawMessage(body)}
}

// testLog is a log under construction.
type testLog struct {
	t       testing.TB
	entries []record.Entry
}

func (l *testLog) add(kind, body string) {
	l.t.Helper()
	n := len(l.entries) + 1
	p := proposal(l.t, n, kind, body)
	e, err := record.NewEntry(p, "p-1", int64(n), p.DeviceTime.Add(time.Second))
	if err != nil {
		l.t.Fatal(err)
	}
	l.entries = append(l.entries, e)
}

func (l *testLog) seal(k record.Key) {
	l.t.Helper()
	s, err := record.NewSeal(l.entries, k)
	if err != nil {
		l.t.Fatal(err)
	}
	l.add(record.KindSeal, string(s.Body()))
}

// testBundle is an invented job: a sheet, personal data of which one piece is
// erased, two seals under two keys, a report.
func testBundle(t testing.TB) (record.Bundle, record.Key) {
	t.Helper()
	sheet := []byte("# invented\nname: Invented four\n")
	salt := func(s string) []byte { b := sha256.Sum256([]byte(s)); return b[:] }
	kept := record.Blob{Salt: salt("a"), Data: []byte("Invented Owner")}
	c1, err := record.Commit(kept.Salt, kept.Data)
	if err != nil {
		t.Fatal(err)
	}
	c2, err := record.Commit(salt("b"), []byte("erased"))
	if err != nil {
		t.Fatal(err)
	}
	k1, k2 := testKey(t, "one"), testKey(t, "two")
	chain, err := record.NewChain(k1).Rotate(k1, k2, start)
	if err != nil {
		t.Fatal(err)
	}
	l := &testLog{t: t}
	l.add("job-opened", fmt.Sprintf(`{"owner":%q,"plate":%q}`, c1, c2))
	l.add("sheet-adopted", fmt.Sprintf(`{"sheet":%q}`, record.HashContent(sheet)))
	for i := range 6 {
		l.add("reading", fmt.Sprintf(`{"position":%d,"read":"0.050 mm"}`, i+1))
	}
	l.seal(k1)
	l.add("follow-up", `{"distance":"1000 km"}`)
	l.seal(k2)
	return record.Bundle{
		Entries: l.entries,
		Sheets:  map[record.ContentHash][]byte{record.HashContent(sheet): sheet},
		Blobs:   map[record.Commitment]record.Blob{c1: kept},
		Files:   map[string][]byte{"report.html": []byte("<p>invented</p>")},
		Chain:   chain,
	}, k2
}

func zipOf(t testing.TB, b record.Bundle, k record.Key) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := record.WriteBundle(&buf, b, k); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}
