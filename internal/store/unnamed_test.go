// SPDX-License-Identifier: Apache-2.0

package store_test

import (
	"encoding/json"
	"errors"
	"testing"
	"time"

	"witnessmark/internal/store"
	"witnessmark/internal/store/storetest"
	"witnessmark/record"
)

// A photo whose entry never came goes after a while; what an entry names, what
// is young, and the mark of what was erased stay.
func TestUnnamedBlobs(t *testing.T) {
	f := newFolder(t)
	defer f.Close()
	put := func(text string) record.Commitment {
		c, err := f.PutBlob(t.Context(), record.Blob{Data: []byte(text)})
		ok(t, err)
		return c
	}
	named, orphan, erased := put("named"), put("its entry never came"), put("erased")
	p := storetest.Proposal(t, "a", 1)
	body, err := json.Marshal(map[string]any{"photos": []record.Commitment{named}})
	ok(t, err)
	p.Body = body
	_, _, err = f.Append(t.Context(), "p-1", p, nil)
	ok(t, err)
	ok(t, f.Erase(t.Context(), "job/a", erased))
	if n, err := f.RemoveUnnamed(t.Context(), time.Now().Add(-time.Hour)); n != 0 || err != nil {
		t.Errorf("of an hour ago: %d removed, %v", n, err)
	}
	if n, err := f.RemoveUnnamed(t.Context(), time.Now().Add(time.Hour)); n != 1 || err != nil {
		t.Errorf("%d removed, %v; want the one that no entry names", n, err)
	}
	for c, want := range map[record.Commitment]error{named: nil, orphan: store.ErrNotFound, erased: store.ErrErased} {
		if _, err := f.Blob(t.Context(), c); !errors.Is(err, want) {
			t.Errorf("%s: %v, want %v", c, err, want)
		}
	}
}
