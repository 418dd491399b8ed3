// SPDX-License-Identifier: Apache-2.0

package web

import (
	"net/http"
	"path"
	"slices"
)

// noPages are what can be got and is no page.
var noPages = []string{"/static/{stamp}/{file}", "/sw.js", "/jobs/{job}/events", "/sheets/{hash}/file", "/plans/{plan}/plan.yaml", "/jobs/{job}/photo/{photo}/file",
	"/jobs/{job}/labels.pdf", "/jobs/{job}/export/{paper}/{kind}", "/studies/{study}/readings.csv", "/calendar/{token}/workshop.ics"}

// PagePaths are the paths of all pages, for the tests that look at each.
func PagePaths() []string {
	var out []string
	for _, r := range routes {
		if r.method == http.MethodGet && !slices.Contains(noPages, r.path) && path.Ext(r.path) == "" {
			out = append(out, r.path)
		}
	}
	return out
}
