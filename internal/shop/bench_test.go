// SPDX-License-Identifier: Apache-2.0

package shop_test

import (
	"crypto/rand"
	"database/sql"
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"syscall"
	"testing"
	"time"

	_ "modernc.org/sqlite" // the driver

	"witnessmark/internal/demo"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/record"
)

// sizes are numbers of entries; the job of 3 shows what does not grow: the
// workshop, its tools, its engine sheet.
var sizes = []int{3, 500, 2000, 8000}

// BenchmarkJob takes a job from disk to assessment, with nothing in memory but
// the trials of the same sums, to be held against BenchmarkJobRows, which reads
// the same rows and does nothing with them.
func BenchmarkJob(b *testing.B) {
	for _, n := range sizes {
		f := longJob(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			if s, err := shop.New(shop.Options{Folder: f}); err != nil {
				b.Fatal(err)
			} else if _, err := s.Job(b.Context(), "long"); err != nil { // trials are made once
				b.Fatal(err)
			}
			defer processor(b)()
			for b.Loop() {
				job.Forget()
				s, err := shop.New(shop.Options{Folder: f})
				if err != nil {
					b.Fatal(err)
				}
				l, err := s.Job(b.Context(), "long")
				if err != nil || len(l.Entries) != n {
					b.Fatal(len(l.Entries), err)
				}
			}
		})
	}
}

// BenchmarkJobAgain is the same with one more entry each time and the rest in
// memory, as pages have it.
func BenchmarkJobAgain(b *testing.B) {
	for _, n := range sizes {
		f := longJob(b, n)
		s, err := shop.New(shop.Options{Folder: f})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			defer processor(b)()
			for b.Loop() {
				in := shop.Input{Subject: "job/long", Kind: "debris_found", Body: job.DebrisFound{Place: "sump", Kinds: []string{"none"}, Amount: "none"}}
				if _, _, err := s.Append(b.Context(), "p-2", in); err != nil {
					b.Fatal(err)
				}
				if _, err := s.Job(b.Context(), "long"); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkJobRows(b *testing.B) {
	for _, n := range sizes {
		f := longJob(b, n)
		db, err := sql.Open("sqlite", filepath.Join(f.Dir, "witnessmark.db"))
		if err != nil {
			b.Fatal(err)
		}
		b.Cleanup(func() { _ = db.Close() })
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			defer processor(b)()
			for b.Loop() {
				if got := rows(b, db); got != n {
					b.Fatal(got)
				}
			}
		})
	}
}

// processor reports the processor time that an operation takes, which says more
// than the clock on a machine that has other work.
func processor(b *testing.B) (done func()) {
	used := func() time.Duration {
		var u syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
			b.Fatal(err)
		}
		return time.Duration(u.Utime.Nano() + u.Stime.Nano())
	}
	before := used()
	return func() { b.ReportMetric(float64((used()-before).Microseconds())/float64(b.N)/1000, "cpu-ms/op") }
}

func rows(b *testing.B, db *sql.DB) (n int) {
	b.Helper()
	rs, err := db.Query(`SELECT line FROM entries WHERE subject = 'job/long' ORDER BY seq`)
	if err != nil {
		b.Fatal(err)
	}
	defer rs.Close()
	var line sql.RawBytes
	for rs.Next() {
		if err := rs.Scan(&line); err != nil {
			b.Fatal(err)
		}
		n++
	}
	if err := rs.Err(); err != nil {
		b.Fatal(err)
	}
	return n
}

// longJob is the invented workshop with one more job of n entries: those of
// the job half-way, over and over.
func longJob(b *testing.B, n int) *store.Folder {
	b.Helper()
	r := demo.EndingBefore(time.Now())
	f, err := store.Init(b.Context(), b.TempDir(), demo.Config(), store.Options{Clock: r.Now, NeedSaw: shop.NeedSaw})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = f.Close() })
	s, err := shop.New(shop.Options{Folder: f, Clock: r.Now, Rand: r, Program: "benchmark"})
	if err != nil {
		b.Fatal(err)
	}
	if _, err := demo.Fill(b.Context(), s, demo.Options{Replay: r}); err != nil {
		b.Fatal(err)
	}
	like, err := f.Entries(b.Context(), "job/"+demo.TheCast().HalfWay, 0)
	if err != nil {
		b.Fatal(err)
	}
	once := []string{"job_opened", "sheet_adopted"}
	var ps []record.Proposal
	for i := 0; len(ps) < n; i++ {
		e := like[i%len(like)]
		if i >= len(like) && slices.Contains(once, e.Kind) || slices.Contains(shop.NeedSaw, e.Kind) {
			continue
		}
		p := record.Proposal{Subject: "job/long", DeviceTime: e.DeviceTime, Kind: e.Kind, Version: e.Version, Body: unlike(e, i)}
		if p.ID, err = record.NewID(time.Now(), rand.Reader); err != nil {
			b.Fatal(err)
		}
		ps = append(ps, p)
	}
	if _, err := f.AppendAll(b.Context(), "p-2", ps, nil); err != nil {
		b.Fatal(err)
	}
	return f
}

// unlike is the entry's body with words of its own where the kind has room for
// them, so that no two have the same.
func unlike(e record.Entry, i int) json.RawMessage {
	for _, field := range []string{"remark", "reason", "part_temperature"} {
		var body map[string]json.RawMessage
		if json.Unmarshal(e.Body, &body) != nil {
			continue
		}
		body[field] = json.RawMessage(fmt.Sprintf(`"entry %d"`, i))
		if field == "part_temperature" {
			body[field] = json.RawMessage(fmt.Sprintf(`"%d.%03d °C"`, 20+i%5, i%1000))
		}
		raw, err := json.Marshal(body)
		if err != nil {
			continue
		}
		if _, err := job.Decode(e.Kind, e.Version, raw); err == nil {
			return raw
		}
	}
	return e.Body
}
