// SPDX-License-Identifier: Apache-2.0

package api_test

import (
	"io"
	"net/http"
	"slices"
	"strings"
	"testing"

	"witnessmark/internal/api"
	"witnessmark/internal/job"
)

func kinds() []string {
	var out []string
	for _, k := range job.Kinds() {
		out = append(out, k.Name)
	}
	return out
}

// Every operation answers whom it is for and nobody else: with every role,
// without a token, with one that was revoked, with one of another workshop and
// with what is none. No answer is the program's own failure.
func TestGuardedOperations(t *testing.T) {
	k := newKit(t)
	revoked := k.as(job.Manager)
	token := revoked.Token
	k.must(revoked.LogOut(t.Context()))
	foreign := newKit(t).as(job.Manager).Token
	callers := map[string]string{"nobody": "", "revoked": token, "foreign": foreign, "garbage": "wmd_" + strings.Repeat("A", 43)}
	for _, role := range job.Roles {
		callers[role] = k.as(role).Token
	}
	fill := strings.NewReplacer("{job}", k.job, "{photo}", "blob:"+strings.Repeat("0", 64), "{hash}", k.sheet, "{tool}", "TW-1", "{person}", "p-nobody", "{token}", "none")
	for who, token := range callers {
		for _, row := range api.Rows() {
			path := row.Path
			if strings.HasSuffix(path, ".pdf") || strings.HasSuffix(path, ".zip") {
				path = strings.NewReplacer("{job}", "9999", "{hash}", "none").Replace(path) // paper takes its time
			}
			status, body := ask(t, k.server.URL, row.Method, fill.Replace(path), token, "{}")
			admitted := row.Roles == nil || slices.Contains(row.Roles, who)
			what := row.Method + " " + row.Path + " as " + who
			switch known := slices.Contains(job.Roles, who); {
			case status >= http.StatusInternalServerError:
				t.Errorf("%s: %d %s", what, status, body)
			case admitted && (status == http.StatusForbidden || status == http.StatusUnauthorized && row.ID != "set-up"):
				t.Errorf("%s is refused: %d %s", what, status, body)
			case !admitted && known && status != http.StatusForbidden, !admitted && !known && status != http.StatusUnauthorized:
				t.Errorf("%s: %d %s", what, status, body)
			}
		}
	}
}

// ask sends a request by hand.
func ask(t testing.TB, url, method, path, token, body string) (int, string) {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, url+api.Prefix+path, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if method == http.MethodGet {
		r.Body, r.ContentLength = http.NoBody, 0
	}
	r.Header.Set("Content-Type", "application/json")
	if token != "" {
		r.Header.Set("Authorization", "Bearer "+token)
	}
	res, err := (&http.Client{Transport: described{t, http.DefaultTransport}}).Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	if res.Header.Get("X-Content-Type-Options") != "nosniff" {
		t.Errorf("%s %s: the type may be guessed", method, path)
	}
	return res.StatusCode, string(data)
}

// Which kind a role may write is the same as on the pages.
func TestKindsByRole(t *testing.T) {
	k := newKit(t)
	for role, c := range map[string]int{job.Office: http.StatusForbidden, job.Technician: http.StatusCreated} {
		if _, err := k.as(role).Append(t.Context(), k.job, "reading", clearance(t, job.AsFound, 1, "0.050"), 0); c == http.StatusForbidden {
			k.refused(err, c, "role office")
		} else {
			k.must(err)
		}
	}
	_, err := k.as(job.Technician).AddTool(t.Context(), "X-1", "tool_added", job.ToolAdded{ID: "X-1", Kind: "other", Title: "Thing"})
	k.refused(err, http.StatusForbidden, "role technician")
	_, err = k.as(job.Office).Append(t.Context(), k.job, "arrival", job.Arrival{Noises: "a knock"}, 0)
	k.must(err)
}
