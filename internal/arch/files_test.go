// SPDX-License-Identifier: Apache-2.0

package arch

import (
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// TestLicenceLines: every source file names its licence in its first lines.
func TestLicenceLines(t *testing.T) {
	for _, f := range tracked(t) {
		if !needsLicence(f) {
			continue
		}
		head := lines(t, f)
		head = head[:min(len(head), 6)]
		if !slices.ContainsFunc(head, func(l string) bool { return strings.Contains(l, "SPDX-License-Identifier: Apache-2.0") }) {
			t.Errorf("%s has no SPDX-License-Identifier line at its top", f)
		}
	}
}

func needsLicence(f string) bool {
	// Inputs of tests are as they have to be.
	inputs := strings.Contains(f, "testdata/")
	switch path.Ext(f) {
	case ".go", ".templ", ".sh", ".py", ".R":
		return true
	case ".css", ".js", ".yaml", ".yml", ".sql":
		return !inputs
	}
	return f == "test" || f == ".ci/run"
}

// forbidden are words that no file of the project holds, and why.
var forbidden = []struct {
	pattern *regexp.Regexp
	why     string
}{
	{regexp.MustCompile(`(^|[\s"'(=` + "`" + `])/(work|home|root|Users)/[a-z]`), "a path of somebody's machine"},
	{regexp.MustCompile(`\b(TO` + `DO|FIX` + `ME|XX` + `X)\b`), "a mark of unfinished work"},
	{regexp.MustCompile(`(?i)\bissue\s+#?\d`), "the number of an issue; say what it was about"},
	{regexp.MustCompile(`(?i)\blorem ip` + `sum\b`), "filler text"},
	{regexp.MustCompile(`(?i)\bseed docu` + `ment\b`), "where a sentence comes from is not the product"},
}

// TestForbiddenWords reads every text file of the project.
func TestForbiddenWords(t *testing.T) {
	for _, f := range tracked(t) {
		for i, line := range lines(t, f) {
			if !utf8.ValidString(line) {
				break // not text
			}
			for _, w := range forbidden {
				if found := w.pattern.FindString(line); found != "" {
					t.Errorf("%s:%d: %q is %s", f, i+1, strings.TrimSpace(found), w.why)
				}
			}
		}
	}
}

var (
	otherHost   = regexp.MustCompile(`(?i)(\b(src|href|action|srcset)\s*=\s*["'{(]*|url\(\s*["']?|\bimport\s+["']|\bfetch\(\s*["'` + "`" + `])(https?:)?//`)
	inlineStyle = regexp.MustCompile(`(?i)<[a-z][^>]*\s(style|on[a-z]+)\s*=\s*["{]`)
)

// TestPagesKeepToThemselves: no page loads anything from another host, and
// none has inline style or script, which the security policy would stop.
func TestPagesKeepToThemselves(t *testing.T) {
	for _, f := range tracked(t) {
		if !strings.HasPrefix(f, "internal/web/") || strings.Contains(f, "testdata/") {
			continue
		}
		ext := path.Ext(f)
		if !slices.Contains([]string{".templ", ".css", ".js", ".html"}, ext) {
			continue
		}
		for i, line := range lines(t, f) {
			if found := otherHost.FindString(line); found != "" {
				t.Errorf("%s:%d: %q loads from another host", f, i+1, found)
			}
			if found := inlineStyle.FindString(line); ext == ".templ" && found != "" {
				t.Errorf("%s:%d: %q is inline", f, i+1, found)
			}
		}
	}
}

// TestNothingOfOthersIsCommitted: libraries come from their registries.
func TestNothingOfOthersIsCommitted(t *testing.T) {
	for _, f := range tracked(t) {
		for _, part := range []string{"vendor/", "node_modules/", ".min.js", ".min.css", ".tgz"} {
			if strings.Contains(f, part) {
				t.Errorf("%s is somebody else's", f)
			}
		}
	}
	for i, line := range lines(t, "go.mod") {
		if strings.HasPrefix(strings.TrimSpace(line), "replace") {
			t.Errorf("go.mod:%d: %s: others could not build this", i+1, line)
		}
	}
}

// TestPatternsBite: the patterns find what they are there for.
func TestPatternsBite(t *testing.T) {
	for _, line := range []string{"// see /ho" + "me/ann/x", "// TO" + "DO: more", "fixes is" + "sue 12"} {
		if !slices.ContainsFunc(forbidden, func(w struct {
			pattern *regexp.Regexp
			why     string
		}) bool {
			return w.pattern.MatchString(line)
		}) {
			t.Errorf("nothing forbids %q", line)
		}
	}
	for _, line := range []string{`<script src="https://example.org/a.js">`, `@import url(//example.org/a.css)`, `import "https://example.org/a.js"`} {
		if !otherHost.MatchString(line) {
			t.Errorf("%q is not seen to load from another host", line)
		}
	}
	if !inlineStyle.MatchString(`<p style="color:red">`) || !inlineStyle.MatchString(`<button onclick="x()">`) || inlineStyle.MatchString(`<link rel="stylesheet" href="/a.css">`) {
		t.Error("inline style and script are not told from others")
	}
	if !needsLicence("units/testdata/remake.sh") || needsLicence("engine/testdata/bad.yaml") {
		t.Error("the wrong files need a licence line")
	}
}
