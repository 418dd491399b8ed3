// SPDX-License-Identifier: Apache-2.0

package faults

import (
	"bytes"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/textproto"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/PuerkitoBio/goquery"

	"witnessmark/internal/demo"
	"witnessmark/internal/job"
	"witnessmark/record"
)

// tablet is a browser without script, at an address of its own.
type tablet struct {
	t      testing.TB
	url    string
	client *http.Client
	accept string
	origin string
}

// tabletAt is a tablet with the given address of this machine.
func tabletAt(t testing.TB, url, address string) *tablet {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	dialer := &net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(address)}, Timeout: 10 * time.Second}
	tr := &http.Transport{DialContext: dialer.DialContext, MaxIdleConnsPerHost: 4}
	t.Cleanup(tr.CloseIdleConnections)
	return &tablet{t: t, url: url, client: &http.Client{Jar: jar, Transport: tr, Timeout: time.Minute,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

// member is the invented workshop's person of a role.
func member(t testing.TB, role string) demo.Member {
	t.Helper()
	for _, m := range demo.TheCast().People {
		if m.Role == role {
			return m
		}
	}
	t.Fatalf("nobody is %s", role)
	return demo.Member{}
}

// as is a tablet at which somebody of a role has given their PIN.
func (s *server) as(role string) *tablet {
	s.t.Helper()
	b := tabletAt(s.t, s.url, "127.0.0.1")
	b.logIn(role)
	return b
}

func (b *tablet) logIn(role string) {
	b.t.Helper()
	m := member(b.t, role)
	if a := b.post("/login", url.Values{"person": {m.ID}, "pin": {m.PIN}}); a.status != http.StatusSeeOther {
		b.t.Fatalf("log in as %s: %d %s", role, a.status, a.text())
	}
}

// answer is what came back.
type answer struct {
	t        testing.TB
	status   int
	location string
	header   http.Header
	body     string
}

// do sends a request and reads the answer, whole.
func (b *tablet) do(r *http.Request) (answer, error) {
	if b.accept != "" {
		r.Header.Set("Accept", b.accept)
	}
	if b.origin != "" {
		r.Header.Set("Origin", b.origin)
	}
	res, err := b.client.Do(r)
	if err != nil {
		return answer{}, err
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		return answer{}, err
	}
	noStack(b.t, string(body))
	return answer{b.t, res.StatusCode, res.Header.Get("Location"), res.Header, string(body)}, nil
}

func (b *tablet) must(r *http.Request, err error) answer {
	b.t.Helper()
	if err != nil {
		b.t.Fatal(err)
	}
	a, err := b.do(r)
	if err != nil {
		b.t.Fatal(err)
	}
	return a
}

func (b *tablet) get(path string) answer {
	b.t.Helper()
	return b.must(http.NewRequestWithContext(b.t.Context(), http.MethodGet, b.url+path, nil))
}

func (b *tablet) post(path string, v url.Values) answer {
	b.t.Helper()
	r, err := b.form(path, v)
	return b.must(r, err)
}

func (b *tablet) form(path string, v url.Values) (*http.Request, error) {
	r, err := http.NewRequestWithContext(b.t.Context(), http.MethodPost, b.url+path, strings.NewReader(v.Encode()))
	if err == nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	return r, err
}

// file is one file of a form.
type file struct {
	name, kind string
	data       []byte
}

// upload posts a form with files as a browser does.
func (b *tablet) upload(path string, v url.Values, files ...file) answer {
	b.t.Helper()
	body, kind := multipartForm(b.t, v, files...)
	r, err := http.NewRequestWithContext(b.t.Context(), http.MethodPost, b.url+path, bytes.NewReader(body))
	if err != nil {
		b.t.Fatal(err)
	}
	r.Header.Set("Content-Type", kind)
	return b.must(r, nil)
}

func multipartForm(t testing.TB, v url.Values, files ...file) (body []byte, kind string) {
	t.Helper()
	var buf bytes.Buffer
	w := multipart.NewWriter(&buf)
	for name, values := range v {
		for _, value := range values {
			if err := w.WriteField(name, value); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, f := range files {
		h := textproto.MIMEHeader{"Content-Disposition": {fmt.Sprintf(`form-data; name="photo"; filename=%q`, f.name)}, "Content-Type": {f.kind}}
		part, err := w.CreatePart(h)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := part.Write(f.data); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes(), w.FormDataContentType()
}

// newID is an id as a tablet makes it.
func newID(t testing.TB) string {
	t.Helper()
	id, err := record.NewID(time.Now(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// reading is the form of a strip reading.
func reading(id string, position int) url.Values {
	return url.Values{"id": {id}, "position": {fmt.Sprint(position)}, "phase": {job.AsFitted}, "gauge": {"SG-1"}, "bar": {"0.051"}}
}

// kept fails the test unless an entry was kept.
func (a answer) kept() {
	a.t.Helper()
	if a.status != http.StatusSeeOther && a.status != http.StatusOK || strings.HasPrefix(a.location, "/login") {
		a.t.Errorf("not kept: %d to %q: %s", a.status, a.location, a.text())
	}
}

// text is what a person reads of it.
func (a answer) text() string {
	if strings.HasPrefix(a.header.Get("Content-Type"), "application/json") {
		var said struct{ Title, Detail, Next string }
		if err := json.Unmarshal([]byte(a.body), &said); err != nil {
			a.t.Errorf("%v: %s", err, a.body)
		}
		return strings.Join([]string{said.Title, said.Detail, said.Next}, " ")
	}
	doc, err := goquery.NewDocumentFromReader(strings.NewReader(a.body))
	if err != nil {
		a.t.Fatal(err)
	}
	return strings.Join(strings.Fields(doc.Find("main").Text()), " ")
}

// field is the value of the first field of that name on the page.
func (a answer) field(name string) string {
	a.t.Helper()
	doc, err := goquery.NewDocumentFromReader(strings.NewReader(a.body))
	if err != nil {
		a.t.Fatal(err)
	}
	return doc.Find(`main [name="`+name+`"]`).First().AttrOr("value", "")
}

// parts are the four parts of a refusal, a few words of each.
type parts struct{ where, entered, against, next string }

// refused holds an answer to its status and its four parts.
func (a answer) refused(status int, p parts) {
	a.t.Helper()
	if a.status != status {
		a.t.Errorf("status %d, want %d", a.status, status)
	}
	p.in(a.t, a.text())
}

// in looks for the four parts in what was said.
func (p parts) in(t testing.TB, said string) {
	t.Helper()
	for name, want := range map[string]string{"where": p.where, "what was entered": p.entered, "what it was held against": p.against, "what to do": p.next} {
		if want == "" || !strings.Contains(said, want) {
			t.Errorf("it does not say %s (%q): %s", name, want, said)
		}
	}
}

// noStack holds a page or a message to not showing the program's inside.
func noStack(t testing.TB, said string) {
	t.Helper()
	for _, inside := range []string{"goroutine ", "runtime error", "panic:", ".go:", "runtime.gopanic"} {
		if strings.Contains(said, inside) {
			t.Errorf("it shows %q: %.2000s", inside, said)
		}
	}
}
