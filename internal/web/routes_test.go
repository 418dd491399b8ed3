// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"witnessmark/internal/job"
)

// Every route answers whom it is for and nobody else, and no answer is the
// program's own failure.
func TestGuardedRoutes(t *testing.T) {
	k := newKit(t)
	fill := strings.NewReplacer("{$}", "", "{job}", k.job, "{position}", "1", "{phase}", job.AsFitted, "{seq}", "2", "{hash}", k.other,
		"{tool}", "TW-1", "{person}", "p-nobody", "{stamp}", stamp, "{file}", "page.css", "{token}", "none", "{batch}", "none", "{study}", "none", "{plan}", "none")
	for _, role := range append([]string{""}, job.Roles...) {
		t.Run("as "+role, func(t *testing.T) {
			b := k.as(role)
			b.kit = &kit{T: t, shop: k.shop, url: k.url, job: k.job, other: k.other}
			for _, rt := range routes {
				if rt.path == "/logout" || strings.HasSuffix(rt.path, "/events") {
					continue // ends the log-in; a stream that does not end
				}
				a := b.request(rt.method, fill.Replace(rt.path))
				b.guarded(rt, role, a)
			}
		})
	}
}

func (b *tablet) request(method, path string) answer {
	b.Helper()
	if method == http.MethodPost {
		return b.send(path, url.Values{})
	}
	return b.get(path)
}

// guarded holds one answer against the role.
func (b *tablet) guarded(rt route, role string, a answer) {
	b.Helper()
	what := rt.method + " " + rt.path
	if a.status >= 500 {
		b.Errorf("%s: %d", what, a.status)
	}
	toLogin := a.status == http.StatusSeeOther && strings.HasPrefix(a.to, "/login")
	refused := a.status == http.StatusForbidden
	switch {
	case rt.role == nil:
		if refused || a.status == http.StatusUnauthorized && rt.path != "/login" && rt.path != "/setup" {
			b.Errorf("%s is for anybody: %d", what, a.status)
		}
	case role == "" && rt.method == http.MethodGet:
		if !toLogin {
			b.Errorf("%s without log-in: %d to %q", what, a.status, a.to)
		}
	case role == "":
		if a.status != http.StatusUnauthorized {
			b.Errorf("%s without log-in: %d", what, a.status)
		}
	case !rt.role.admits(role):
		if !refused {
			b.Errorf("%s is not for a %s: %d", what, role, a.status)
		}
	case refused || a.status == http.StatusUnauthorized:
		b.Errorf("%s is for a %s: %d", what, role, a.status)
	}
}

// Reading pages name their language, have one heading of the first rank, and
// hold no script or style of their own.
func TestEveryPageIsPlain(t *testing.T) {
	b := newKit(t).as(job.Manager)
	for _, path := range []string{
		"/", "/jobs/new", "/jobs/0500", "/jobs/0500/arrival", "/jobs/0500/strip", "/jobs/0500/debris", "/jobs/0500/assemble", "/jobs/0500/play", "/jobs/0500/bolts",
		"/jobs/0500/settings", "/jobs/0500/close", "/jobs/0500/run", "/jobs/0500/handover", "/jobs/0500/sheet", "/jobs/0500/shells/1",
		"/jobs/0500/wear/1", "/jobs/0500/film", "/jobs/0500/film/2", "/jobs/0500/measure/1", "/jobs/0500/measure/1?of=upper_wall", "/jobs/0500/clearance/1", "/jobs/0500/agree", "/jobs/0500/parts", "/jobs/0500/account", "/jobs/0500/special", "/jobs/0500/dates", "/jobs/0500/labels", "/jobs/0500/refit", "/calendar", "/suppliers", "/scan", "/sheets", "/sheets/" + b.other, "/tools", "/tools/new", "/tools/TW-2", "/people", "/settings", "/help",
	} {
		a := b.get(path)
		if a.status != http.StatusOK {
			t.Errorf("%s: %d", path, a.status)
			continue
		}
		if n := a.Find("h1").Length(); n != 1 {
			t.Errorf("%s has %d headings of the first rank", path, n)
		}
		if n := a.Find("script:not([src]), style, [style], [onclick]").Length(); n > 0 {
			t.Errorf("%s has %d scripts or styles within", path, n)
		}
		ids := map[string]bool{}
		for _, n := range a.Find("main [id]").Nodes {
			for _, at := range n.Attr {
				if at.Key == "id" && ids[at.Val] {
					t.Errorf("%s: the id %q stands twice", path, at.Val)
				} else if at.Key == "id" {
					ids[at.Val] = true
				}
			}
		}
		for _, n := range a.Find("main input:not([type=hidden]), main select, main textarea").Nodes {
			s := a.FindNodes(n)
			if s.Closest("label").Length() == 0 && s.AttrOr("aria-label", "") == "" {
				t.Errorf("%s: the field %s has no label", path, s.AttrOr("name", "?"))
			}
		}
		keys := map[string]bool{}
		for _, n := range a.Find(`main form input[name="id"]`).Nodes {
			key := a.FindNodes(n).AttrOr("value", "")
			if key == "" || keys[key] {
				t.Errorf("%s: two forms share the key %q", path, key)
			}
			keys[key] = true
		}
	}
}
