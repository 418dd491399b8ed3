// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"context"
	"reflect"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/record"
)

// Every log of the scenario, and the one kept by the first version, is folded
// as it grew to what it is when folded whole, after every entry; and no state
// that was given out on the way was changed by what came after.
func TestEveryLogIsFoldedAsItGrew(t *testing.T) {
	kinds := map[string]bool{}
	for name, entries := range everyLog(t) {
		var f job.Folding
		given := make([]job.State, len(entries)+1)
		for n := range given {
			if given[n] = f.Fold(entries[:n]); !reflect.DeepEqual(given[n], job.Fold(entries[:n])) {
				t.Fatalf("%s after %d entries: the last one, %s, is not folded as from the beginning", name, n, entries[n-1].Kind)
			}
		}
		for n, s := range given {
			if !reflect.DeepEqual(s, job.Fold(entries[:n])) {
				t.Fatalf("%s: the state of %d entries was changed by a later one", name, n)
			}
		}
		for _, e := range entries {
			kinds[e.Kind] = true
		}
	}
	if len(kinds) < 50 {
		t.Errorf("%d kinds of entries in all logs: too few to say anything", len(kinds))
	}
}

func everyLog(t *testing.T) map[string][]record.Entry {
	t.Helper()
	b, _ := keptBundle(t)
	logs := map[string][]record.Entry{"the kept job": b.Entries}
	subjects, err := told.shop.Store().Subjects(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range subjects {
		if logs[s.Subject], err = told.shop.Store().Entries(context.Background(), s.Subject, 0); err != nil {
			t.Fatal(err)
		}
	}
	return logs
}
