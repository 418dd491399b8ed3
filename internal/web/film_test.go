// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"witnessmark/internal/job"
	"witnessmark/units"
)

// measure keeps a clearance as fitted.
func (k *kit) measure(position int, text string) {
	k.Helper()
	r, err := units.Parse(units.KindLength, text, units.UnitMillimetre)
	k.must(err)
	u, err := units.Parse(units.KindLength, "0.002 mm", units.UnitMillimetre)
	k.must(err)
	k.add("job/"+k.job, "reading", job.Reading{Of: job.OfClearance, Phase: job.AsFitted, Position: position, Value: &r, U: &u, Reason: "read twice"})
}

// Nothing measured, one position, several: without script the page says what
// there is, offers fixed steps, and refuses a position that is none.
func TestFilmPage(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Technician)
	b.page("/film").says("main", "No clearance is measured yet")

	k.measure(1, "0.042 mm")
	k.measure(4, "0.072 mm")
	k.add("job/"+k.job, "part_measured", job.PartMeasured{Of: job.OfJournal, Phase: job.AsFound, Position: 4, Cells: []job.PartCell{
		{Plane: "front", Value: *k.mm("51.986")}, {Plane: "rear", Value: *k.mm("51.983")}}})
	st := k.shop.WholeFilm(t.Context(), k.state(), time.Minute)
	if !st.Whole() {
		t.Fatalf("%+v", st)
	}
	a := b.page("/film")
	a.says(".film .lead", "Position 4 keeps")
	a.says(".film .lead", "of the film that the other position keeps")
	a.says("main", "No oil changes a verdict: the clearance of position 4 is too wide")
	a.count(".films tbody tr", 8)
	a.count(".oils tbody tr", 2)
	a.count(".maps figure", 3)
	a.count(".steps a", job.FilmSteps)
	// What was measured of the form, and what it costs.
	a.says(".film-say", "The form that was measured, 3.0 µm of taper over the journal, costs")
	a.says(".film", "what the measured form costs stands beside it")
	// Ratios to the sheet's middle on its oil, micrometres to the nearest half.
	a.says("main", "Ratios are to the film at the sheet’s middle clearance, 0.045 mm, on its usual oil, 5W-40, hot")
	for _, um := range regexp.MustCompile(`([\d.]+) µm`).FindAllStringSubmatch(a.Find(".films td small, .oils td small").Text(), -1) {
		if !strings.HasSuffix(um[1], ".0") && !strings.HasSuffix(um[1], ".5") {
			t.Errorf("%s is not to the nearest half", um[0])
		}
	}
	// A table beside every drawing, the doubt and what it rests on with them.
	a.count(".film details table", 3)
	a.count(".maps figure details table", 3)
	a.says(".film", "good to a third or so")
	a.says(".film", "Rigid parts; one viscosity all through the film")
	// The position's own page leads to its film.
	href := b.page("/position/4/fitted").Find("a[href*='/film']").AttrOr("href", "")
	b.get(href).says(".film h1", "Position 4")
	a.count(".progress", 0)
	step := b.page("/film/4?step=4")
	step.says(".film figure text", "at 360°")
	b.page("/film/1").says(".film h1", "Position 1")
	b.page("/film/2").says(".film h1", "Position 4") // nothing measured there: the thinnest
	for _, path := range []string{"/film/9", "/film/x"} {
		if a := b.get("/jobs/0500" + path); a.status != http.StatusNotFound {
			t.Errorf("%s: %d", path, a.status)
		}
	}
	// A slip of a reading has no film, and says so.
	k.measure(4, "0 mm")
	k.measure(2, "4.2 mm")
	k.shop.WholeFilm(t.Context(), k.state(), time.Minute)
	if text := b.page("/film/2").Find(".film").Text(); !strings.Contains(text, "no film holds") || !strings.Contains(text, "check the unit") || strings.Contains(text, "NaN") {
		t.Errorf("4.2 mm: %s", text)
	}
}

// A computation is stopped and begun again by buttons.
func TestFilmIsStopped(t *testing.T) {
	k := newKit(t)
	k.measure(1, "0.042 mm")
	b := k.as(job.Technician)
	k.shop.Film(t.Context(), k.state(), 0)
	b.send("/jobs/0500/film/stop", nil)
	st := k.shop.WholeFilm(t.Context(), k.state(), time.Minute)
	if st.Running || !st.Stopped && !st.Whole() {
		t.Fatalf("%+v", st)
	}
	if st.Stopped {
		b.page("/film").says(".progress", "Stopped before it was complete")
		b.page("/film").press(".progress button").follow()
		if st = k.shop.WholeFilm(t.Context(), k.state(), time.Minute); !st.Whole() {
			t.Errorf("begun again: %+v", st)
		}
	}
}
