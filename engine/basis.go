// SPDX-License-Identifier: Apache-2.0

package engine

import (
	"fmt"
	"strings"
)

// SourceText returns where a value comes from, as a person reads it: the
// source's title and the place in it; "no source named" if there is none.
func (s *Sheet) SourceText(b Basis) string {
	if b.Source == "" {
		return "no source named"
	}
	text := s.Sources[b.Source].Title
	if e := s.Sources[b.Source].Edition; e != "" {
		text += ", " + e + " edition"
	}
	if b.Locator != "" {
		text += ", " + b.Locator
	}
	return text
}

// doubt is a group of neighbours that nobody vouches for, for the same reason.
type doubt struct {
	path   string // what they have in common
	reason string
	n      int
	at     place
}

// warnBasis lists the values without a source and those that were not checked
// against it, neighbours in one line.
func (d *decoder) warnBasis() {
	var groups []*doubt
	for _, r := range d.refs {
		reason := "names no source"
		switch {
		case r.Checked:
			continue
		case r.Source != "":
			reason = "was not checked against " + strings.TrimSpace(r.Source+" "+r.Locator)
		}
		if n := len(groups); n > 0 && groups[n-1].reason == reason && groups[n-1].take(r.Path) {
			continue
		}
		groups = append(groups, &doubt{r.Path, reason, 1, place{r.Line, r.Column}})
	}
	for _, g := range groups {
		what, want := g.path+" "+g.reason, "compare it with the source and add checked: with who and when"
		if g.n > 1 {
			what = fmt.Sprintf("%d values of %s: each %s", g.n, g.path, g.reason)
		}
		if strings.HasPrefix(g.reason, "names") {
			want = "add source:, on the value or above it"
		}
		d.warn(g.at, what, want)
	}
}

// take adds a value that stands under the same main heading, and shortens the
// path to what all have in common. Fasteners and settings stay apart.
func (g *doubt) take(path string) bool {
	a, b := strings.Split(g.path, "."), strings.Split(path, ".")
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	if n == 0 || n == 1 && (a[0] == "fasteners" || a[0] == "settings") {
		return false
	}
	g.path = strings.Join(a[:n], ".")
	g.n++
	return true
}
