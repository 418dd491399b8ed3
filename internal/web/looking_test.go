// SPDX-License-Identifier: Apache-2.0

package web_test

import (
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"reflect"
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"

	"witnessmark/internal/job"
	"witnessmark/internal/store"
)

// Pages share what is in memory of a job, so that none may change it. After a
// walk over every page that links lead to, each job is still what a program
// that begins finds on the disk.
func TestPagesOnlyLook(t *testing.T) {
	w := newWorkshop(t)
	if seen := w.walk(400); seen < 150 {
		t.Errorf("the walk came to %d pages: too few to say anything", seen)
	}
	job.Forget()
	fresh := w.openShop(store.Options{})
	for _, id := range []string{w.cast.HalfWay, w.cast.HandedOver, w.cast.Opened, w.cast.Agreed, w.cast.Estimate} {
		got, err := w.shop.Job(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		want, err := fresh.Job(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		for what, x := range map[string][2]any{
			"state": {got.State, want.State}, "assessment": {got.Assessment, want.Assessment}, "view": {got.View(), want.View()},
			"ground": {got.Basis, want.Basis}, "entries": {got.Entries, want.Entries}, "voice": {got.Voice, want.Voice},
		} {
			if !reflect.DeepEqual(x[0], x[1]) {
				t.Errorf("a page changed the %s of job %s", what, id)
			}
		}
	}
}

// walk follows links as a manager, films and files to keep left out, and counts
// the pages.
func (w *workshop) walk(most int) (seen int) {
	w.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		w.Fatal(err)
	}
	client := http.Client{Jar: jar}
	m := w.member(job.Manager)
	res, err := client.PostForm(w.url+"/login", url.Values{"person": {m.ID}, "pin": {m.PIN}})
	if err != nil {
		w.Fatal(err)
	}
	res.Body.Close()
	todo, known := []string{"/"}, map[string]bool{"/": true}
	for len(todo) > 0 && seen < most {
		path := todo[0]
		todo = todo[1:]
		res, err := client.Get(w.url + path)
		if err != nil {
			w.Fatal(err)
		}
		if res.StatusCode >= 500 {
			w.Errorf("%s: %s", path, res.Status)
		}
		page, err := goquery.NewDocumentFromReader(res.Body)
		res.Body.Close()
		if err != nil {
			w.Fatal(err)
		}
		seen++
		page.Find("a[href]").Each(func(_ int, a *goquery.Selection) {
			to, _, _ := strings.Cut(a.AttrOr("href", ""), "#")
			if !strings.HasPrefix(to, "/") || known[to] || strings.Contains(to, "film") || strings.Contains(to, ".") || strings.Contains(to, "/photo") {
				return
			}
			known[to] = true
			todo = append(todo, to)
		})
	}
	return seen
}
