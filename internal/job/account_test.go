// SPDX-License-Identifier: Apache-2.0

package job

import (
	"testing"

	"witnessmark/plans"
	"witnessmark/record"
)

// An alternative is paid for at its own price, whether it was ordered by its
// own number, came with it, or was fitted by it; a superseded number is the
// part itself.
func TestAccountOfAlternatives(t *testing.T) {
	plan, err := plans.Named(plans.V8)
	if err != nil {
		t.Fatal(err)
	}
	for name, bodies := range map[string][]struct {
		kind string
		body any
	}{
		"ordered by its number": {{"part_ordered", PartOrdered{Part: "shell_pair", Number: "shell_pair_coated", Quantity: 8, On: "2026-03-02"}}, {"part_arrived", PartArrived{Part: "shell_pair", Quantity: 8}}},
		"came with it":          {{"part_arrived", PartArrived{Part: "shell_pair", Quantity: 8, Number: "SHELL PAIR COATED"}}},
		"recorded by it":        {{"part_arrived", PartArrived{Part: "shell_pair_coated", Quantity: 8}}},
		"fitted, never tracked": {{"part_fitted", PartFitted{Part: "shell_pair_coated", Title: "coated", Quantity: 8}}},
		"two of them old":       {{"part_arrived", PartArrived{Part: "shell_pair", Quantity: 2, Number: "shell_pair_old"}}, {"part_arrived", PartArrived{Part: "shell_pair", Quantity: 6, Number: "shell_pair_coated"}}},
	} {
		coated, plain := "488.00", "0" // by hand: 8 × 61.00
		if name == "two of them old" {
			coated, plain = "366.00", "2" // 6 × 61.00
		}
		entries := []record.Entry{}
		for _, x := range append([]struct {
			kind string
			body any
		}{{"job_opened", Opened{Number: "1"}}, {"scope_agreed", ScopeAgreed{Want: []string{"rod_bearings"}}}}, bodies...) {
			p, err := Propose("job/1", x.kind, x.body)
			if err != nil {
				t.Fatal(err)
			}
			entries = append(entries, record.Entry{Seq: int64(len(entries) + 1), Proposal: p})
		}
		a, ok, err := AccountOf(Fold(entries), Basis{Plan: plan})
		if err != nil || !ok {
			t.Fatal(name, ok, err)
		}
		got := map[string]string{}
		for _, p := range a.Parts {
			if p.ID == "shell_pair_coated" && p.Line != nil {
				got["coated"] = p.Line.String() + " " + p.InPlaceOf
			}
			if p.ID == "shell_pair" {
				got["plain"] = p.Actual.Trim(0).String()
			}
		}
		if got["coated"] != coated+" Rod bearing shells, pair" || got["plain"] != plain {
			t.Errorf("%s: %v, want coated %s, plain %s", name, got, coated, plain)
		}
		// None written is not none worked.
		for _, rows := range [][]AccountRow{ShowAccount(a).Hours, ShowAccount(a).Money} {
			for _, r := range rows {
				if open := r.Actual == "–" && r.Differ == "–" && !r.More; open == (r.Title == "Parts") {
					t.Errorf("%s: nobody wrote time down, and %s is %+v", name, r.Title, r)
				}
			}
		}
	}
}
