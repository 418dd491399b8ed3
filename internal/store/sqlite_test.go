// SPDX-License-Identifier: Apache-2.0

package store_test

import (
	"path/filepath"
	"testing"

	"witnessmark/internal/store"
	"witnessmark/internal/store/storetest"
)

func options() store.Options {
	return store.Options{Clock: storetest.Clock, NeedSaw: storetest.NeedSaw}
}

func newFolder(t testing.TB) *store.Folder {
	t.Helper()
	f, err := store.Init(t.Context(), filepath.Join(t.TempDir(), "data"), store.Config{WorkshopID: "invented-workshop"}, options())
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestSQLite(t *testing.T) {
	storetest.Run(t, func(t *testing.T) store.Store { return newFolder(t) })
}
