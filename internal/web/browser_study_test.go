// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"context"
	"fmt"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"

	"witnessmark/internal/browsertest"
	"witnessmark/internal/demo"
	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/units"
)

// Two people read three parts blind, each on a device of their own. The one
// reads wider than the other, so that a strip that fitted proves nothing any
// more, and the page says that the study is why.
func TestStudyTurnsAFitOnThePage(t *testing.T) {
	w := newWorkshop(t)
	opened := "/jobs/" + w.cast.Opened
	w.stripBetween(w.cast.Opened, "0.038", "0.051")
	boss := w.tablet(browsertest.Tablet, job.Manager)
	boss.Goto(w.url + opened)
	boss.WaitText("td[data-position='1']", "fits")

	boss.Goto(w.url + "/tools/SG-1/study")
	boss.Fill("#open input[name=parts]", "3")
	for _, role := range []string{job.Technician, job.Inspector} {
		boss.Click("#open input[name=person][value='" + w.member(role).ID + "']")
	}
	boss.Follow("#open button.go")
	study := strings.TrimPrefix(boss.URL(), w.url)

	// All but the last reading of each are typed without script; the last on a
	// phone.
	read := func(person, k, part int) string {
		return fmt.Sprintf("%.3f", 0.036+0.003*float64(part)+0.007*float64(k%2)+0.013*float64(person))
	}
	for i, role := range []string{job.Technician, job.Inspector} {
		r := w.reader(w.member(role))
		for k := range 5 {
			part := r.part(study)
			r.keep(study, read(i, k, part))
		}
	}
	phone := browsertest.Open(t, browsertest.Phone)
	for i, role := range []string{job.Technician, job.Inspector} {
		w.logIn(phone, w.member(role), study)
		part, err := strconv.Atoi(phone.Text("h1 .huge"))
		if err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			w.looksWell(phone, study, "phone")
			w.shot(phone, "study-1-reading")
		}
		phone.Type("#typed", read(i, 5, part))
		phone.Follow("#keep")
		if i == 0 {
			phone.WaitText("main", "You have read all of yours")
			phone.Goto(w.url + "/people")
		}
	}
	phone.WaitText("h1", "the result")

	boss.Goto(w.url + study)
	boss.Follow("#use button")
	boss.WaitText("main", "2 persons")
	boss.Goto(w.url + opened)
	boss.WaitText("td[data-position='1']", "not proven")
	boss.Goto(w.url + opened + "/clearance/1")
	boss.WaitText("main", "Without the study it would be ‘fits’; with it, it is ‘not proven’.")
	w.looksWell(boss, opened+"/clearance/1", "tablet")
	w.shot(boss, "study-2-reason")
}

// stripBetween keeps a strip between two bars, read with SG-1 on position 1.
func (w *workshop) stripBetween(number, a, b string) {
	w.Helper()
	high := w.millimetres(b)
	r := job.Reading{Of: job.OfClearance, Phase: job.AsFitted, Position: 1, Gauge: "SG-1", Strip: &job.StripRead{How: job.StripBetween, A: w.millimetres(a), B: &high}}
	if _, _, err := w.shop.Append(context.Background(), w.member(job.Technician).ID, shop.Input{Subject: shop.Subject(number), Kind: "reading", Body: r}); err != nil {
		w.Fatal(err)
	}
}

func (w *workshop) millimetres(text string) units.Read {
	w.Helper()
	r, err := units.Parse(units.KindLength, text, units.UnitMillimetre)
	if err != nil {
		w.Fatal(err)
	}
	return r
}

// reader reads parts on a device without script.
type reader struct {
	*workshop
	http.Client
}

func (w *workshop) reader(m demo.Member) *reader {
	w.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		w.Fatal(err)
	}
	r := &reader{workshop: w, Client: http.Client{Jar: jar}}
	r.send("/login", url.Values{"person": {m.ID}, "pin": {m.PIN}})
	return r
}

// part is the part that the page asks for.
func (r *reader) part(study string) int {
	r.Helper()
	n, err := strconv.Atoi(strings.TrimSpace(r.open(study).Find("h1 .huge").Text()))
	if err != nil {
		r.Fatal(err)
	}
	return n
}

// keep types a reading into the form of the page and sends it.
func (r *reader) keep(study, value string) {
	r.Helper()
	form := r.open(study).Find("#reading-blind")
	v := url.Values{}
	form.Find("input[name]").Each(func(_ int, in *goquery.Selection) { v.Set(in.AttrOr("name", ""), in.AttrOr("value", "")) })
	v.Set("value", value)
	if page := r.send(form.AttrOr("action", ""), v); !strings.Contains(page.Find("main").Text(), "Kept.") {
		r.Fatalf("%s is not kept: %s", value, page.Find("main").Text())
	}
}

func (r *reader) open(path string) *goquery.Document {
	r.Helper()
	return r.document(r.Get(r.url + path))
}

func (r *reader) send(path string, v url.Values) *goquery.Document {
	r.Helper()
	return r.document(r.PostForm(r.url+path, v))
}

func (r *reader) document(res *http.Response, err error) *goquery.Document {
	r.Helper()
	if err != nil {
		r.Fatal(err)
	}
	defer res.Body.Close()
	d, err := goquery.NewDocumentFromReader(res.Body)
	if err != nil {
		r.Fatal(err)
	}
	return d
}
