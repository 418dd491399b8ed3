// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"strings"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/units"
)

func (k *kit) mm(text string) *units.Read {
	k.Helper()
	r, err := units.Parse(units.KindLength, text, units.UnitMillimetre)
	k.must(err)
	return &r
}

// measured measures the housing bore and the journal of a position.
func (k *kit) measured(position int, bore, journal string) {
	k.Helper()
	for of, value := range map[string]string{job.OfHousingBore: bore, job.OfJournal: journal} {
		k.add("job/0500", "part_measured", job.PartMeasured{Of: of, Phase: job.AsFound, Position: position, CapTorqued: of == job.OfHousingBore,
			Cells: []job.PartCell{{Value: *k.mm(value)}, {Value: *k.mm(value)}}})
	}
}

// The choice is looked at on the strip before anything is adopted, is adopted
// with one tap, and is proposed where the shells go in.
func TestChooseShells(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	page := b.page("/pairing")
	page.says(".problem", "No position has both its housing bore and its journal measured")
	page.count("#missing li", 16)
	page.count("#adopt", 0)

	k.measured(1, "56.008", "51.992")
	k.measured(2, "56.006", "51.993")
	page = b.page("/pairing")
	page.says(".headline", "Too few shells")
	page.says(".problem", "2 upper shells")
	k.onShelf("B-7", "1.988", 2)

	page = b.page("/pairing")
	page.says(".headline", "The other 2 positions within")
	page.says("main", "Proven: no other choice of these shells is better.")
	page.says("tr[data-position='1']", "U")
	page.says("tr[data-position='3']", "not measured")
	page.says("main", "Big-end clearance with these shells, before anything is fitted")
	page.says(".strip.wide svg", "0.0501")
	if k.state().State.Pairing != nil {
		t.Fatal("looking adopted it")
	}
	// A shell goes meanwhile: the new choice is shown first.
	k.add("stock/B-7", "shell_measured", job.ShellMeasured{ID: "U3", Half: job.Upper, Wall: *k.mm("1.9875")})
	k.add("stock/B-7", "shell_discarded", job.ShellDiscarded{ID: "U1", Reason: "dropped"})
	stale := page.press("#adopt button")
	stale.says(".problem", "The stock or a size changed since this choice was shown")
	adopted := stale.press("#adopt button").follow()
	adopted.says(".is-fits", "This choice is adopted")
	adopted.count("#adopt", 0)
	if p := k.state().State.Pairing; p == nil || len(p.Body.Fits) != 2 || !p.Body.ProvenBest {
		t.Fatalf("on record: %+v", p)
	}
	b.get("/stock/B-7").says("[data-shell=U2]", "kept for job 0500")
	fit, _ := k.state().State.Pairing.Body.For(1)
	shells := b.page("/shells/1")
	if got := shells.Find("input[value='" + fit.Upper.ID + "']").Length(); got == 0 {
		t.Errorf("the page of the shells does not propose %s: %s", fit.Upper.ID, shells.Find("main").Text())
	}

	// One position left out, by its box; and undone by a correction.
	aside := b.page("/pairing?aside=2")
	aside.says("tr[data-position='2']", "left out")
	aside.count("tr[data-position='2'] input[name=aside][checked]", 1)
	undo := b.get(page.undo(t, adopted)).press("button[value=withdraw]", "reason", "other shells are coming")
	undo.follow()
	if k.state().State.Pairing != nil {
		t.Error("withdrawn and still there")
	}
}

// undo is where the undo of an adopted choice leads.
func (a answer) undo(t *testing.T, adopted answer) string {
	t.Helper()
	to := adopted.Find("a.way").AttrOr("href", "")
	if !strings.Contains(to, "/correct") {
		t.Fatalf("undo leads to %q", to)
	}
	return to
}

// A position that no shells here bring within the limits is named with what
// would help, and does not spoil the others; and one more shell is worth what
// it gains.
func TestPositionThatCannotBeMet(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	k.measured(1, "56.008", "51.992")
	k.measured(2, "56.040", "51.992") // stretched; the journal is sound
	k.onShelf("B-7", "1.988", 2)
	page := b.page("/pairing")
	page.says(".remedy[data-position='2'] h2", "can’t be met as things are")
	page.says(".remedy[data-position='2']", "no reason for undersize shells. Measure the housing bore.")
	page.says(".remedy[data-position='2']", "No two shells here bring it within. A grade whose two walls add up to")
	page.says("tr[data-position='2']", "out of reach")
	page.says("tr[data-position='1'] .word", "fits")

	// A worn journal is ground, and the page says to what size.
	k.measured(3, "56.008", "51.900")
	k.onShelf("B-9", "1.988", 2)
	b.page("/pairing").says(".remedy[data-position='3']", "The journal is outside its own limits: grind it to 51.7")

	k.onShelf("B-8", "1.989", 1)
	k.add("stock/B-8", "grade_counted", job.GradeCounted{Grade: "g9", Half: job.Lower, Wall: *k.mm("1.9895"), Count: 0})
	more := page.get("/jobs/0500/pairing?more=1")
	if more.status != http.StatusOK {
		t.Fatalf("status %d", more.status)
	}
	more.says("#more", "One more")
	more.says("#more", "less")
	page.says("#more", "Work it out")
}
