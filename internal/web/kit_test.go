// SPDX-License-Identifier: Apache-2.0

package web

import (
	"context"
	"io"
	"io/fs"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/PuerkitoBio/goquery"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
	"witnessmark/record"
	"witnessmark/sheets"
	"witnessmark/units"
)

// kit is a workshop of its own with a job on the invented V8, somebody of
// every role, and a few tools.
type kit struct {
	*testing.T
	shop  *shop.Shop
	url   string
	job   string
	other string // hash of the other sheet
}

const kitPIN = "1234"

// kitFiles is a folder with all of a kit in it, made once; every test has a
// copy.
var kitFiles = sync.OnceValues(func() (map[string][]byte, error) {
	dir, err := os.MkdirTemp("", "witnessmark-kit-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	if err := fillKit(context.Background(), dir); err != nil {
		return nil, err
	}
	files := map[string][]byte{}
	return files, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		files[name], err = os.ReadFile(path)
		return err
	})
})

func fillKit(ctx context.Context, dir string) error {
	f, err := store.Init(ctx, dir, store.Config{WorkshopID: "test", Name: "Test"}, store.Options{NeedSaw: shop.NeedSaw})
	if err != nil {
		return err
	}
	s, err := shop.New(shop.Options{Folder: f, Program: "test"})
	if err != nil {
		return err
	}
	for _, role := range job.Roles {
		if err := s.AddPerson(ctx, "p-manager", shop.NewPerson{ID: "p-" + role, Name: "Some " + role, Role: role, PIN: kitPIN}); err != nil {
			return err
		}
	}
	if err := kitTools(ctx, s); err != nil {
		return err
	}
	v8 := ""
	for _, name := range sheets.Names() {
		sheet, err := sheets.Named(name)
		if err != nil {
			return err
		}
		info, err := s.AddSheet(ctx, name+".yaml", sheet.Bytes())
		if err != nil {
			return err
		}
		if name == sheets.V8 {
			v8 = info.Hash
		}
	}
	if _, err := s.OpenJob(ctx, "p-manager", shop.NewJob{Number: "0500", Vehicle: "Invented", Sheet: v8, Invented: true}); err != nil {
		return err
	}
	return f.Close()
}

// kitTools puts one of each into the register; TW-2 is past its calibration.
func kitTools(ctx context.Context, s *shop.Shop) error {
	scale := make([]units.Read, 0, 3)
	for _, text := range []string{"0.025 mm", "0.038 mm", "0.051 mm"} {
		r, err := units.Parse(units.KindLength, text, units.UnitMillimetre)
		if err != nil {
			return err
		}
		scale = append(scale, r)
	}
	add := func(id, kind string, body any) error {
		_, _, err := s.Append(ctx, "p-manager", shop.Input{Subject: toolSubject(id), Kind: kind, Body: body})
		return err
	}
	for _, x := range []job.ToolAdded{
		{ID: "AG-1", Kind: "angle_gauge", Title: "Angle gauge"}, {ID: "DI-1", Kind: "dial_indicator", Title: "Dial indicator"},
		{ID: "TW-1", Kind: "torque_wrench", Title: "Torque wrench"}, {ID: "TW-2", Kind: "torque_wrench", Title: "Old torque wrench", NeedsCalibration: true},
		{ID: "SG-1", Kind: "strip_gauge", Title: "Strip gauge", Graduations: scale},
	} {
		if err := add(x.ID, "tool_added", x); err != nil {
			return err
		}
	}
	return add("TW-2", "tool_calibrated", job.ToolCalibrated{Date: "2020-01-01", Due: "2021-01-01"})
}

func newKit(t *testing.T) *kit {
	t.Helper()
	k := &kit{T: t, job: "0500"}
	files, err := kitFiles()
	k.must(err)
	dir := t.TempDir()
	for name, data := range files {
		path := filepath.Join(dir, name)
		k.must(os.MkdirAll(filepath.Dir(path), 0o700))
		k.must(os.WriteFile(path, data, 0o600))
	}
	f, err := store.Open(t.Context(), dir, store.Options{NeedSaw: shop.NeedSaw})
	k.must(err)
	t.Cleanup(func() { _ = f.Close() })
	k.shop, err = shop.New(shop.Options{Folder: f, Program: "test"})
	k.must(err)
	all, err := k.shop.Sheets(t.Context())
	k.must(err)
	for _, x := range all {
		if len(x.Sheet.Positions()) == 4 {
			k.other = x.Hash
		}
	}
	server := httptest.NewServer(New(k.shop, Options{}))
	t.Cleanup(server.Close)
	k.url = server.URL
	return k
}

func (k *kit) must(err error) {
	k.Helper()
	if err != nil {
		k.Fatal(err)
	}
}

// add keeps an entry past the pages.
func (k *kit) add(subject, kind string, body any) record.Entry {
	k.Helper()
	e, _, err := k.shop.Append(k.Context(), "p-manager", shop.Input{Subject: subject, Kind: kind, Body: body})
	k.must(err)
	return e
}

// state is the job as it stands.
func (k *kit) state() *shop.Loaded {
	k.Helper()
	l, err := k.shop.Job(k.Context(), k.job)
	k.must(err)
	return l
}

// last is the last entry of the job.
func (k *kit) last() record.Entry {
	k.Helper()
	l := k.state()
	return l.Entries[len(l.Entries)-1]
}

// tablet is a browser without script.
type tablet struct {
	*kit
	client *http.Client
}

// as is a tablet at which somebody of a role has logged in, nobody for "".
func (k *kit) as(role string) *tablet {
	k.Helper()
	jar, err := cookiejar.New(nil)
	k.must(err)
	b := &tablet{kit: k, client: &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
	if role != "" {
		if a := b.send("/login", url.Values{"person": {"p-" + role}, "pin": {kitPIN}}); a.status != http.StatusSeeOther {
			k.Fatalf("log in as %s: %d", role, a.status)
		}
	}
	return b
}

// answer is what came back.
type answer struct {
	*tablet
	status int
	to     string // where it leads
	body   string
	*goquery.Document
}

func (b *tablet) do(r *http.Request) answer {
	b.Helper()
	res, err := b.client.Do(r)
	b.must(err)
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	b.must(err)
	doc, err := goquery.NewDocumentFromReader(strings.NewReader(string(body)))
	b.must(err)
	return answer{tablet: b, status: res.StatusCode, to: res.Header.Get("Location"), body: string(body), Document: doc}
}

// get opens a page.
func (b *tablet) get(path string) answer {
	b.Helper()
	r, err := http.NewRequestWithContext(b.Context(), http.MethodGet, b.url+path, nil)
	b.must(err)
	return b.do(r)
}

// page opens a page of the job that must be there.
func (b *tablet) page(path string) answer {
	b.Helper()
	a := b.get("/jobs/" + b.job + path)
	if a.status != http.StatusOK {
		b.Fatalf("%s: %d %s", path, a.status, a.Find("main").Text())
	}
	return a
}

// send posts fields.
func (b *tablet) send(path string, v url.Values) answer {
	b.Helper()
	r, err := http.NewRequestWithContext(b.Context(), http.MethodPost, b.url+path, strings.NewReader(v.Encode()))
	b.must(err)
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return b.do(r)
}

// press presses a button as a browser does: with every field of its form, the
// ones given filled in. Fields are name and value in turn.
func (a answer) press(button string, fields ...string) answer {
	a.Helper()
	v, action := a.fill(button, fields...)
	return a.send(action, v)
}

// fill gathers what pressing a button would send.
func (a answer) fill(button string, fields ...string) (v url.Values, action string) {
	a.Helper()
	at := a.Find(button).First()
	if at.Length() == 0 {
		a.Fatalf("there is no %s on the page:\n%s", button, a.Find("main").Text())
	}
	form := at.Closest("form")
	v = url.Values{}
	form.Find("input, select, textarea").Each(func(_ int, s *goquery.Selection) {
		name, _ := s.Attr("name")
		kind, _ := s.Attr("type")
		_, on := s.Attr("checked")
		switch {
		case name == "" || (kind == "radio" || kind == "checkbox") && !on:
		case goquery.NodeName(s) == "select":
			chosen := s.Find("option[selected]").First()
			if chosen.Length() == 0 {
				chosen = s.Find("option").First()
			}
			v.Add(name, chosen.AttrOr("value", ""))
		case goquery.NodeName(s) == "textarea":
			v.Add(name, s.Text())
		default:
			v.Add(name, s.AttrOr("value", ""))
		}
	})
	for i := 0; i+1 < len(fields); i += 2 {
		if form.Find(`[name="`+fields[i]+`"]`).Length() == 0 {
			a.Fatalf("the form has no field %s", fields[i])
		}
		if i > 1 && fields[i] == fields[i-2] {
			v.Add(fields[i], fields[i+1])
			continue
		}
		v.Set(fields[i], fields[i+1])
	}
	if name := at.AttrOr("name", ""); name != "" {
		v.Set(name, at.AttrOr("value", ""))
	}
	return v, form.AttrOr("action", "")
}

// follow goes where an answer leads.
func (a answer) follow() answer {
	a.Helper()
	if a.status != http.StatusSeeOther {
		a.Fatalf("status %d leads nowhere: %s", a.status, a.Find("main").Text())
	}
	path, _, _ := strings.Cut(a.to, "#")
	next := a.get(path)
	if next.status != http.StatusOK {
		a.Fatalf("%s: %d", a.to, next.status)
	}
	return next
}

// says checks the text of what a selector finds.
func (a answer) says(selector, want string) {
	a.Helper()
	if got := strings.Join(strings.Fields(a.Find(selector).Text()), " "); !strings.Contains(got, want) {
		a.Errorf("%s says %q, want %q in it", selector, got, want)
	}
}

// count checks how often a selector finds something.
func (a answer) count(selector string, want int) {
	a.Helper()
	if got := a.Find(selector).Length(); got != want {
		a.Errorf("%s: %d on the page, want %d", selector, got, want)
	}
}
