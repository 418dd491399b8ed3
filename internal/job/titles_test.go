// SPDX-License-Identifier: Apache-2.0

package job

import (
	"testing"

	"witnessmark/sheets"
)

// No page and no paper shows an id where the sheet has a title, and a
// concession says what it let stand.
func TestTitles(t *testing.T) {
	sheet, err := sheets.Named(sheets.V8)
	if err != nil {
		t.Fatal(err)
	}
	at := []BoltAt{{Position: 5, Bolt: "a"}}
	for _, c := range []struct {
		body          Body
		with, without string
	}{
		{body: &WitnessSeen{Fastener: "rod_bolt", Bolts: at}, with: "Witness mark seen, Rod bolt: position 5 (A3) a.", without: "Witness mark seen, rod bolt: position 5 a."},
		{body: &Loosened{Fastener: "sump_bolt", Bolts: []BoltAt{{Bolt: AllBolts}}}, with: "Sump bolt loosened: all.", without: "Sump bolt loosened: all."},
		{body: &Conceded{Obstacle: "not_proven/position-5", Reason: "agreed"}, with: "Concession, not proven, position 5 (A3): agreed.", without: "Concession, not proven, position 5: agreed."},
		{body: &Conceded{Obstacle: "stage_missing/position-7/rod_bolt", Reason: "no."}, with: "Concession, stage missing, position 7 (A4), Rod bolt: no.", without: "Concession, stage missing, position 7, rod bolt: no."},
		{body: &Conceded{Obstacle: "setting_out/balance_backlash", Reason: "no"}, with: "Concession, setting out of its limits, Balance shaft gear backlash: no.", without: "Concession, setting out of its limits, balance backlash: no."},
	} {
		if got := say(c.body, Basis{Sheet: sheet}); got != c.with {
			t.Errorf("%q, want %q", got, c.with)
		}
		if got := say(c.body, Basis{}); got != c.without {
			t.Errorf("without a sheet %q, want %q", got, c.without)
		}
	}
}
