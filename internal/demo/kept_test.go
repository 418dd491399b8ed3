// SPDX-License-Identifier: Apache-2.0

package demo

import (
	"bytes"
	"context"
	"flag"
	"os"
	"testing"

	"witnessmark/engine"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/record"
)

var keep = flag.Bool("keep", false, "write the finished job to testdata again, as this version does")

// kept is the finished job as the first version wrote it. It must verify, fold
// and be decided alike for ever: it is written again only while no version has
// been released, with
//
//	go test ./internal/demo -run TestKeptJob -keep
const kept = "testdata/format-1"

func keptBundle(t *testing.T) (record.Bundle, record.Verification) {
	t.Helper()
	data, err := os.ReadFile(kept + ".zip")
	if err != nil {
		t.Fatal(err)
	}
	key, err := os.ReadFile(kept + ".pub")
	if err != nil {
		t.Fatal(err)
	}
	b, v := record.VerifyBundle(data, string(bytes.TrimSpace(key)))
	if !v.OK {
		t.Fatalf("%v: %v", v, v.Problems)
	}
	return b, v
}

func TestKeptJob(t *testing.T) {
	if *keep {
		writeKept(t)
	}
	b, v := keptBundle(t)
	if len(v.Seals) != 2 {
		t.Fatal(v)
	}
	st := job.Fold(b.Entries)
	if len(st.Unknown) > 0 {
		t.Fatalf("%d entries are of a kind that is not known any more, the first: %s", len(st.Unknown), st.Unknown[0].Line())
	}
	sheet, err := engine.Load("sheet.yaml", b.Sheets[record.ContentHash(st.Sheet.Sheet)])
	if err != nil {
		t.Fatal(err)
	}
	snap, err := job.DecodeSnapshot(b.Sheets[record.ContentHash(st.Handover.Body.Snapshot)])
	if err != nil {
		t.Fatal(err)
	}
	// The bundle holds neither people nor tools; the engine's own verdicts need
	// none but the strip gauge.
	tools, err := told.shop.Tools(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	now := job.Assess(st, job.Basis{Sheet: sheet, Tools: tools})
	// It was kept before an entry could say that the wheels were loaded: of what
	// the sheet has tightened on them, this alone stands, and can be conceded.
	var wheels []string
	for _, o := range now.Obstacles {
		if o.Code == job.WheelsFree {
			wheels = append(wheels, o.Key)
		}
	}
	if want := "wheels_not_loaded/subframe_bolt"; len(st.Wheels) == 0 && (len(wheels) != 1 || wheels[0] != want) || len(st.Wheels) > 0 && len(wheels) > 0 {
		t.Errorf("of the wheels stands %q, want %q", wheels, want)
	}
	for _, p := range now.Positions {
		old, _ := snap.Assessment.Position(p.Position)
		if p.Fitted.Decision.Verdict != old.Fitted.Decision.Verdict || p.Found.Decision.Verdict != old.Found.Decision.Verdict {
			t.Errorf("position %d: %+v now, %+v at handover", p.Position, p.Fitted.Decision, old.Fitted.Decision)
		}
	}
}

func writeKept(t *testing.T) {
	t.Helper()
	var b bytes.Buffer
	if err := told.shop.Bundle(context.Background(), told.cast.HandedOver, nil, shop.Withhold{}, &b); err != nil {
		t.Fatal(err)
	}
	key, err := told.shop.VerifierKey()
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{kept + ".zip": b.Bytes(), kept + ".pub": []byte(key + "\n")} {
		if err := os.WriteFile(name, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
