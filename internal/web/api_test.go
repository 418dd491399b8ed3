// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"witnessmark/internal/api"
	"witnessmark/internal/api/client"
	"witnessmark/internal/job"
)

// The interface for programs answers beside the pages. A cookie of the pages
// is no token there, and a token no cookie here.
func TestTokensAndCookiesDoNotMix(t *testing.T) {
	k := newKit(t)
	b := k.as(job.Manager)
	c := client.New(k.url)
	if _, err := c.LogIn(t.Context(), "p-manager", kitPIN, "tablet"); err != nil {
		t.Fatal(err)
	}
	if _, err := c.Job(t.Context(), k.job); err != nil {
		t.Fatal(err)
	}
	at, err := url.Parse(k.url)
	k.must(err)
	cookie := b.client.Jar.Cookies(at)[0].Value
	for _, token := range []string{cookie, "wmd_" + cookie} {
		c := &client.Client{URL: k.url, Token: token, HTTP: http.DefaultClient}
		if _, err := c.Jobs(t.Context()); err == nil || !strings.Contains(err.Error(), "Log in") {
			t.Errorf("a cookie of the pages is taken for a token: %v", err)
		}
	}
	for _, value := range []string{c.Token, "device\x00" + c.Token, "device%00" + c.Token} {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, k.url+"/", nil)
		k.must(err)
		r.Header["Cookie"] = []string{cookieName + "=" + value}
		res, err := (&http.Transport{}).RoundTrip(r)
		if err != nil {
			continue // no client sends it
		}
		res.Body.Close()
		if to := res.Header.Get("Location"); !strings.HasPrefix(to, "/login") && res.StatusCode != http.StatusBadRequest {
			t.Errorf("a token is taken for a cookie: %d to %q", res.StatusCode, to)
		}
	}
	// The token still counts, and a cookie alone opens nothing there.
	if _, err := c.Jobs(t.Context()); err != nil {
		t.Error(err)
	}
	if a := b.get(api.Prefix + "/jobs"); a.status != http.StatusUnauthorized {
		t.Errorf("with a cookie alone: %d", a.status)
	}
}
