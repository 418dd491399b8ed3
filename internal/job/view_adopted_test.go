// SPDX-License-Identifier: Apache-2.0

package job

import (
	"strings"
	"testing"
	"time"

	"witnessmark/units"
)

// What was adopted is said with what is in by now.
func TestAdoptedBesideWhatIsIn(t *testing.T) {
	b := newBench(t)
	b.basis.Zone = time.UTC
	voice := Voice{Units: units.Metric}
	if v := ShowAdopted(Fold(b.entries), b.basis, voice); v != nil {
		t.Fatalf("nothing was adopted: %+v", v)
	}
	shell := func(id string) Shell { return Shell{ID: id, Batch: "B"} }
	b.add("pairing_adopted", PairingAdopted{TargetMM: 0.045, LargestDepartureUM: 1.4, ProvenBest: true, BoundUM: 1.4, Fits: []PairedShells{
		{Position: 1, Upper: shell("U1"), Lower: shell("L1"), ClearanceMM: 0.0451}, {Position: 2, Upper: shell("U2"), Lower: shell("L2"), ClearanceMM: 0.0436}, {Position: 3, Upper: shell("U3"), Lower: shell("L3"), ClearanceMM: 0.045}}})
	b.add("shell_fitted", ShellFitted{Position: 1, Upper: shell("U1"), Lower: shell("L1")})
	b.add("shell_fitted", ShellFitted{Position: 2, Upper: shell("U9"), Lower: shell("L2")})
	v := ShowAdopted(Fold(b.entries), b.basis, voice)
	if v == nil || len(v.Rows) != 3 || !strings.Contains(v.Words, "target of 0.045 mm 1.4 µm, proven to be the least") {
		t.Fatalf("%+v", v)
	}
	for i, want := range []string{"in", "others are in: U9, L2", "not in yet"} {
		if v.Rows[i].In.Word != want {
			t.Errorf("position %d: %q, want %q", i+1, v.Rows[i].In.Word, want)
		}
	}
	if v.Rows[1].Departure != "−1.4 µm" || v.Rows[1].Clearance != "0.0436 mm" {
		t.Errorf("%+v", v.Rows[1])
	}
}
