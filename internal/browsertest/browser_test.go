// SPDX-License-Identifier: Apache-2.0

package browsertest

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestMain(m *testing.M) { Main(m) }

const form = `<!doctype html><html lang="en"><head><title>form</title><meta name="viewport" content="width=device-width">
<style>body{background:#fff;color:#000} @media(prefers-color-scheme:dark){body{background:#000;color:#fff}} @media print{#screen{display:none}}</style></head>
<body><main><h1>Reading</h1><p id="screen">on screen</p>
<form method="post" action="/kept"><label>Value <input name="value" id="value" value="0.0"></label>
<label>Kind <select name="kind" id="kind"><option>found</option><option>fitted</option></select></label><button>Keep</button></form>
<a id="file" href="/file" download>File</a> <p id="later"></p>
<script>setTimeout(()=>{document.getElementById("later").textContent="there"},50)</script></main></body></html>`

func server(t *testing.T) string {
	t.Helper()
	mux := http.NewServeMux()
	page := func(html string) http.HandlerFunc {
		return func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			fmt.Fprint(w, html)
		}
	}
	mux.HandleFunc("GET /{$}", page(form))
	mux.HandleFunc("GET /faulty", page(`<!doctype html><html lang="en"><title>f</title><main><h1>x</h1><img src="data:image/gif;base64,R0lGODlhAQABAAAAACw="></main><script>nothing.here()</script></html>`))
	mux.HandleFunc("GET /favicon.ico", func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) })
	mux.HandleFunc("GET /cookie", func(w http.ResponseWriter, r *http.Request) {
		c, _ := r.Cookie("seen")
		http.SetCookie(w, &http.Cookie{Name: "seen", Value: "1"})
		page(fmt.Sprintf(`<!doctype html><p id="c">%t</p>`, c != nil))(w, r)
	})
	mux.HandleFunc("POST /kept", func(w http.ResponseWriter, r *http.Request) {
		page(fmt.Sprintf(`<!doctype html><p id="kept">kept %s %s</p>`, r.FormValue("value"), r.FormValue("kind")))(w, r)
	})
	mux.HandleFunc("GET /file", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Disposition", `attachment; filename="a.txt"`)
		fmt.Fprint(w, "saved")
	})
	s := httptest.NewServer(mux)
	t.Cleanup(s.Close)
	return s.URL
}

func TestFillChooseFollow(t *testing.T) {
	p := Open(t, Options{})
	p.Goto(server(t) + "/")
	p.Fill("#value", "0.042")
	p.Choose("#kind", "fitted")
	if got := p.Value("#value"); got != "0.042" {
		t.Errorf("the field holds %q", got)
	}
	p.WaitText("#later", "there")
	p.Follow("button")
	if got := p.Text("#kept"); got != "kept 0.042 fitted" {
		t.Errorf("the page says %q", got)
	}
	if !strings.HasSuffix(p.URL(), "/kept") || p.Exists("form") {
		t.Errorf("still on %s", p.URL())
	}
	if got := p.ConsoleErrors(); len(got) > 0 {
		t.Errorf("complaints: %q", got)
	}
}

func TestKeyboardAlone(t *testing.T) {
	p := Open(t, Options{NoScript: true})
	p.Goto(server(t) + "/")
	p.Press("Tab")
	if got := p.Focused(); got != "input#value[value]" {
		t.Errorf("the focus is on %s", got)
	}
	p.Press("0.051") // over what Tab has selected
	p.PressAndLoad("Enter")
	if got := p.Text("#kept"); got != "kept 0.051 found" {
		t.Errorf("the page says %q", got)
	}
}

func TestPagesAreApart(t *testing.T) {
	url := server(t)
	a, b := Open(t, Tablet), Open(t, Phone)
	for _, c := range []struct {
		p    *Page
		want string
	}{{a, "false"}, {a, "true"}, {b, "false"}} {
		c.p.Goto(url + "/cookie")
		if got := c.p.Text("#c"); got != c.want {
			t.Errorf("cookie seen: %s, want %s", got, c.want)
		}
	}
	if got := b.Eval("innerWidth"); got != "980" && got != "390" {
		t.Errorf("the phone is %s wide", got)
	}
}

func TestDarkPrintAndPicture(t *testing.T) {
	url := server(t)
	p := Open(t, Options{Width: 390, Height: 700, Mobile: true, Dark: true})
	p.Goto(url + "/")
	if got := p.Eval("getComputedStyle(document.body).backgroundColor"); got != `"rgb(0, 0, 0)"` {
		t.Errorf("dark is %s", got)
	}
	if p.Overflow() != 0 {
		t.Errorf("the page is %d px too wide", p.Overflow())
	}
	file := filepath.Join(t.TempDir(), "new", "a.png")
	p.Screenshot(file)
	if data, err := os.ReadFile(file); err != nil || !strings.HasPrefix(string(data), "\x89PNG") {
		t.Errorf("no picture: %v", err)
	}
	q := Open(t, Options{Print: true})
	q.Goto(url + "/")
	if got := q.Text("#screen"); got != "" && q.Eval(`getComputedStyle(document.getElementById("screen")).display`) != `"none"` {
		t.Errorf("printed: %s", got)
	}
}

func TestDownload(t *testing.T) {
	p := Open(t, Options{})
	p.Goto(server(t) + "/")
	data, err := os.ReadFile(p.Download("#file"))
	if err != nil || string(data) != "saved" {
		t.Errorf("downloaded %q, %v", data, err)
	}
}

func TestOffline(t *testing.T) {
	p := Open(t, Options{})
	p.Goto(server(t) + "/")
	const fetch = `fetch("/cookie").then(()=>"answered",()=>"cut off")`
	p.Eval(`void addEventListener("online",()=>{document.body.dataset.heard="online"})`)
	p.Offline(true)
	if got := p.Eval("navigator.onLine"); got != "false" {
		t.Errorf("the page thinks it is online: %s", got)
	}
	if got := p.Eval(fetch); got != `"cut off"` {
		t.Errorf("offline: %s", got)
	}
	p.Offline(false)
	if got := p.Eval(fetch); got != `"answered"` {
		t.Errorf("online again: %s", got)
	}
	p.Wait(`body[data-heard="online"]`)
}

func TestFaultsAreSeen(t *testing.T) {
	p := Open(t, Options{})
	p.Goto(server(t) + "/faulty")
	if got := strings.Join(p.ConsoleErrors(), "\n"); !strings.Contains(got, "nothing is not defined") {
		t.Errorf("the exception was not seen: %q", got)
	}
	if got := strings.Join(p.Axe(), "\n"); !strings.Contains(got, "image-alt") {
		t.Errorf("axe did not find the picture without words: %q", got)
	}
}

func TestAxeFindsNothing(t *testing.T) {
	p := Open(t, Options{})
	p.Goto(server(t) + "/")
	if got := p.Axe(); len(got) > 0 {
		t.Errorf("axe finds:\n%s", strings.Join(got, "\n"))
	}
}
