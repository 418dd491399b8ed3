// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"witnessmark/internal/browsertest"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// Two people read five parts blind, each on a tablet of their own. The one
// reads wider than the other, so that a strip that fitted proves nothing any
// more, and the page says that the study is why.
func TestStudyTurnsAFitOnThePage(t *testing.T) {
	w := newWorkshop(t)
	w.openJob("0700")
	high := w.millimetres("0.051")
	between := job.Reading{Of: job.OfClearance, Phase: job.AsFitted, Position: 1, Gauge: "SG-1",
		Strip: &job.StripRead{How: job.StripBetween, A: w.millimetres("0.038"), B: &high}}
	if _, _, err := w.shop.Append(context.Background(), w.member(job.Technician).ID, shop.Input{Subject: shop.Subject("0700"), Kind: "reading", Body: between}); err != nil {
		t.Fatal(err)
	}
	boss := w.tablet(browsertest.Tablet, job.Manager)
	boss.Goto(w.url + "/jobs/0700")
	boss.WaitText("td[data-position='1']", "fits")

	boss.Goto(w.url + "/tools/SG-1/study")
	boss.Type("#open input[name=parts]", "5")
	for _, role := range []string{job.Technician, job.Inspector} {
		boss.Click("#open input[name=person][value='" + w.member(role).ID + "']")
	}
	boss.Follow("#open button.go")
	study := strings.TrimPrefix(boss.URL(), w.url)
	for i, role := range []string{job.Technician, job.Inspector} {
		reader := w.tablet(browsertest.Phone, role)
		reader.Goto(w.url + study)
		for k := range 10 {
			part, err := strconv.Atoi(reader.Text("h1 .huge"))
			if err != nil {
				t.Fatal(err)
			}
			// By turns above and below, and the second person higher throughout.
			value := 0.036 + 0.003*float64(part) + 0.007*float64(k%2) + 0.013*float64(i)
			reader.Type("#typed", fmt.Sprintf("%.3f", value))
			reader.Follow("#keep")
		}
		if i == 0 {
			reader.WaitText("main", "You have read all of yours")
		}
		w.looksWell(reader, study, "phone")
	}
	boss.Goto(w.url + study)
	boss.WaitText("h1", "the result")
	boss.Follow("#use button")
	boss.WaitText("main", "2 persons")

	boss.Goto(w.url + "/jobs/0700")
	boss.WaitText("td[data-position='1']", "not proven")
	boss.Goto(w.url + "/jobs/0700/clearance/1")
	boss.WaitText("main", "Without the study it would be ‘fits’; with it, it is ‘not proven’.")
	w.looksWell(boss, "/jobs/0700/clearance/1", "tablet")
}

func (w *workshop) millimetres(text string) units.Read {
	w.Helper()
	r, err := units.Parse(units.KindLength, text, units.UnitMillimetre)
	if err != nil {
		w.Fatal(err)
	}
	return r
}
