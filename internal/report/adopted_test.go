// SPDX-License-Identifier: Apache-2.0

package report

import (
	"strings"
	"testing"

	"witnessmark/internal/job"
)

// The choice of shells that stands is beside what was fitted, and a gauge
// beside what its study found; without a choice there is no such section.
func TestChosenShells(t *testing.T) {
	d := fixture(t)
	const heading, proven = "Shells that were chosen", "proven to be the least"
	if got := htmlOf(t, d); strings.Contains(got, heading) {
		t.Error("a section without a choice")
	}
	d.Adopted = &job.AdoptedView{Words: "Largest departure 1.4 µm, proven to be the least.", Rows: []job.AdoptedRow{
		{Name: "1 (A)", Upper: "U07", Lower: "L03", Clearance: "0.0451 mm", Departure: "+0.1 µm", In: job.WordView{Word: "in", State: "fits"}},
		{Name: "2 (B)", Upper: "U11", Lower: "L04", Clearance: "0.0436 mm", Departure: "−1.4 µm", In: job.WordView{Word: "others are in: U02, L11", State: "unproven"}},
	}}
	d.Instruments[0].Study = "Studied 2026-02-01 on 5 parts by 2 persons."
	got := htmlOf(t, d)
	for _, want := range []string{heading, proven, "U07", "0.0436 mm", "others are in: U02, L11", d.Instruments[0].Study} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
	paper := words(read(t, tool(t, "pdftotext", "poppler-utils"), pdfOf(t, d, Options{}), []string{"-layout"}, "-"))
	for _, want := range []string{heading, proven, "1 (A) U07 L03 0.0451 mm +0.1 µm", "2 (B) U11 L04 0.0436 mm −1.4 µm", "2026-02-01 on 5 parts by 2 persons."} {
		if !strings.Contains(paper, want) {
			t.Errorf("%q is not on the paper", want)
		}
	}
}
