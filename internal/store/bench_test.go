// SPDX-License-Identifier: Apache-2.0

package store_test

import (
	"crypto/rand"
	"database/sql"
	"net/url"
	"path/filepath"
	"runtime"
	"sync/atomic"
	"testing"
	"time"

	"witnessmark/internal/store"
	"witnessmark/internal/store/storetest"
	"witnessmark/record"
)

// BenchmarkBareInsert is what the disk and the driver give: the same table, ids
// of the same make, the same durability, one prepared INSERT to a transaction.
func BenchmarkBareInsert(b *testing.B) {
	path := filepath.Join(b.TempDir(), "bare.db")
	q := url.Values{"_txlock": {"immediate"}, "_pragma": {"journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)"}}
	db, err := sql.Open("sqlite", "file:"+path+"?"+q.Encode())
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	if _, err := db.Exec(`CREATE TABLE entries (change INTEGER PRIMARY KEY, subject TEXT NOT NULL, seq BIGINT NOT NULL,
		id TEXT NOT NULL, line BLOB NOT NULL, leaf BLOB NOT NULL, UNIQUE (subject, seq), UNIQUE (id))`); err != nil {
		b.Fatal(err)
	}
	st, err := db.Prepare(`INSERT INTO entries (subject, seq, id, line, leaf) VALUES (?1, ?2, ?3, ?4, ?5)`)
	if err != nil {
		b.Fatal(err)
	}
	line, leaf := make([]byte, 300), make([]byte, 32)
	for i := 0; b.Loop(); i++ {
		if _, err := st.Exec("job/a", i, newID(b), line, leaf); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkAppend is the whole way of one entry, to be held against
// BenchmarkBareInsert of the same run.
func BenchmarkAppend(b *testing.B) {
	f := newFolder(b)
	defer f.Close()
	for i := 0; b.Loop(); i++ {
		p := storetest.Proposal(b, "a", i)
		p.ID = newID(b)
		if _, _, err := f.Append(b.Context(), "p-1", p, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// newID is an id as clients make them: they follow one another in time.
func newID(b *testing.B) string {
	id, err := record.NewID(time.Now(), rand.Reader)
	if err != nil {
		b.Fatal(err)
	}
	return id
}

// BenchmarkAppendOfMany is BenchmarkAppend from 50 at once, who share what the
// disk takes.
func BenchmarkAppendOfMany(b *testing.B) {
	f := newFolder(b)
	defer f.Close()
	var n atomic.Int64
	b.SetParallelism((50 + runtime.GOMAXPROCS(0) - 1) / runtime.GOMAXPROCS(0))
	b.RunParallel(func(pb *testing.PB) {
		for pb.Next() {
			if _, _, err := f.Append(b.Context(), "p-1", storetest.Proposal(b, "m", int(n.Add(1))), nil); err != nil {
				b.Error(err)
				return
			}
		}
	})
}

// BenchmarkEntries reads a log of 2,000 entries, to be held against
// BenchmarkRows, which reads the same rows and does nothing with them.
func BenchmarkEntries(b *testing.B) {
	f := longLog(b)
	for b.Loop() {
		if got, err := f.Entries(b.Context(), "job/a", 0); err != nil || len(got) != 2000 {
			b.Fatal(len(got), err)
		}
	}
}

func BenchmarkRows(b *testing.B) {
	f := longLog(b)
	db, err := sql.Open("sqlite", filepath.Join(f.Dir, "witnessmark.db"))
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	for b.Loop() {
		rows, err := db.Query(`SELECT line FROM entries WHERE subject = ?1 ORDER BY seq`, "job/a")
		if err != nil {
			b.Fatal(err)
		}
		var line sql.RawBytes
		for rows.Next() {
			if err := rows.Scan(&line); err != nil {
				b.Fatal(err)
			}
		}
		if err := rows.Close(); err != nil {
			b.Fatal(err)
		}
	}
}

func longLog(b *testing.B) *store.Folder {
	b.Helper()
	f := newFolder(b)
	b.Cleanup(func() { _ = f.Close() })
	var ps []record.Proposal
	for i := range 2000 {
		ps = append(ps, storetest.Proposal(b, "a", i))
	}
	if _, err := f.AppendAll(b.Context(), "p-1", ps, nil); err != nil {
		b.Fatal(err)
	}
	return f
}
